"""A workbook with everything in it that a user may have and that tools are known to lose.

XlsxWriter writes what it can; parts that it cannot write (threaded notes, a slicer, a pivot table, an external link,
custom XML, printer settings, the order of calculation) are written here by hand, in the form of ISO/IEC 29500-1 and of
Microsoft's [MS-XLSX].
"""

import io
import struct
import zipfile
import zlib
from pathlib import Path

import xlsxwriter

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
R = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
R_NS = f'xmlns:r="{R}"'
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
SHEET_ML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
EXCEL = "application/vnd.ms-excel"


def picture(red: int, width: int = 24, height: int = 16) -> bytes:
    """A small PNG of one colour, with some rows that differ so that it is not all alike."""
    rows = b"".join(
        b"\0" + bytes((red, y * 9 % 256, x * 7 % 256)[c] for x in range(width) for c in range(3)) for y in range(height)
    )
    chunks = (
        (b"IHDR", struct.pack(">2I5B", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows)),
        (b"IEND", b""),
    )
    packed = [struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in chunks]
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


def photo(size: int, seed: int = 1) -> bytes:
    """Bytes that do not pack, as a photo's do, behind the head of a PNG."""
    state, blocks = seed, []
    for _ in range(size // 4):
        state = (state * 1_103_515_245 + 12_345) % 2**31
        blocks.append(struct.pack("<I", state))
    return picture(seed % 256) + b"".join(blocks)


def written_by_xlsxwriter(folder: Path, *, macros: bool) -> bytes:
    """Pictures, shapes, sparklines, notes, a button, rich text, a table, charts, names, macros."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    corner, prices, diary = (book.add_worksheet(name) for name in ("Corner", "Prices & more", "Diary"))
    hidden = book.add_worksheet("Hidden")
    _corner(book, corner)
    _prices(book, prices)
    diary.write_rich_string(
        "A1", "the ", book.add_format({"bold": True}), "left", " hub was ", book.add_format({"color": "red"}), "hot"
    )
    diary.insert_image("C3", "hub.png", {"image_data": io.BytesIO(picture(200)), "description": "the hub"})
    diary.insert_textbox("C12", "measure twice", {"fill": {"color": "#FFFFCC"}})
    diary.write_comment("A1", "seen on Tuesday", {"author": "Workshop"})
    diary.write_url("A3", "https://example.org/", string="a page")
    hidden.hide()
    hidden.write_formula("A1", "=SUM('Prices & more'!B2:B9)", None, 44)
    book.define_name("all_prices", "='Prices & more'!$B$2:$B$9")
    book.define_name("Diary!local_name", "=Diary!$A$1")
    book.set_custom_property("Checked by", "nobody yet")
    if macros:
        (folder / "vbaProject.bin").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(range(256)) * 9)
        book.add_vba_project(str(folder / "vbaProject.bin"))
    book.close()
    return stream.getvalue()


def _corner(book: xlsxwriter.Workbook, sheet: xlsxwriter.worksheet.Worksheet) -> None:
    sheet.write_row("A1", ["label", "value", "unit"], book.add_format({"bold": True, "bg_color": "#DDDDDD"}))
    sheet.write_row("A2", ["Pilot", 64.1, "mm"])
    sheet.write_row("A3", ["Taken on", 45_000], book.add_format({"num_format": "dd/mm/yyyy"}))
    sheet.write_formula("B4", "=B2*2", book.add_format({"num_format": '0.00 "mm"'}), 128.2)
    sheet.write_boolean("B5", True)
    sheet.write_formula("B6", "=1/0", None, "#DIV/0!")
    sheet.data_validation("C2", {"validate": "list", "source": ["mm", "in"]})
    sheet.conditional_format("B2:B9", {"type": "3_color_scale"})
    sheet.insert_button("E2", {"macro": "Go", "caption": "Go"})
    sheet.freeze_panes(1, 0)


def _prices(book: xlsxwriter.Workbook, sheet: xlsxwriter.worksheet.Worksheet) -> None:
    sheet.write_row("A1", ["part", "price", "trend"])
    for row in range(1, 9):
        sheet.write_row(row, 0, [f"part {row}", row + 1.5])
        sheet.add_sparkline(row, 2, {"range": f"'Prices & more'!A{row + 1}:B{row + 1}"})
    sheet.add_table("A12:B15", {"name": "shelf", "columns": [{"header": "what"}, {"header": "how many"}]})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "='Prices & more'!$B$2:$B$9", "name": "='Prices & more'!$B$1"})
    sheet.insert_chart("E2", chart)


def threaded_notes() -> dict[str, str]:
    """A conversation on Diary!A1, and who takes part in it."""
    space = 'xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments"'
    person = "{11111111-2222-3333-4444-555555555555}"
    return {
        "xl/threadedComments/threadedComment1.xml": f"{HEAD}<ThreadedComments {space}>"
        f'<threadedComment ref="A1" dT="2026-03-01T08:00:00.00" personId="{person}" '
        'id="{AAAAAAAA-2222-3333-4444-555555555555}"><text>is this the left one?</text></threadedComment></ThreadedComments>',
        "xl/persons/person.xml": f'{HEAD}<personList {space}><person displayName="Workshop" id="{person}" '
        'userId="workshop" providerId="None"/></personList>',
    }


def pivot() -> dict[str, str]:
    """A pivot table with its cache, and a slicer on it."""
    x14 = 'xmlns="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"'
    return {
        "xl/pivotCache/pivotCacheDefinition1.xml": f'{HEAD}<pivotCacheDefinition {MAIN} {R_NS} r:id="rId1" refreshedBy="x" '
        'refreshedDate="45000" createdVersion="6" refreshedVersion="6" minRefreshableVersion="3" recordCount="2">'
        '<cacheSource type="worksheet"><worksheetSource ref="A1:B3" sheet="Prices &amp; more"/></cacheSource>'
        '<cacheFields count="2"><cacheField name="part" numFmtId="0"><sharedItems count="2"><s v="part 1"/><s v="part 2"/>'
        '</sharedItems></cacheField><cacheField name="price" numFmtId="0"><sharedItems containsSemiMixedTypes="0" '
        'containsString="0" containsNumber="1" minValue="2.5" maxValue="3.5"/></cacheField></cacheFields></pivotCacheDefinition>',
        "xl/pivotCache/pivotCacheRecords1.xml": f'{HEAD}<pivotCacheRecords {MAIN} count="2"><r><x v="0"/><n v="2.5"/></r>'
        '<r><x v="1"/><n v="3.5"/></r></pivotCacheRecords>',
        "xl/pivotTables/pivotTable1.xml": f'{HEAD}<pivotTableDefinition {MAIN} name="Sums" cacheId="7" dataCaption="Values" '
        'updatedVersion="6" minRefreshableVersion="3" createdVersion="6"><location ref="H1:I4" firstHeaderRow="1" '
        'firstDataRow="1" firstDataCol="1"/><pivotFields count="2"><pivotField axis="axisRow" showAll="0"><items count="3">'
        '<item x="0"/><item x="1"/><item t="default"/></items></pivotField><pivotField dataField="1" showAll="0"/></pivotFields>'
        '<rowFields count="1"><field x="0"/></rowFields><rowItems count="3"><i><x/></i><i><x v="1"/></i><i t="grand"><x/></i>'
        '</rowItems><colItems count="1"><i/></colItems><dataFields count="1"><dataField name="Sum of price" fld="1" baseField="0" '
        'baseItem="0"/></dataFields></pivotTableDefinition>',
        "xl/slicerCaches/slicerCache1.xml": f'{HEAD}<slicerCacheDefinition {x14} name="Slicer_part" sourceName="part">'
        '<pivotTables><pivotTable tabId="2" name="Sums"/></pivotTables><data><tabular pivotCacheId="1"><items count="2">'
        '<i x="0" s="1"/><i x="1" s="1"/></items></tabular></data></slicerCacheDefinition>',
        "xl/slicers/slicer1.xml": f'{HEAD}<slicers {x14}><slicer name="part" cache="Slicer_part" caption="part" '
        'rowHeight="241300"/></slicers>',
    }


def other_parts() -> dict[str, str | bytes]:
    """An external link, custom XML, printer settings, a form control's settings, the order of calculation."""
    return {
        "xl/externalLinks/externalLink1.xml": f'{HEAD}<externalLink {MAIN}><externalBook {R_NS} r:id="rId1"><sheetNames>'
        '<sheetName val="Stock"/></sheetNames><sheetDataSet><sheetData sheetId="0"><row r="1"><cell r="A1"><v>3</v></cell>'
        "</row></sheetData></sheetDataSet></externalBook></externalLink>",
        "customXml/item1.xml": '<?xml version="1.0"?><shop xmlns="urn:example:shop"><bay>4</bay></shop>',
        "customXml/itemProps1.xml": f'{HEAD}<ds:datastoreItem ds:itemID="{{0BADF00D-0000-4000-8000-000000000001}}" '
        'xmlns:ds="http://schemas.openxmlformats.org/officeDocument/2006/customXml"><ds:schemaRefs/></ds:datastoreItem>',
        "xl/printerSettings/printerSettings1.bin": bytes(range(256)) * 3,
        "xl/ctrlProps/ctrlProp1.xml": f'{HEAD}<formControlPr xmlns="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main" '
        'objectType="CheckBox" checked="Checked" lockText="1"/>',
        "xl/calcChain.xml": f'{HEAD}<calcChain {MAIN}><c r="B4" i="1"/><c r="B6"/><c r="A1" i="4"/></calcChain>',
    }


CONTENT = {
    "xl/threadedComments/threadedComment1.xml": f"{EXCEL}.threadedcomments+xml",
    "xl/persons/person.xml": f"{EXCEL}.person+xml",
    "xl/pivotCache/pivotCacheDefinition1.xml": f"{SHEET_ML}.pivotCacheDefinition+xml",
    "xl/pivotCache/pivotCacheRecords1.xml": f"{SHEET_ML}.pivotCacheRecords+xml",
    "xl/pivotTables/pivotTable1.xml": f"{SHEET_ML}.pivotTable+xml",
    "xl/slicerCaches/slicerCache1.xml": f"{EXCEL}.slicerCache+xml",
    "xl/slicers/slicer1.xml": f"{EXCEL}.slicer+xml",
    "xl/externalLinks/externalLink1.xml": f"{SHEET_ML}.externalLink+xml",
    "customXml/itemProps1.xml": "application/vnd.openxmlformats-officedocument.customXmlProperties+xml",
    "xl/printerSettings/printerSettings1.bin": f"{SHEET_ML}.printerSettings",
    "xl/ctrlProps/ctrlProp1.xml": f"{EXCEL}.controlproperties+xml",
    "xl/calcChain.xml": f"{SHEET_ML}.calcChain+xml",
}

MS_THREAD = "http://schemas.microsoft.com/office/2017/10/relationships"
MS_SLICER = "http://schemas.microsoft.com/office/2007/relationships"
LINKS = (
    ("xl/workbook.xml", "rId71", f"{R}/pivotCacheDefinition", "pivotCache/pivotCacheDefinition1.xml"),
    ("xl/workbook.xml", "rId72", f"{R}/externalLink", "externalLinks/externalLink1.xml"),
    ("xl/workbook.xml", "rId73", f"{R}/calcChain", "calcChain.xml"),
    ("xl/workbook.xml", "rId74", f"{MS_THREAD}/person", "persons/person.xml"),
    ("xl/workbook.xml", "rId75", f"{MS_SLICER}/slicerCache", "slicerCaches/slicerCache1.xml"),
    ("xl/workbook.xml", "rId76", f"{R}/customXml", "../customXml/item1.xml"),
    ("xl/worksheets/sheet2.xml", "rId71", f"{R}/pivotTable", "../pivotTables/pivotTable1.xml"),
    ("xl/worksheets/sheet2.xml", "rId72", f"{MS_SLICER}/slicer", "../slicers/slicer1.xml"),
    ("xl/worksheets/sheet3.xml", "rId71", f"{MS_THREAD}/threadedComment", "../threadedComments/threadedComment1.xml"),
    ("xl/worksheets/sheet1.xml", "rId71", f"{R}/printerSettings", "../printerSettings/printerSettings1.bin"),
    ("xl/worksheets/sheet1.xml", "rId72", f"{R}/ctrlProp", "../ctrlProps/ctrlProp1.xml"),
    ("xl/pivotTables/pivotTable1.xml", "rId1", f"{R}/pivotCacheDefinition", "../pivotCache/pivotCacheDefinition1.xml"),
    ("xl/pivotCache/pivotCacheDefinition1.xml", "rId1", f"{R}/pivotCacheRecords", "pivotCacheRecords1.xml"),
    ("xl/externalLinks/externalLink1.xml", "rId1", f"{R}/externalLinkPath", "file:///stock.xlsx"),
    ("customXml/item1.xml", "rId1", f"{R}/customXmlProps", "itemProps1.xml"),
)


def kitchen_sink(path: Path, *, macros: bool = False) -> Path:
    """Write the workbook with everything to `path`; macros: as .xlsm with a macro part."""
    source = zipfile.ZipFile(io.BytesIO(written_by_xlsxwriter(path.parent, macros=macros)))
    parts: dict[str, bytes] = {name: source.read(name) for name in source.namelist()}
    for name, text in {**threaded_notes(), **pivot(), **other_parts()}.items():
        parts[name] = text if isinstance(text, bytes) else text.encode()
    for part, key, kind, target in LINKS:
        _link(parts, part, key, kind, target)
    overrides = "".join(f'<Override PartName="/{name}" ContentType="{kind}"/>' for name, kind in CONTENT.items())
    _insert(parts, "[Content_Types].xml", "</Types>", overrides)
    _name_in_workbook(parts)
    _write(path, parts)
    return path


def _name_in_workbook(parts: dict[str, bytes]) -> None:
    """The workbook lists its pivot caches and external links; the sheet with the slicer names it."""
    _insert(
        parts,
        "xl/workbook.xml",
        "<definedNames>",
        '<externalReferences><externalReference r:id="rId72"/></externalReferences>',
    )
    _insert(
        parts, "xl/workbook.xml", "</workbook>", '<pivotCaches><pivotCache cacheId="7" r:id="rId71"/></pivotCaches>'
    )


def _link(parts: dict[str, bytes], part: str, key: str, kind: str, target: str) -> None:
    folder, name = part.rsplit("/", 1)
    rels = f"{folder}/_rels/{name}.rels"
    space = 'xmlns="http://schemas.openxmlformats.org/package/2006/relationships"'
    parts.setdefault(rels, f"{HEAD}<Relationships {space}></Relationships>".encode())
    mode = ' TargetMode="External"' if target.startswith("file:") else ""
    _insert(parts, rels, "</Relationships>", f'<Relationship Id="{key}" Type="{kind}" Target="{target}"{mode}/>')


def _insert(parts: dict[str, bytes], name: str, before: str, text: str) -> None:
    assert before.encode() in parts[name], (name, before)
    parts[name] = parts[name].replace(before.encode(), text.encode() + before.encode(), 1)


def _write(path: Path, parts: dict[str, bytes]) -> None:
    """Members with different times and packings, as programs write them: all must be kept."""
    with zipfile.ZipFile(path, "w") as archive:
        for number, (name, content) in enumerate(parts.items()):
            info = zipfile.ZipInfo(name, (2020 + number % 5, 1 + number % 12, 3, 4, 5, 6))
            info.compress_type = zipfile.ZIP_STORED if name.endswith(".png") else zipfile.ZIP_DEFLATED
            info.external_attr = 0o600 << 16
            archive.writestr(info, content, compresslevel=1 + number % 9)
