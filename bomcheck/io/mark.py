"""The mark by which sheets of ours are known again: a hidden name that is local to the sheet.

It holds a text, "kind|name of the tab when it was written". Spreadsheet programs keep hidden names when they save; a
tab that is copied takes its names along, so of several tabs of one kind the one that kept its name is ours.
"""

from bomcheck.io.package import Package, Sheet
from bomcheck.io.parts import read_relations, read_tree
from bomcheck.io.xml import Edit, Node, attribute, qualified, whole
from bomcheck.model.errors import WorkbookError

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
    return package.sheets[whole(index)] if 0 <= whole(index) < len(package.sheets) else None


def _split(text: str) -> tuple[str, str]:
    inner = text.strip().removeprefix('"').removesuffix('"').replace('""', '"')
    kind, _, name = inner.partition("|")
    return kind, name


FULL = "fullCalcOnLoad"
BEFORE = ("definedNames", "externalReferences", "functionGroups", "sheets")
"""What calcPr follows, nearest first (CT_Workbook in ISO/IEC 29500-1, 18.2.27)."""


def calculation_edits(package: Package) -> list[Edit]:
    """Edits of the workbook's part; none where it asks for that already. They go behind those of the defined names."""
    root, content = package.workbook_root, package.workbook_xml
    settings = root.child("calcPr")
    if settings is None:
        before = next(node for node in map(root.child, BEFORE) if node)
        return [Edit(before.end, before.end, b'<%s %s="1"/>' % (qualified(root.prefix, "calcPr"), FULL.encode()))]
    if settings.attributes.get(FULL, "0").strip() in ("1", "true"):
        return []
    return [attribute(content, settings, FULL, "1")]


def is_from_libreoffice(package: Package) -> bool:
    """True for a workbook that LibreOffice saved. At its usual settings it shows stored values, whatever is asked for."""
    found = (one for one in read_relations(package.archive, "") if one.kind == "extended-properties")
    part = next((one.target for one in found if one.target in package.archive.members), None)
    try:
        program = read_tree(package.archive, part, 2)[1].child("Application") if part else None
    except WorkbookError:  # a part that nobody needs; what must be sound was looked at when the workbook was opened
        return False
    return program is not None and program.text.strip().startswith("LibreOffice")
