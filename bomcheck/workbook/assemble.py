"""The new archive: untouched members as they lie in the old one, spliced ones in their old place, ours at the end."""

import struct
import zlib
from collections.abc import Iterator

from bomcheck.workbook.archive import Archive
from bomcheck.workbook.changes import Changes
from bomcheck.workbook.zip_directory import Member

_LOCAL = struct.Struct("<4s5H3L2H")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_END = struct.Struct("<4s4H2LH")
_EARLIEST = (0, 0x21)
"""Time and date of new members: midnight of 1 January 1980, so that two runs give the same bytes."""


def assemble(archive: Archive, changes: Changes) -> Iterator[bytes | memoryview]:
    """The bytes of the result, piece by piece."""
    directory, at = [], 0
    for name, member in archive.members.items():
        if name in changes.removed:
            continue
        if name in changes.edited:
            local, data, record = _packed(name, changes.edited[name], at, _stamp(member))
            yield local
            yield data
            length = len(local) + len(data)
        else:
            raw = archive.raw(name)
            yield raw
            record, length = _moved(member, at), len(raw)
        directory.append(record)
        at += length
    for name, content in changes.added.items():
        local, data, record = _packed(name, content, at, _EARLIEST)
        yield local
        yield data
        directory.append(record)
        at += len(local) + len(data)
    yield from _ending(directory, at, archive.comment)


def _ending(directory: list[bytes], at: int, comment: bytes) -> Iterator[bytes]:
    whole = b"".join(directory)
    yield whole
    yield _END.pack(b"PK\x05\x06", 0, 0, len(directory), len(directory), len(whole), at, len(comment)) + comment


def _stamp(member: Member) -> tuple[int, int]:
    time, date = _CENTRAL.unpack_from(member.record)[5:7]
    return time, date


def _moved(member: Member, at: int) -> bytes:
    """The directory entry of a member that is copied to another place."""
    spot, width = member.offset_at
    return member.record[:spot] + at.to_bytes(width, "little") + member.record[spot + width :]


def _packed(name: str, content: bytes, at: int, stamp: tuple[int, int]) -> tuple[bytes, bytes, bytes]:
    """(local header, packed data, directory entry) of a member that is written anew."""
    packer = zlib.compressobj(6, zlib.DEFLATED, -15)
    data = packer.compress(content) + packer.flush()
    raw = name.encode()
    flags = 0 if name.isascii() else 0x800
    middle = (20, flags, 8, *stamp, zlib.crc32(content), len(data), len(content), len(raw))
    local = _LOCAL.pack(b"PK\x03\x04", *middle, 0) + raw
    record = _CENTRAL.pack(b"PK\x01\x02", 20, *middle, 0, 0, 0, 0, 0, at) + raw
    return local, data, record
