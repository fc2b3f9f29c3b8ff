"""Minimal workbooks made by hand, for what XlsxWriter never writes: other prefixes, absolute names, odd producers."""

import io
import zipfile
from collections.abc import Mapping

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET_ML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
HEAD = '<?xml version="1.0" encoding="UTF-8"?>'


def types(workbook: str = f"{SHEET_ML}.sheet.main+xml", more: str = "") -> str:
    """Content types of a workbook with one sheet; `workbook` is what the workbook part says it is."""
    return (
        f'{HEAD}<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" '
        f'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" '
        f'ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="{workbook}"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{SHEET_ML}.worksheet+xml"/>{more}</Types>'
    )


def relations(*links: tuple[str, str, str]) -> str:
    """A part with relationships: (id, last word of the type or a whole type, target)."""
    made = "".join(
        f'<Relationship Id="{key}" Type="{kind if ":" in kind else f"{OFFICE}/{kind}"}" Target="{target}"/>'
        for key, kind, target in links
    )
    return f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships">{made}</Relationships>'


def workbook(inner: str = '<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/></sheets>', main: str = MAIN) -> str:
    """The workbook part around its contents."""
    return f'{HEAD}<workbook xmlns="{main}" xmlns:r="{OFFICE}">{inner}</workbook>'


def sheet(rows: str = '<row r="1"><c r="A1"><v>1</v></c></row>', after: str = "") -> str:
    """A sheet's part around its rows."""
    return f'{HEAD}<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData>{after}</worksheet>'


def minimal() -> dict[str, str | bytes]:
    """The parts of the smallest workbook: one sheet named Corner, no styles, no shared texts."""
    return {
        "[Content_Types].xml": types(),
        "_rels/.rels": relations(("rId1", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": workbook(),
        "xl/_rels/workbook.xml.rels": relations(("rId1", "worksheet", "worksheets/sheet1.xml")),
        "xl/worksheets/sheet1.xml": sheet(),
    }


def zipped(parts: Mapping[str, str | bytes], changes: Mapping[str, str | bytes | None] | None = None) -> bytes:
    """The parts as a zip archive; `changes` replaces or adds parts, None takes one out."""
    merged = {name: content for name, content in {**parts, **(changes or {})}.items() if content is not None}
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in merged.items():
            archive.writestr(zipfile.ZipInfo(name, (2026, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
    return stream.getvalue()
