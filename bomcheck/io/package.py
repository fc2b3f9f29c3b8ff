"""Whether a zip archive is a plain workbook, and what it is if it is not."""

import os
from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path

from bomcheck.io.cells import Cell, CellReader, Dated, added_up, dated_styles, read_strings
from bomcheck.io.parts import STRICT, TYPES_PART, ContentTypes, Relation, doctype, read_relations, read_tree, read_types
from bomcheck.io.refusal import damaged, refuse
from bomcheck.io.xml import OFFICE, BadXml, Doctype, Node, looks_at_root
from bomcheck.io.zip_file import SAVE_AS, XML_ENDINGS, Archive, read_file, require_zip
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass
from bomcheck.tables.fields import plain

LONGEST_HEAD = 65_536
"""Bytes of a part within which its first element must start."""


def require_workbook(archive: Archive) -> None:
    """Tell other zip files by what they hold."""
    if archive.find(TYPES_PART):
        return
    if archive.find("mimetype") and b"opendocument.spreadsheet" in archive.read(archive.find("mimetype") or ""):
        raise _other(archive.file, "this is an OpenDocument spreadsheet (.ods)")
    if archive.find("mimetype") and archive.find("META-INF/manifest.xml"):
        raise _other(archive.file, "this is an OpenDocument file, but not a spreadsheet")
    if archive.find("Index/Document.iwa") or archive.find("Index.zip"):
        raise _other(archive.file, "this is a Numbers, Pages or Keynote file")
    raise _other(archive.file, "this is a zip archive without a workbook in it")


def _other(file: str, wrong: str) -> WorkbookError:
    return refuse("not a workbook", file, wrong, SAVE_AS)


def find_workbook(archive: Archive, types: ContentTypes) -> str:
    """Name of the part with the list of sheets, or the reason why there is none."""
    root = next((one for one in read_relations(archive, "") if one.kind == "officeDocument"), None)
    if root is None or root.external:
        raise damaged(archive.file, "it does not say which of its parts is the workbook")
    if root.type.startswith(STRICT):
        raise _strict(archive.file)
    if root.target not in archive.members:
        raise damaged(archive.file, f"its part {root.target} is missing")
    kind = types.of(root.target)
    if ".binary." in kind:
        raise _other(archive.file, "this is a binary workbook (.xlsb)")
    if "wordprocessingml" in kind or "presentationml" in kind:
        raise _other(archive.file, "this is a text document or a presentation, not a workbook")
    return root.target


def _strict(file: str) -> WorkbookError:
    instead = "Open it and save it as the ordinary kind, Excel workbook (.xlsx)"
    return refuse("not a workbook", file, "this workbook was saved as Strict Open XML", instead)


def require_spreadsheet(file: str, root: Node) -> None:
    if root.uri.startswith(STRICT):
        raise _strict(file)
    if root.name != "workbook":
        raise damaged(file, "its list of sheets is missing")


def require_no_doctypes(archive: Archive) -> None:
    """Look at the head of every XML part, also of those that are only copied."""
    for name, member in archive.members.items():
        if not name.lower().endswith(XML_ENDINGS) or member.size == 0:
            continue
        try:
            seen = looks_at_root(archive.head(name, 2_000)) or looks_at_root(archive.head(name, LONGEST_HEAD))
        except Doctype:
            raise doctype(archive.file, name) from None
        except BadXml:
            continue
        if not seen and member.size > LONGEST_HEAD:
            raise damaged(archive.file, f"its part {name} has too much before its contents")


VISIBILITY = {"hidden": "hidden", "veryHidden": "very hidden"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One tab. visibility: "visible", "hidden" or "very hidden". kind: "worksheet", "chartsheet", "dialogsheet" ..."""

    name: str
    part: str
    visibility: str
    kind: str
    sheet_id: str
    relation: Relation
    node: Node


class Package:
    """An opened workbook.

    path: as it was given. data: the file's bytes as they were when it was opened. status: its stat at that moment, None
    for a workbook that was made in memory.
    """

    def __init__(self, path: Path, data: bytes, status: os.stat_result | None = None) -> None:
        """Raises WorkbookError for what is not a plain, sound workbook."""
        self.path, self.data, self.status = path, data, status
        self.file = path.name
        require_zip(self.file, data)
        self.archive = Archive(self.file, data)
        require_workbook(self.archive)
        self.types: ContentTypes = read_types(self.archive)
        self.workbook_part = find_workbook(self.archive, self.types)
        require_no_doctypes(self.archive)
        self.workbook_xml, self.workbook_root = read_tree(self.archive, self.workbook_part)
        require_spreadsheet(self.file, self.workbook_root)
        self.relations = read_relations(self.archive, self.workbook_part)
        self.sheets = self._read_sheets()
        self.tables: dict[str, tuple[int, float, int] | None] = {}

    @property
    def sheet_names(self) -> tuple[str, ...]:
        """Names of all tabs in their order."""
        return tuple(sheet.name for sheet in self.sheets)

    def sheet(self, name: str) -> Sheet:
        """The tab of that name, capitals as they stand; raises WorkbookError."""
        for sheet in self.sheets:
            if sheet.name == name:
                return sheet
        raise refuse("sheet missing", self.file, f'there is no sheet named "{name}"', "Add it or rename the sheet")

    def cells(self, sheet_name: str) -> dict[str, Cell]:
        """What stands in a sheet: cells by address in reading order, row by row; empty cells are left out."""
        sheet = self.sheet(sheet_name)
        if sheet.kind != "worksheet":
            return {}
        reader = CellReader(self.file, sheet.name, self.strings, self.dated)
        return reader.read(self.archive.read(sheet.part), sheet.part)

    def table(self, sheet_name: str) -> dict[str, Cell]:
        """The same of a table of the job, which is remembered as added up."""
        cells = self.cells(sheet_name)
        self.tables[sheet_name] = added_up(cells)
        return cells

    @cached_property
    def strings(self) -> list[str]:
        """The shared texts, rich text joined."""
        part = self.related("sharedStrings")
        return read_strings(self.file, part, self.archive.read(part)) if part else []

    @cached_property
    def dated(self) -> Dated:
        """Which cell styles show a date, and from which day dates are counted."""
        part = self.related("styles")
        root = read_tree(self.archive, part)[1] if part else None
        settings = self.workbook_root.child("workbookPr")
        since_1904 = settings is not None and settings.attributes.get("date1904") in ("1", "true", "on")
        return dated_styles(root, since_1904)

    def related(self, kind: str) -> str:
        """Name of the workbook's part of that kind ("styles", "sharedStrings"); "" if it has none."""
        found = next((one for one in self.relations if one.kind == kind and not one.external), None)
        if found is not None and found.target not in self.archive.members:
            raise damaged(self.file, f"its part {found.target} is missing")
        return found.target if found else ""

    def _read_sheets(self) -> tuple[Sheet, ...]:
        listed = self.workbook_root.child("sheets")
        by_id = {relation.id: relation for relation in self.relations}
        nodes = listed.children if listed else []
        sheets = tuple(self._read_sheet(node, by_id) for node in nodes if node.name == "sheet")
        if not sheets:
            raise damaged(self.file, "it has no sheets")
        if len({sheet.name.lower() for sheet in sheets}) < len(sheets):
            raise damaged(self.file, "two of its sheets have the same name")
        return sheets

    def _read_sheet(self, node: Node, by_id: dict[str, Relation]) -> Sheet:
        given = node.attributes
        name = given.get("name", "")
        relation = by_id.get(given.get(f"{OFFICE} id", ""))
        if relation is None or relation.external or relation.target not in self.archive.members:
            raise damaged(self.file, f'the contents of its sheet "{name}" are missing')
        visibility = VISIBILITY.get(given.get("state", ""), "visible")
        return Sheet(name, relation.target, visibility, relation.kind, given.get("sheetId", ""), relation, node)


def open_package(path: Path) -> Package:
    """Read a workbook; raises WorkbookError, one line, for anything that is not a plain, sound .xlsx or .xlsm."""
    data = read_file(path)
    try:
        status = path.stat()
    except OSError:
        raise refuse("file", path.name, "the file went away while it was read", "Check the folder") from None
    return Package(path, data, status)


Rows = dict[int, dict[int, Cell]]


def cells_by_row(cells: Mapping[str, Cell]) -> Rows:
    """The cells by row and column."""
    rows: Rows = {}
    for cell in cells.values():
        rows.setdefault(cell.row, {})[cell.column] = cell
    return rows


def texts_below(cells: Mapping[str, Cell], headings: Sequence[str]) -> list[list[str]]:
    """What stands below a row of headings, in their order, row by row, wherever the columns were moved; nothing without it."""
    rows, wanted = cells_by_row(cells), [plain(words) for words in headings]
    said = {row: {plain(cell.text): column for column, cell in found.items()} for row, found in rows.items()}
    top = next((row for row, texts in said.items() if texts.keys() >= set(wanted)), None)
    if top is None:
        return []
    below = [found for row, found in sorted(rows.items()) if row > top]
    return [[row[at].text if (at := said[top][words]) in row else "" for words in wanted] for row in below]
