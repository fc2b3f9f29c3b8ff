"""The Job history: what the bench wrote on the printed sheets and typed in, with the day on which it was first seen."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from bomcheck.io import layout as palette
from bomcheck.io.cells import Cell as ReadCell
from bomcheck.io.package import texts_below
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.model.line import Line
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.paper.fit_up import fit_up
from bomcheck.paper.tick_list import BENCH_PREFIX, as_used

NAME, KIND = "Job history", "history"
WIDTHS = (19, 55, 38, 3)
HEADINGS = ("Day", "What", "Written there", "Name")
SIGNED = f"{BENCH_PREFIX}signed Fitted by, date"
FITTED = "fitted "


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was written. day: ISO, of the check that saw it first. what: in words. key: of its row and column."""

    day: str
    what: str
    said: str
    key: str


def read_history(cells: Mapping[str, ReadCell]) -> list[Entry]:
    """The entries that stand on the sheet."""
    return [one for one in (Entry(*texts) for texts in texts_below(cells, HEADINGS)) if one.key]


def of_found(found: Mapping[str, tuple[str, str]], day: date | None) -> list[Entry]:
    """What was found and went into its own cell, by the name of its line."""
    return [Entry(day.isoformat() if day else "", what, said, f"{line} {said}") for line, (what, said) in found.items()]


def entries(book: Book, before: Sequence[Entry]) -> list[Entry]:
    """Those of before, and what was written or changed since; nothing of it is ever taken out."""
    last = {one.key: one.said for one in before}
    return [*before, *(one for one in _now(book) if last.get(one.key) != one.said)]


def _now(book: Book) -> Iterator[Entry]:
    for line, typed in book.kept.items():
        if line.startswith(BENCH_PREFIX):
            about = book.bench.get(line) or line.removeprefix(BENCH_PREFIX).split("|")[0].strip()
            for key, value in typed.items():
                said = f"{value:g}" if isinstance(value, int | float) else str(value)
                name = "" if key in ("done", "tried") else f", {key}"
                yield Entry(book.now, f"{about}{name}", said, f"{line.split('|')[0].strip()} {key}")
    if book.kept.get(SIGNED):
        for step in fit_up(_as_used(book.report, as_used(book.report.parts, book.kept))).steps:
            if step.parts:
                yield Entry(book.now, f"Fitted: {step.title}", "; ".join(step.parts), f"{FITTED}{step.title}")


def _as_used(report: Report, used: Mapping[str, Line]) -> Report:
    """With the parts that were really used in the place of those that were planned."""
    axles = tuple(_as_used(one, used) for one in report.axles)
    return replace(report, parts=tuple(used.get(line.key, line) for line in report.parts), axles=axles)


def write_history(book: Book, found: Sequence[Entry]) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False, printed=3)
    page.head(NAME, book.who, HEADINGS)
    for one in found:
        page.line([text(one.day), text(one.what), text(one.said), Cell(one.key, ("key",))])
    page.finish()
