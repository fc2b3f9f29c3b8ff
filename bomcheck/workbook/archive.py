"""A zip archive as it lies in memory: its limits, and the exact bytes of every member.

Members are kept as raw bytes, so that they can be copied without being inflated.
"""

import struct
import zlib

from bomcheck.workbook.refusal import damaged, too_large
from bomcheck.workbook.zip_directory import MOST_PARTS, Member, find_directory, read_directory

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
