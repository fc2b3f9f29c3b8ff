"""Every workbook that the project writes, each built the way a user gets it, by a name that says what it is."""

from collections.abc import Callable, Iterator
from datetime import date
from functools import cache, partial
from pathlib import Path
from shutil import copy
from tempfile import TemporaryDirectory

from click.testing import CliRunner

from bomcheck.commands.check import check_workbook
from bomcheck.commands.cli import main
from bomcheck.commands.order import order
from bomcheck.commands.receive import receive_slip
from bomcheck.model.shipped import folder
from tests.export.shop_books import prepared_book, shop_book
from tests.helpers import tables

Build = Callable[[Path], object]
TODAY = date(2026, 11, 25)
TEMPLATES = sorted(folder("templates_xlsx").glob("*.xlsx"))
DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))
HILL_CLIMB = folder("demo_workbooks") / "hill_climb_two_seater.xlsx"
ESTATE = folder("demo_workbooks") / "estate_rear_axle.xlsx"
SLIP = "Part no,Description,Qty,Side\nRK-R280-L,rotor,2,left\nRK-HN6,nut,15,\nLC-1,clips,5,\nQQ,poster,1,\n"
"""Two left rotors, a nut short, a clip too many, a part that nobody ordered."""


@cache
def _result(demo: Path) -> bytes:
    with TemporaryDirectory() as made:
        path = Path(made) / "result.xlsx"
        check_workbook(demo, out=path, write=True, backup=False, today=TODAY)
        return path.read_bytes()


def checked(demo: Path, path: Path) -> None:
    """The result of `bomcheck check` beside the job; a demo is checked once in a process."""
    path.write_bytes(_result(demo))


def checked_twice(demo: Path, path: Path) -> None:
    """The result, checked in place once more."""
    checked(demo, path)
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)


def appended(make: Build, path: Path) -> None:
    """Two jobs' orders in a shop's own ordering spreadsheet."""
    make(path)
    for job in (HILL_CLIMB, ESTATE):
        order(job, path, TODAY)


def ordered_twice(path: Path) -> None:
    """A new order workbook that took a second job's lines."""
    for job in (HILL_CLIMB, ESTATE):
        order(job, path, TODAY)


def received(path: Path) -> None:
    """A checked job into which a packing slip was booked."""
    checked(HILL_CLIMB, path)
    slip = path.with_suffix(".csv")
    slip.write_text(SLIP)
    receive_slip(path, slip, TODAY)


def typed(*words: str, path: Path) -> None:
    """A command as it is typed, with the workbook it writes; whatever its verdict, it must have read and written."""
    done = CliRunner().invoke(main, [*words, str(path)])
    assert done.exit_code in (0, 1, 3), done.output


def screened(corners: Path | None, path: Path) -> None:
    """`bomcheck screen` of invented tables, or of one job against a table of kits."""
    rows = tables.write_csv(path.with_suffix(".corners.csv"), tables.corners(12, 3))
    kits = tables.write_csv(path.with_suffix(".kits.csv"), tables.kits(15, 3))
    typed("screen", str(corners or rows), str(kits), "--processes", "1", "--out", path=path)


def _builds() -> Iterator[tuple[str, Build]]:
    for shipped in TEMPLATES:
        yield f"template {shipped.stem}", partial(copy, shipped)
    for demo in DEMOS:
        yield f"demo {demo.stem}", partial(copy, demo)
        yield f"result of {demo.stem}", partial(checked, demo)
        yield f"second result of {demo.stem}", partial(checked_twice, demo)
        yield f"order of {demo.stem}", lambda path, job=demo: order(job, path, TODAY)
    yield "orders in a shop's sheet", partial(appended, shop_book)
    yield "orders in a shop's table", partial(appended, partial(shop_book, table=True))
    yield "orders in prepared rows", partial(appended, prepared_book)
    yield "orders of two jobs", ordered_twice
    yield "received", received
    yield "screening", partial(screened, None)
    yield "screening of one job", partial(screened, ESTATE)
    for kind in ("--corners", "--kits"):
        yield f"blank {kind[2:]}", lambda path, kind=kind: typed("new", kind, path=path)
        yield f"blank {kind[2:]} in inches", lambda path, kind=kind: typed("new", kind, "--inch", path=path)


WORKBOOKS = dict(_builds())


def file_name(name: str) -> str:
    """Of the workbook of this name."""
    return f"{name.replace(' ', '_')}.xlsx"
