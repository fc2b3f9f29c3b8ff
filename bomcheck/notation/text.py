"""Text that people type, made plain: marks, figures, words of a closed list."""

import re
import unicodedata
from collections.abc import Iterable

from bomcheck.model.errors import Unreadable
from bomcheck.tables import rows

LONGEST = 1000
BLANKS = frozenset((
    "?", "-", "tbc", "tba", "tbd", "n/a", "n / a", "na", "n.a", "n/k", "unknown", "not known", "not measured",
    "to be confirmed", "don't know", "no idea",
))  # fmt: skip
_MARKS = str.maketrans({
    **dict.fromkeys("‐‑‒–—―−﹣－", "-"), **dict.fromkeys("×✕✖⨯╳", "x"), **dict.fromkeys("“”„‟″＂ʺ", '"'),
    **dict.fromkeys("‘’‚‛′＇ʹ`´", "'"), **dict.fromkeys("\u00ad\u200b\u200c\u200d\u2060\ufeff", None), "⁄": "/",
    "∕": "/", "≈": "~", "⌀": "Ø", "∅": "Ø", "ø": "Ø", "µ": "μ",
})  # fmt: skip


def plain(typed: object) -> str:
    """`typed` as text with one kind of dash, quote, times sign and space; "1¾″" becomes '1 3/4"'.

    Raises Unreadable when it is longer than a size, a thread or a list can be.
    """
    text = number_text(typed) if isinstance(typed, (int, float)) else str(typed)
    if len(text) > LONGEST:
        raise Unreadable("unreadable text", short(text), "this is too long", "Type the value alone")
    _require_no_small_figures(text)
    text = "".join(map(_whole, text)).translate(_MARKS)
    text = unicodedata.normalize("NFKC", text).translate(_MARKS).replace("''", '"')
    return re.sub(r"\s+", " ", text).strip()


_POWER = re.compile(r"(?<![^\W\d_])(?:mm|cm|dm|m|sec|s|in|ft)\u207b?[\u00b9\u00b2\u00b3]")
_SMALL = ("<super", "<sub", "<circle", "<compat")
STRUCK = "\u0336"
"""What a reader puts behind each figure that is struck out in its cell."""


def _require_no_small_figures(text: str) -> None:
    """A raised or lowered figure is a footnote mark or a power, and would turn 66.5 into 66.52; in a unit it has a meaning."""
    if text.isascii():
        return
    if STRUCK in text:
        raise Unreadable(
            "unreadable text", short(text), "a part of it is struck out", "Type the figure that counts alone"
        )
    for sign in _POWER.sub("", text):
        kind = unicodedata.decomposition(sign).partition(">")[0]
        if kind in _SMALL and any(one.isdigit() for one in unicodedata.normalize("NFKC", sign)):
            wrong = f'the small "{sign}" is a footnote mark or a power, and is not taken for a figure'
            raise Unreadable("unreadable text", short(text), wrong, "Type the figure without it")


def number_text(number: float) -> str:
    """A number from a cell as a person would type it: 12.0 -> "12", 0.1 -> "0.1"."""
    return repr(int(number)) if isinstance(number, float) and number.is_integer() else repr(number)


def _whole(sign: str) -> str:
    """A fraction that is one sign becomes " 3/4"; every other sign stays."""
    parts = unicodedata.decomposition(sign)
    return " " + unicodedata.normalize("NFKC", sign) if parts.startswith("<fraction>") else sign


def is_blank(text: str) -> bool:
    """Whether plain text says that nothing is known: "", "?", "TBC", "N/A", a lone dash."""
    return text.lower().strip(" .") in BLANKS or not text.strip(" .-?")


def short(typed: object) -> str:
    """The typed text for a message, cut where it would fill the line."""
    text = str(typed)
    return text if len(text) <= 60 else text[:57] + "..."


def refuse(typed: object, wrong: str, instead: str, kind: str = "unreadable text") -> Unreadable:
    """An Unreadable, to be raised, with the typed text kept short."""
    return Unreadable(kind, short(typed), wrong, instead)


def written(kind: str, around: str = r"\b({})(?!\w)") -> re.Pattern[str]:
    """The words of a kind, and of its own kinds, of `written_words.txt`, in the last group of the pattern; `around` says what stands beside them."""
    words = "|".join(row["words"] for row in rows("written_words") if row["kind"].startswith(kind))
    return re.compile(around.format(words), re.IGNORECASE)


_DENIED = re.compile(
    r"(?:\b(?:(?:no|none|nothing|without|kein\w*|nichts|ohne|sans|aucune?)\s+(?:[^\W\d]+\s+)?|(?:not|nicht|pas)\s+)|(?<![\d.,])0\s+(?:x|pcs)?\s*)$",
    re.IGNORECASE,
)
_NONE = re.compile(r"\s*[:=]?\s*(?:0|none|nil|no|nein|keine)\s*(?=$|[,;.)])", re.IGNORECASE)


def says(words: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The first place where a text says one of the words of `written`; "no", "nothing" or "0" before it, or ": none" behind, denies it.

    >>> says(written("bad"), "not damaged"), says(written("bad"), "Damaged: none"), says(written("bad"), "box damaged")[1]
    (None, None, 'damaged')
    """
    found = ((one, one.start(one.lastindex or 0)) for one in words.finditer(text))
    return next((one for one, at in found if not _DENIED.search(text[:at]) and not _NONE.match(text, one.end())), None)


def split_list(text: str) -> list[str]:
    """The items of a list: divided by ";", a new line, or a comma that is followed by a space."""
    return [item.strip() for item in re.split(r";|,\s|,$", text) if item.strip()]


LARGEST = 1e15
"""Above any figure of a car, in any unit; a longer one is a number of something else."""
NUMBER = r"(?:\d+(?:[.,]\d+)*|[.,]\d+)\.?"
_PLAIN = re.compile(r"([+-]?)\s*(\d[\d.,' ]*|[.,]\d+)(?:[eE]([+-]?\d{1,3}))?")
_FRACTION = re.compile(r"([+-]?)\s*(?:(\d{1,4})(?:\s*-\s*|\s+|\s*\+\s*))?(\d{1,3})\s*/\s*(\d{1,3})")
_PARTS_OF_INCH = (2, 4, 8, 16, 32, 64, 128)


def fraction(text: str) -> float | None:
    """The value of "1-3/4", "1 3/4" or "1/32", None if it is no such fraction.

    Only halves, quarters ... 128ths that are smaller than one count: "330/28" is a pair of sizes.
    """
    found = _FRACTION.fullmatch(text)
    if not found:
        return None
    sign, whole, above, below = found[1], int(found[2] or 0), int(found[3]), int(found[4])
    if below not in _PARTS_OF_INCH or not 0 < above < below:
        return None
    return (-1.0 if sign == "-" else 1.0) * (whole + above / below)


def decimal(text: str) -> float | None:
    """The value of "12.5", ".81", "3,5", "1.524,0" or "1 524.0", None if it is no such number.

    A single comma is a decimal comma. Where comma and dot both stand, the last one is the decimal mark and the other
    must divide groups of three, as must a mark that stands more than once.
    """
    found = _PLAIN.fullmatch(text)
    if not found:
        return None
    digits = _one_mark(found[2].rstrip())
    if digits is None:
        return None
    value = float(f"{found[1]}{digits}e{found[3] or 0}")
    return value if abs(value) < LARGEST else None


def _one_mark(digits: str) -> str | None:
    """The digits with at most one decimal point, without marks between groups of three; None if they are no groups."""
    marks = [sign for sign in digits if not sign.isdigit()]
    last = marks[-1] if marks else ""
    is_decimal = last in (".", ",") and marks.count(last) == 1
    whole, _, part = digits.rpartition(last) if is_decimal else (digits, "", "")
    groups = re.split(r"[.,' ]", whole)
    same_mark = len(set(marks) - ({last} if is_decimal else set())) <= 1
    if len(groups) > 1 and not (same_mark and 0 < len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])):
        return None
    return f"{''.join(groups) or '0'}.{part or '0'}"


def number(text: str) -> float | None:
    """The value of a fraction or a decimal number, None for anything else."""
    value = fraction(text)
    return decimal(text) if value is None else value


_SAME = {"aluminum": "aluminium", "alloy": "aluminium", "1": "one", "2": "two", "y": "yes", "n": "no"}
_YES = {True: "yes", False: "no"}


def read_choice(typed: object, choices: Iterable[str]) -> str | None:
    """The one of `choices` that is typed, capitals, dashes and spaces apart; None for a blank cell. Raises Unreadable.

    >>> read_choice("One piece", ["one-piece", "two-piece"])
    'one-piece'
    """
    known = list(choices)
    text = _YES[typed] if isinstance(typed, bool) else "" if typed is None else plain(typed)
    found = _match(text, known)
    if found is None and not is_blank(text):
        raise _unknown(typed, text, known)
    return found


def read_choices(typed: object, choices: Iterable[str]) -> tuple[str, ...] | None:
    """All of `choices` that are typed, in the order typed: "road; track" or "road, track"; None for a blank cell."""
    known = list(choices)
    if typed is None or is_blank(text := plain(typed)):
        return None
    items = split_list(re.sub(r"\s*[/&+,]\s*|\s+and\s+", "; ", text) if _match(text, known) is None else text)
    return tuple(dict.fromkeys(found for item in items if (found := read_choice(item, known)) is not None)) or None


def read_count(typed: object) -> int | None:
    """A whole number, 0 or more: 5, "5 pcs", "x5"; None for a blank cell. Raises Unreadable."""
    if isinstance(typed, bool):
        raise refuse(typed, "this is no number", "Type a whole number, for example 5")
    if typed is None or is_blank(text := plain(typed)):
        return None
    value = pieces(text)
    if value is None or not value.is_integer() or value > 1e6:
        raise refuse(typed, "a whole number belongs here", "Type it without a unit, for example 5")
    return int(value)


_PIECES = re.compile(r"x?\s*([\d.,]+)\s*(?:x|pcs|pieces|piece|pc|off|each|ea|no|nos|stk|stück|pz|szt)?\.?", re.I)


def pieces(text: str) -> float | None:
    """How many are meant by plain text: "8", "8 pcs", "4 Stk.", "x5"; None for anything else.

    >>> pieces("4 Stk."), pieces("8 pcs"), pieces("8 mm")
    (4.0, 8.0, None)
    """
    found = _PIECES.fullmatch(text)
    return decimal(found[1]) if found else None


def _match(text: str, choices: list[str]) -> str | None:
    return next((choice for choice in choices if _key(choice) == _key(text)), None)


def _key(text: str) -> str:
    words = re.split(r"[\s\-_]+", re.sub(r"(?<=\d),(?=\d)", ".", text.strip().lower()))
    return " ".join(_SAME.get(word, word) for word in words)


def _unknown(typed: object, text: str, choices: list[str]) -> Unreadable:
    import difflib

    near = difflib.get_close_matches(text.lower(), [choice.lower() for choice in choices], 1, 0.6)
    meant = next((choice for choice in choices if near and choice.lower() == near[0]), None)
    some = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    instead = f'Did you mean "{meant}"? The choices are {some}' if meant else f"Type one of {some}"
    return refuse(typed, "this is not one of the choices", instead, "not one of the choices")
