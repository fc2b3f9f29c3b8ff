"""Bytes turned over anywhere in a workbook: it is read, or refused in one line; never another error."""

import os
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bomcheck.io.package import Package, open_package
from bomcheck.io.splice import write_back
from bomcheck.model.errors import WorkbookError
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import minimal, zipped

EXAMPLES = int(os.environ.get("BOMCHECK_FUZZ", "100"))


def checked_parts() -> dict[str, str]:
    """The XML parts of the smallest workbook after a run, with our sheets, styles, names, a chart and notes in it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.xlsx"
        path.write_bytes(zipped(minimal()))
        write_back(open_package(path), our_sheets(), KINDS, path)
        archive = open_package(path).archive
        return {name: archive.read(name).decode() for name in archive.members}


OURS = our_sheets()
PLAIN = zipped(minimal())
XML = checked_parts()
BUSY = (HealthCheck.too_slow, HealthCheck.function_scoped_fixture)
CHANGES = st.lists(st.tuples(st.integers(0, len(PLAIN) - 1), st.integers(1, 255)), min_size=1, max_size=6)
PIECES = st.sampled_from(
    [
        '"',
        "<",
        "/>",
        "<a>",
        "&#0;",
        "&#10;",
        "&#133;",
        "\0",
        "r:id",
        "rId1",
        "..",
        "]]>",
        "-1",
        "9" * 25,
        "é",
        "xmlns=''",
        " ",
    ]
)


def use(data: bytes) -> None:
    """Read everything and write a result beside; a refusal is one whole line."""
    try:
        package = Package(Path("job.xlsx"), data)
        for name in package.sheet_names:
            package.cells(name)
        target = Path(os.environ.get("TMPDIR", "/tmp")) / f"bomcheck-fuzz-{os.getpid()}.xlsx"
        try:
            write_back(package, OURS, KINDS, target)
        finally:
            target.unlink(missing_ok=True)
    except WorkbookError as error:
        line = str(error)
        assert "\n" not in line
        assert line.startswith(("job.xlsx: ", "bomcheck-fuzz"))
        assert line.endswith(".")


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=BUSY)
@given(CHANGES)
def test_bytes_of_the_archive(changes: list[tuple[int, int]]) -> None:
    data = bytearray(PLAIN)
    for at, change in changes:
        data[at] ^= change
    use(bytes(data))


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=BUSY)
@given(st.integers(0, len(PLAIN)), st.integers(0, len(PLAIN)), st.binary(max_size=40))
def test_pieces_of_the_archive(start: int, end: int, new: bytes) -> None:
    use(PLAIN[: min(start, end)] + new + PLAIN[max(start, end) :])


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=BUSY)
@given(st.sampled_from(sorted(XML)), st.floats(0, 1), st.integers(0, 9), PIECES)
def test_letters_of_the_parts(part: str, where: float, length: int, new: str) -> None:
    """The archive is sound, what stands in one of its parts is not."""
    content = XML[part]
    at = int(where * len(content))
    use(zipped(XML, {part: content[:at] + new + content[at + length :]}))
