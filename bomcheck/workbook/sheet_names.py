"""Names of tabs, and how formulas refer to them."""

import re
from collections.abc import Collection, Mapping

LONGEST = 31
_REFERENCE = re.compile(r""""(?:[^"]|"")*"|'((?:[^']|'')+)'!|(?<![\w.\]'])([^\W\d][\w.]*)!""")
_BARE = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")
_LIKE_ADDRESS = re.compile(r"[A-Za-z]{1,3}[0-9]+|[Rr][0-9]*[Cc][0-9]*|[RrCc]")


def free_name(wanted: str, taken: Collection[str]) -> str:
    """`wanted`, or "wanted (2)" and so on if a tab has that name; at most 31 characters, capitals do not count."""
    used = {name.lower() for name in taken}
    name, number = wanted[:LONGEST], 1
    while name.lower() in used:
        number += 1
        ending = f" ({number})"
        name = wanted[: LONGEST - len(ending)] + ending
    return name


def quoted(name: str) -> str:
    """A tab's name as formulas write it, in quotes where it must be."""
    if _BARE.fullmatch(name) and not _LIKE_ADDRESS.fullmatch(name):
        return name
    doubled = name.replace("'", "''")
    return f"'{doubled}'"


def rename_in_formula(formula: str, names: Mapping[str, str]) -> str:
    """The formula with its references to tabs renamed (old name to new); texts in quotes stay."""

    def renamed(found: re.Match[str]) -> str:
        old = found[1].replace("''", "'") if found[1] else found[2]
        return f"{quoted(names[old])}!" if old in names else found[0]

    return _REFERENCE.sub(renamed, formula) if names else formula
