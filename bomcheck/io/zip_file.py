"""What kind of file it is, and a zip file's directory and parts, looked at before anything is inflated."""

import struct
import zlib
from collections.abc import Iterator
from pathlib import Path

from bomcheck.io.disk import read_ordinary
from bomcheck.io.refusal import damaged, refuse, too_large
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass
from bomcheck.tables import rows

MOST_PARTS = 5_000
LARGEST_DIRECTORY = 2_000_000
_END = struct.Struct("<4s4H2LH")
_END64 = struct.Struct("<4sQ2H2L4Q")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_LOCAL = struct.Struct("<4s5H3L2H")
_FULL = 0xFFFFFFFF


@dataclass(frozen=True, slots=True)
class Member:
    """One file of the archive. offset, data, end: positions of its local header, its packed data, its last byte + 1.

    record: its entry of the central directory, byte for byte; offset_at: where in `record` the offset stands, and how
    many bytes it has there (4, or 8 in a zip64 field).
    """

    name: str
    flags: int
    method: int
    crc: int
    packed: int
    size: int
    offset: int
    data: int
    end: int
    record: bytes
    offset_at: tuple[int, int]


def find_directory(file: str, data: bytes) -> tuple[int, int, bytes]:
    """(start, size, comment) of the central directory [bytes]."""
    at = data.rfind(b"PK\x05\x06", max(0, len(data) - 65_557))
    if at < 0 or at + _END.size > len(data):
        raise damaged(file, "its end is missing, as after a copy that was broken off")
    _, disk, _, _, _, size, start, comment = _END.unpack_from(data, at)
    note = data[at + _END.size : at + _END.size + comment]
    locator = at - 20
    if locator >= 0 and data[locator : locator + 4] == b"PK\x06\x07":
        at = int.from_bytes(data[locator + 8 : locator + 16], "little")
        if data[at : at + 4] != b"PK\x06\x06" or at + _END64.size > len(data):
            raise damaged(file, "its zip directory is broken")
        size, start = _END64.unpack_from(data, at)[8:10]
    if disk not in (0, 0xFFFF) or start + size > at:
        raise damaged(file, "its zip directory is broken")
    if size > LARGEST_DIRECTORY:
        raise too_large(file, f"it holds more than {MOST_PARTS} parts")
    return start, size, note


def read_directory(file: str, data: bytes, at: int, size: int) -> Iterator[Member]:
    end = at + size
    while at < end:
        member, at = _read_record(file, data, at)
        yield member


def _read_record(file: str, data: bytes, at: int) -> tuple[Member, int]:
    """The member whose directory entry stands at `at`, and where the next one starts."""
    fields = _CENTRAL.unpack_from(data, at)
    signature, _, _, flags, method, _, _, crc, packed, size, name_len, extra_len, comment_len = fields[:13]
    if signature != b"PK\x01\x02":
        raise damaged(file, "its zip directory is broken")
    extra_at = at + _CENTRAL.size + name_len
    stop = extra_at + extra_len + comment_len
    raw_name = data[at + _CENTRAL.size : extra_at]
    size, packed, offset, offset_at = _long_fields(data, at, extra_at, extra_len, size, packed, fields[16])
    name = raw_name.decode("utf-8" if flags & 0x800 else "cp437").replace("\\", "/")
    start, end = _extent(file, data, offset, raw_name, packed, flags)
    _require_plain(file, name, flags, method)
    return Member(name, flags, method, crc, packed, size, offset, start, end, data[at:stop], offset_at), stop


def _long_fields(
    data: bytes, at: int, extra_at: int, extra_len: int, size: int, packed: int, offset: int
) -> tuple[int, int, int, tuple[int, int]]:
    """(size, packed, offset, where the offset stands), taken from the zip64 field where the short ones are full."""
    where = (42, 4)
    field, stop = extra_at, extra_at + extra_len
    while field + 4 <= stop:
        kind, length = struct.unpack_from("<2H", data, field)
        if kind == 1:
            spot = field + 4
            if size == _FULL:
                size, spot = int.from_bytes(data[spot : spot + 8], "little"), spot + 8
            if packed == _FULL:
                packed, spot = int.from_bytes(data[spot : spot + 8], "little"), spot + 8
            if offset == _FULL:
                offset, where = int.from_bytes(data[spot : spot + 8], "little"), (spot - at, 8)
        field += 4 + length
    return size, packed, offset, where


def _extent(file: str, data: bytes, offset: int, raw_name: bytes, packed: int, flags: int) -> tuple[int, int]:
    """(start of the packed data, end of the member): the descriptor after the data, if any, belongs to it."""
    if offset + _LOCAL.size > len(data) or data[offset : offset + 4] != b"PK\x03\x04":
        raise damaged(file, "its zip directory points to nowhere")
    name_len, extra_len = _LOCAL.unpack_from(data, offset)[9:11]
    name_at = offset + _LOCAL.size
    if data[name_at : name_at + name_len] != raw_name:
        raise damaged(file, "its zip directory gives a part two names")
    start = name_at + name_len + extra_len
    return start, start + packed + (_descriptor(data, start + packed) if flags & 8 else 0)


def _descriptor(data: bytes, at: int) -> int:
    """Length of the descriptor at `at`: 4-byte or 8-byte sizes, with or without its signature [bytes]."""
    signed = 4 if data[at : at + 4] == b"PK\x07\x08" else 0
    for length in (12, 20):
        if data[at + signed + length : at + signed + length + 2] == b"PK":
            return signed + length
    return signed + 12


def _require_plain(file: str, name: str, flags: int, method: int) -> None:
    if flags & 1:
        instead = "Remove the password and save it"
        raise refuse("not a workbook", file, "the zip archive is protected by a password", instead)
    if method not in (0, 8):
        raise damaged(file, f"its part {name} is packed in a way that no workbook uses")


LARGEST_INFLATED = 1_000_000_000
LARGEST_XML_PART = 50_000_000
LARGEST_RATIO = 200
"""Inflated to packed size of an XML part above a megabyte; sheets full of numbers reach about 30."""
XML_ENDINGS = (".xml", ".rels", ".vml")


class Archive:
    """The members of one zip archive by name, in the order of the directory."""

    def __init__(self, file: str, data: bytes) -> None:
        """file: name for messages. Raises WorkbookError for a damaged archive or one beyond the limits."""
        self.file, self.data = file, data
        self.members: dict[str, Member] = {}
        self._lower: dict[str, str] = {}
        directory, size, self.comment = find_directory(file, data)
        try:
            for member in read_directory(file, data, directory, size):
                self._add(member)
        except (struct.error, UnicodeDecodeError):
            raise damaged(file, "its zip directory is broken") from None
        _require_apart(file, list(self.members.values()), directory)
        _require_within_limits(file, list(self.members.values()))

    def _add(self, member: Member) -> None:
        if member.name.lower() in self._lower:
            raise damaged(self.file, f"it holds two parts named {member.name}")
        if len(self.members) >= MOST_PARTS:
            raise too_large(self.file, f"it holds more than {MOST_PARTS} parts")
        self._lower[member.name.lower()] = member.name
        self.members[member.name] = member

    def find(self, name: str) -> str | None:
        """The name of a part as it is spelled in the archive; part names ignore case. None if there is none."""
        return self._lower.get(name.lower())

    def raw(self, name: str) -> memoryview:
        """Local header, packed data and descriptor of a member, exactly as they lie in the file."""
        member = self.members[name]
        return memoryview(self.data)[member.offset : member.end]

    def read(self, name: str) -> bytes:
        """The inflated bytes of a member, its length and checksum verified."""
        member = self.members[name]
        if member.size > LARGEST_XML_PART:
            raise too_large(self.file, f"its part {name} has {member.size // 1_000_000} MB when unpacked")
        packed = self.data[member.data : member.data + member.packed]
        try:
            content = zlib.decompressobj(-15).decompress(packed, member.size + 1) if member.method else packed
        except zlib.error:
            raise damaged(self.file, f"its part {name} cannot be unpacked") from None
        if len(content) != member.size or zlib.crc32(content) != member.crc:
            raise damaged(self.file, f"the checksum of its part {name} is wrong")
        return content

    def head(self, name: str, most: int) -> bytes:
        """The first bytes of a member, inflated; less if it is damaged."""
        member = self.members[name]
        packed = self.data[member.data : member.data + min(member.packed, most)]
        if not member.method:
            return packed
        try:
            return zlib.decompressobj(-15).decompress(packed, most)
        except zlib.error:
            return b""


def _require_apart(file: str, members: list[Member], directory: int) -> None:
    """Members that share bytes are how a small archive pretends to be a huge one."""
    edge = 0
    for member in sorted(members, key=lambda one: one.offset):
        if member.offset < edge or member.end > directory:
            raise damaged(file, f"its part {member.name} overlaps another")
        edge = member.end


def _require_within_limits(file: str, members: list[Member]) -> None:
    total = sum(member.size for member in members)
    if total > LARGEST_INFLATED:
        raise too_large(file, f"it has {total // 1_000_000} MB when unpacked")
    for member in members:
        if suspicious(member):
            raise too_large(
                file, f"its part {member.name} unpacks to {member.size // max(1, member.packed)} times its size"
            )


def suspicious(member: Member) -> bool:
    """True for an XML part that unpacks to far more than any real one does, or a stored one that claims two sizes."""
    if member.method == 0:
        return member.size != member.packed
    if not member.name.lower().endswith(XML_ENDINGS):
        return False
    return member.size > 1_000_000 and member.size > LARGEST_RATIO * max(1, member.packed)


LARGEST_FILE = 150_000_000
"""Largest workbook that is read [bytes]; it is held in memory once, as an exact copy to compare with."""
SAVE_AS = "Open it in a spreadsheet program and save it as .xlsx"
OLD_CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def read_file(path: Path) -> bytes:
    """The bytes of a regular file whose first bytes are a zip archive's; raises WorkbookError for all else."""
    data = read_ordinary(path, LARGEST_FILE, "the workbook")
    require_zip(path.name, data)
    return data


def require_zip(name: str, data: bytes) -> None:
    """Raise WorkbookError, naming what the file really is, unless it starts as a zip archive does."""
    if name.startswith(("~$", ".~lock.")):
        raise refuse(
            "not a workbook", name, "this is the lock file of a workbook that is open", "Give the workbook itself"
        )
    if not data:
        raise refuse("not a workbook", name, "the file is empty", "Start from a new template or use an older copy")
    if data.startswith(OLD_CONTAINER):
        raise _old_container(name, data)
    if not data.startswith(b"PK\x03\x04"):
        raise refuse("not a workbook", name, _other_kind(data), SAVE_AS)


def _old_container(name: str, data: bytes) -> WorkbookError:
    """Tell a password-protected workbook from an old binary one by the names in the container's directory."""
    if _has_entry(data, "EncryptedPackage"):
        instead = "Open it, remove the password (File, Info or Save as) and save it"
        return refuse("not a workbook", name, "the workbook is protected by a password", instead)
    if _has_entry(data, "Workbook") or _has_entry(data, "Book"):
        return refuse("not a workbook", name, "this is a workbook in the old binary format (.xls)", SAVE_AS)
    return refuse("not a workbook", name, "this is an old office file without a workbook in it", SAVE_AS)


def _has_entry(data: bytes, entry: str) -> bool:
    """Directory entries are 128 bytes long and start with their name in UTF-16."""
    wanted, at = f"{entry}\0".encode("utf-16-le"), -1
    while (at := data.find(wanted, at + 1)) >= 0:
        if at % 128 == 0:
            return True
    return False


def _other_kind(data: bytes) -> str:
    for row in rows("first_bytes"):
        start, says = bytes.fromhex(row["first"]), row["what"]
        if data.startswith(start):
            return says
    head = data[:4096]
    if b"schemas-microsoft-com:office:spreadsheet" in head:
        return "this is an XML spreadsheet of 2003, not an .xlsx workbook"
    if b"<html" in head.lower() or b"<table" in head.lower():
        return "this is a web page, not a workbook"
    if _is_text(head):
        return "this is plain text (perhaps a CSV file with another ending), not a workbook"
    return "this is not a workbook"


def _is_text(head: bytes) -> bool:
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return True
    return not any(byte < 9 or 13 < byte < 27 for byte in head)
