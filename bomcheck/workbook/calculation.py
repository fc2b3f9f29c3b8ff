"""The workbook's request that every formula is worked out anew when it is opened: stored values may be out of date."""

from bomcheck.errors import WorkbookError
from bomcheck.workbook.edits import Edit, attribute, qualified
from bomcheck.workbook.package import Package
from bomcheck.workbook.parts import read_relations, read_tree

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
