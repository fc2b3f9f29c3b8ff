"""Hostile and damaged workbooks, each made by a few readable lines: name -> (bytes, kind of the fault, words in its line)."""

import struct
import zipfile
import zlib
from collections.abc import Callable
from io import BytesIO

from tests.workbook.packages import HEAD, MAIN, OFFICE, minimal, relations, sheet, types, workbook, zipped

Builder = Callable[[], bytes]
BOMB = f'{HEAD}<!DOCTYPE a [<!ENTITY x "xxxxxxxxxx"><!ENTITY y "&x;&x;&x;&x;&x;&x;&x;&x;">]>'
OUTSIDE = f'{HEAD}<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/hostname">]>'


def changed(part: str, content: str | bytes | None) -> Builder:
    """The smallest workbook with one part replaced or missing."""
    return lambda: zipped(minimal(), {part: content})


def with_rows(rows: str, after: str = "") -> Builder:
    return changed("xl/worksheets/sheet1.xml", sheet(rows, after))


def ole(*entries: str) -> Builder:
    """An old compound file whose directory has entries of these names."""
    names = b"".join(f"{name}\0".encode("utf-16-le").ljust(128, b"\0") for name in ("Root Entry", *entries))
    return lambda: (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".ljust(512, b"\0") + names).ljust(4096, b"\0")


def two_of_a_name() -> bytes:
    stream = BytesIO(zipped(minimal()))
    with zipfile.ZipFile(stream, "a") as archive:
        archive.writestr("XL/Workbook.xml", workbook())
    return stream.getvalue()


def flipped(part: str, at: int) -> Builder:
    """One bit of a part's packed data turned over, so that its checksum is wrong."""

    def build() -> bytes:
        data = bytearray(zipped(minimal()))
        info = zipfile.ZipFile(BytesIO(bytes(data))).getinfo(part)
        data[info.header_offset + 30 + len(part) + at] ^= 0x10
        return bytes(data)

    return build


def lying_directory(field: int, value: int) -> Builder:
    """The directory entry of the sheet with a wrong number: 16 checksum, 20 packed size, 24 size, 42 offset, 8 flags."""

    def build() -> bytes:
        data = bytearray(zipped(minimal()))
        at = data.rindex(b"xl/worksheets/sheet1.xml") - 46
        struct.pack_into("<H" if field == 8 else "<I", data, at + field, value)
        return bytes(data)

    return build


def overlapping() -> bytes:
    """Two directory entries for the same bytes, the trick of small archives that unpack to huge ones."""
    data = zipped(minimal())
    start, size = struct.unpack_from("<2L", data, len(data) - 10)[::-1]
    last = data.rindex(b"PK\x01\x02")
    entry = bytearray(data[last : start + size])
    name = data[last + 46 : start + size]
    local = struct.unpack_from("<L", entry, 42)[0]
    body = bytearray(data[:start])
    directory = data[start : start + size] + bytes(entry).replace(name, name[:-5] + b"2.xml")
    assert body[local : local + 4] == b"PK\x03\x04"
    return bytes(body) + directory + struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, 6, 6, len(directory), start, 0)


def many_parts(count: int) -> Builder:
    return lambda: zipped({**minimal(), **{f"xl/media/{number}.txt": "" for number in range(count)}})


def claimed_size(size: int) -> Builder:
    """A picture that says it unpacks to gigabytes."""

    def build() -> bytes:
        data = bytearray(zipped(minimal(), {"xl/media/a.bmp": b"1" * 99}))
        struct.pack_into("<I", data, data.rindex(b"xl/media/a.bmp") - 46 + 24, size)
        return bytes(data)

    return build


def spaces(megabytes: int) -> Builder:
    """A sheet that is almost only spaces: a kilobyte packed, many megabytes when unpacked."""
    return lambda: zipped(minimal(), {"xl/worksheets/sheet1.xml": sheet(" " * (megabytes * 1_000_000))})


def columns(count: int) -> str:
    return "".join(f"<row><c><v>{number}.{zlib.crc32(str(number).encode())}</v></c></row>" for number in range(count))


def with_styles(formats: Callable[[], str]) -> Builder:
    """A styles part with these cell formats."""
    links = relations(("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId2", "styles", "styles.xml"))

    def build() -> bytes:
        styles = f'<styleSheet xmlns="{MAIN}"><cellXfs>{formats()}</cellXfs></styleSheet>'
        return zipped(minimal(), {"xl/_rels/workbook.xml.rels": links, "xl/styles.xml": styles})

    return build


SHEET_LINK = ("rId1", "worksheet", "worksheets/sheet1.xml")
NOT_A_WORKBOOK: dict[str, tuple[Builder, str]] = {
    "empty file": (lambda: b"", "the file is empty"),
    "old binary workbook": (ole("Workbook"), "old binary format (.xls)"),
    "older binary workbook": (ole("Book"), "old binary format (.xls)"),
    "password": (ole("EncryptionInfo", "EncryptedPackage"), "protected by a password"),
    "old text document": (ole("WordDocument"), "old office file without a workbook"),
    "PDF": (lambda: b"%PDF-1.7\n%\xe2\xe3", "this is a PDF"),
    "picture": (lambda: b"\x89PNG\r\n\x1a\n", "a picture (PNG)"),
    "CSV": (lambda: b"label,value\nPilot,64.1\n", "plain text"),
    "CSV in UTF-16": (lambda: "label\tvalue\n".encode("utf-16"), "plain text"),
    "web page": (lambda: b"<html><table><tr><td>1</td></tr></table></html>", "a web page"),
    "XML spreadsheet": (lambda: b'<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet">', "of 2003"),
    "gzip": (lambda: b"\x1f\x8b\x08\0\0\0", "a gzip archive"),
    "noise": (lambda: bytes(range(256)), "not a workbook"),
    "zip of photos": (lambda: zipped({"a.jpg": b"1"}), "without a workbook in it"),
    "ods": (lambda: zipped({"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}), "(.ods)"),
    "odt": (lambda: zipped({"mimetype": "application/vnd.oasis.opendocument.text", "META-INF/manifest.xml": "<a/>"}), "not a spreadsheet"),
    "xlsb": (changed("[Content_Types].xml", types("application/vnd.ms-excel.sheet.binary.macroEnabled.main")), "(.xlsb)"),
    "docx": (changed("[Content_Types].xml", types("application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml")), "a text document"),
    "strict namespace": (changed("xl/workbook.xml", workbook(main="http://purl.oclc.org/ooxml/spreadsheetml/main")), "Strict Open XML"),
    "strict relationship": (changed("_rels/.rels", relations(("rId1", "http://purl.oclc.org/ooxml/officeDocument/relationships/officeDocument", "xl/workbook.xml"))), "Strict Open XML"),
    "zip with a password": (lying_directory(8, 1), "zip archive is protected by a password"),
}  # fmt: skip
TOO_LARGE: dict[str, tuple[Builder, str]] = {
    "bomb of spaces": (spaces(40), "times its size"),
    "huge when unpacked": (claimed_size(3_000_000_000), "3000 MB when unpacked"),
    "too many parts": (many_parts(6_000), "more than 5000 parts"),
    "far too many parts": (many_parts(30_000), "more than 5000 parts"),
    "too many styles": (with_styles(lambda: "".join(f'<xf numFmtId="{zlib.crc32(str(n).encode())}"/>' for n in range(161_000))), "xl/styles.xml has too many elements"),
    "too many cells": (with_rows(columns(151_000)), "more than 150 000 cells"),
}  # fmt: skip
DAMAGED: dict[str, tuple[Builder, str]] = {
    "cut off": (lambda: zipped(minimal())[:-40], "its end is missing"),
    "cut in half": (lambda: zipped(minimal())[:700], "its end is missing"),
    "first bytes only": (lambda: b"PK\x03\x04", "its end is missing"),
    "two parts of one name": (two_of_a_name, "two parts named"),
    "parts that overlap": (overlapping, "a part two names"),
    "bit turned over": (flipped("xl/worksheets/sheet1.xml", 20), "its part xl/worksheets/sheet1.xml"),
    "wrong checksum": (lying_directory(16, 7), "checksum"),
    "wrong size": (lying_directory(24, 7), "checksum"),
    "wrong packed size": (lying_directory(20, 9_999), "overlaps"),
    "points to nowhere": (lying_directory(42, 999_999), "points to nowhere"),
    "DOCTYPE in the workbook": (changed("xl/workbook.xml", BOMB + "<workbook/>"), "has a DOCTYPE"),
    "DOCTYPE in a sheet": (changed("xl/worksheets/sheet1.xml", OUTSIDE + "<worksheet>&x;</worksheet>"), "has a DOCTYPE"),
    "DOCTYPE in a drawing": (changed("xl/drawings/drawing1.xml", OUTSIDE + "<a>&x;</a>"), "drawing1.xml has a DOCTYPE"),
    "DOCTYPE in the content types": (changed("[Content_Types].xml", BOMB + "<Types/>"), "has a DOCTYPE"),
    "DOCTYPE in UTF-16": (changed("xl/a.xml", "<!DOCTYPE a [<!ENTITY x 'y'>]><a>&x;</a>".encode("utf-16")), "has a DOCTYPE"),
    "DOCTYPE behind a long comment": (changed("xl/a.xml", f"<!--{'x' * 70_000}--><!DOCTYPE a><a/>"), "before its contents"),
    "workbook missing": (changed("xl/workbook.xml", None), "xl/workbook.xml is missing"),
    "sheet missing": (changed("xl/worksheets/sheet1.xml", None), 'the contents of its sheet "Corner" are missing'),
    "relationships missing": (changed("xl/_rels/workbook.xml.rels", None), 'its sheet "Corner" are missing'),
    "root relationships missing": (changed("_rels/.rels", None), "which of its parts is the workbook"),
    "wrong relationship id": (changed("xl/_rels/workbook.xml.rels", relations(("rId9", *SHEET_LINK[1:]))), "are missing"),
    "sheet outside the file": (changed("xl/_rels/workbook.xml.rels", relations(("rId1", "worksheet", "../../../../etc/passwd"))), "are missing"),
    "styles missing": (changed("xl/_rels/workbook.xml.rels", relations(SHEET_LINK, ("rId2", "styles", "styles.xml"))), "xl/styles.xml is missing"),
    "shared texts missing": (changed("xl/_rels/workbook.xml.rels", relations(SHEET_LINK, ("rId2", "sharedStrings", "s.xml"))), "xl/s.xml is missing"),
    "no sheets": (changed("xl/workbook.xml", workbook("<sheets/>")), "it has no sheets"),
    "no list of sheets": (changed("xl/workbook.xml", f'<a xmlns="{MAIN}"/>'), "its list of sheets is missing"),
    "two sheets of one name": (changed("xl/workbook.xml", workbook('<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/><sheet name="CORNER" sheetId="2" r:id="rId1"/></sheets>')), "have the same name"),
    "line end in a name": (changed("xl/workbook.xml", workbook('<sheets><sheet name="Cor&#10;ner&#13;" sheetId="1" r:id="rId7"/></sheets>')), 'the contents of its sheet "Cor ner " are missing'),
    "endless name": (changed("xl/workbook.xml", workbook(f'<sheets><sheet name="{"x" * 90_000}" sheetId="1" r:id="rId7"/></sheets>')), "xxx ..."),
    "broken XML": (changed("xl/worksheets/sheet1.xml", f'<worksheet xmlns="{MAIN}"><sheetData>'), 'its sheet "Corner" is not readable'),
    "encoding that does not exist": (changed("xl/workbook.xml", workbook().replace("UTF-8", "nokF-8")), "unknown encoding"),
    "half a letter of UTF-16": (changed("xl/workbook.xml", b"\xff\xfe<"), "is not readable"),
    "broken workbook": (changed("xl/workbook.xml", "<workbook"), "is not readable"),
    "text that is not there": (with_rows('<row r="1"><c r="A1" t="s"><v>5</v></c></row>'), "Corner!A1: the workbook is damaged: its text is missing"),
    "text number below zero": (with_rows('<row r="1"><c r="A1" t="s"><v>-1</v></c></row>'), "Corner!A1: the workbook is damaged: its text is missing"),
    "number that is none": (with_rows('<row r="1"><c r="B2"><v>sixty</v></c></row>'), 'Corner!B2: the workbook is damaged: its number is stored as "sixty"'),
    "infinite number": (with_rows('<row r="1"><c r="B2"><v>1e999</v></c></row>'), 'stored as "1e999"'),
    "address that is none": (with_rows('<row r="1"><c r="R1C1"><v>1</v></c></row>'), "not a cell's address"),
    "cell outside of any sheet": (with_rows('<row r="1"><c r="XFE1"><v>1</v></c></row>'), "outside of any sheet"),
    "row outside of any sheet": (with_rows('<row><c r="A1048577"><v>1</v></c></row>'), "outside of any sheet"),
    "a cell twice": (with_rows('<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row>'), "there twice"),
    "external entity": (with_rows('<row r="1"><c r="A1" t="str"><v>&passwd;</v></c></row>'), "is not readable"),
}  # fmt: skip
FAULTY: dict[str, tuple[Builder, str, str]] = {
    name: (build, kind, words)
    for kind, group in (("not a workbook", NOT_A_WORKBOOK), ("too large", TOO_LARGE), ("damaged", DAMAGED))
    for name, (build, words) in group.items()
}
HARMLESS: dict[str, Builder] = {
    "merge over the whole sheet": with_rows('<row r="1"><c r="A1"><v>1</v></c></row>', '<mergeCells count="1"><mergeCell ref="A1:XFD20000"/></mergeCells>'),
    "cell in the last corner": with_rows('<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>2</v></c></row>'),
    "all columns styled": with_rows('<row r="1"><c r="A1"><v>1</v></c></row>' + "".join(f'<row r="{row}" s="0" customFormat="1"/>' for row in range(2, 9000))),
    "link to another file": changed("xl/worksheets/_rels/sheet1.xml.rels", f'{HEAD}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{OFFICE}/hyperlink" Target="file:///etc/passwd" TargetMode="External"/></Relationships>'),
}  # fmt: skip
"""Workbooks that look like an attack but can be read cheaply."""
