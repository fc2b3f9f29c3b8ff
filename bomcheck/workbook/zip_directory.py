"""The directory of a zip archive: which members it has and where their bytes lie.

Layout after PKWARE's APPNOTE.TXT 6.3: local header, data and (flag bit 3) descriptor of each member, then the central
directory, then the end record; sizes beyond 4 GB, or of writers that always do so, stand in zip64 fields.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.workbook.refusal import damaged, refuse, too_large

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
