"""The mark by which sheets of ours are known again: a hidden name that is local to the sheet.

It holds a text, "kind|name of the tab when it was written". Spreadsheet programs keep hidden names when they save; a
tab that is copied takes its names along, so of several tabs of one kind the one that kept its name is ours.
"""

from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.xml_tree import Node

MARK = "bomcheck_sheet"


def mark_text(kind: str, sheet_name: str) -> str:
    """Content of the mark, a formula that is one text."""
    inner = f"{kind}|{sheet_name}".replace('"', '""')
    return f'"{inner}"'


def marked_sheets(package: Package) -> dict[str, str]:
    """Names of the sheets of ours by their kind, in tab order; empty for a workbook that was not checked yet."""
    return {kind: sheet.name for kind, sheet in own_sheets(package).items()}


def own_sheets(package: Package) -> dict[str, Sheet]:
    """The sheets of ours by kind, in tab order."""
    found: dict[str, Sheet] = {}
    for sheet, kind, _ in sorted(_marks(package), key=lambda one: one[0].name != one[2]):
        found.setdefault(kind, sheet)
    return dict(sorted(found.items(), key=lambda item: package.sheets.index(item[1])))


def _marks(package: Package) -> list[tuple[Sheet, str, str]]:
    """(sheet, kind, name when written) of every mark."""
    names = package.workbook_root.child("definedNames")
    marks = [node for node in (names.children if names else []) if node.attributes.get("name") == MARK]
    read = [(_sheet_of(package, node), *_split(node.text)) for node in marks]
    return sorted(((s, kind, name) for s, kind, name in read if s), key=lambda one: package.sheets.index(one[0]))


def _sheet_of(package: Package, node: Node) -> Sheet | None:
    index = node.attributes.get("localSheetId", "")
    return package.sheets[int(index)] if index.isdecimal() and int(index) < len(package.sheets) else None


def _split(text: str) -> tuple[str, str]:
    inner = text.strip().removeprefix('"').removesuffix('"').replace('""', '"')
    kind, _, name = inner.partition("|")
    return kind, name
