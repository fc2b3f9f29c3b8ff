"""A workbook as it lies in the file: its parts, its sheets, and what stands in their cells. Nothing is changed here."""

import os
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from bomcheck.workbook.archive import Archive
from bomcheck.workbook.cells import Cell, CellReader
from bomcheck.workbook.date_formats import Dated, dated_styles
from bomcheck.workbook.file_kind import read_file, require_zip
from bomcheck.workbook.parts import (
    ContentTypes,
    Relation,
    read_relations,
    read_tree,
    read_types,
)
from bomcheck.workbook.recognise import find_workbook, require_no_doctypes, require_spreadsheet, require_workbook
from bomcheck.workbook.refusal import damaged, refuse
from bomcheck.workbook.strings import read_strings
from bomcheck.workbook.xml_tree import OFFICE, Node

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
