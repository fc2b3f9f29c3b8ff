"""Live formulas against the program: sizes are changed at random in a checked workbook, LibreOffice works its formulas out
anew, and every check that they follow has the verdict and the margin that `check` gives for the changed job.

Outside judge: LibreOffice Calc. How many changes: the environment variable BOMCHECK_LIVE, else a few.
"""

import os
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from random import Random
from zipfile import ZIP_STORED, ZipFile

import pytest

from bomcheck.assess import assess
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import judge_range, prepare
from bomcheck.engine.settle import settle
from bomcheck.io.layout import PLUS_MINUS, VALUE
from bomcheck.io.package import open_package
from bomcheck.io.read.job import job_of
from bomcheck.io.sheets.compatibility import OLDER
from bomcheck.io.sheets.proof import AGAIN, FAILS, OTHER_SHIMS, PROOF, WITH_SHIMS
from bomcheck.model.finding import Finding
from bomcheck.model.job import Value
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import inside
from bomcheck.paper.live import live
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from tests.workbook.every_workbook import TODAY, checked
from tests.workbook.once import made_once
from tests.workbook.plain_cells import Plain, plain_cells
from tests.workbook.recalculate import recalculate

COUNT = int(os.environ.get("BOMCHECK_LIVE", "21"))
DEMOS = [one for one in sorted(folder("demo_workbooks").glob("*.xlsx")) if "both_axles" not in one.stem]
FAILING = ("does not fit", "needs machining", "fits with parts")


def _sheet_parts(data: bytes) -> dict[str, str]:
    """Part of each sheet of the user's, by its name."""
    with ZipFile(BytesIO(data)) as archive:
        book = archive.read("xl/workbook.xml").decode()
        links = dict(
            re.findall(
                r'<Relationship Id="([^"]+)"[^>]*?Target="([^"]+)"', archive.read("xl/_rels/workbook.xml.rels").decode()
            )
        )
    sheets = re.findall(r'<sheet name="([^"]+)"[^>]*?r:id="([^"]+)"', book)
    return {name: f"xl/{links[key].lstrip('/').removeprefix('xl/')}" for name, key in sheets if key in links}


def _with_numbers(data: bytes, numbers: dict[tuple[str, str], float]) -> bytes:
    """The workbook with figures in cells of the user's sheets, by (sheet, address)."""
    parts, out = _sheet_parts(data), BytesIO()
    changed: dict[str, dict[str, float]] = {}
    for (sheet, cell), number in numbers.items():
        changed.setdefault(parts[sheet], {})[cell] = number
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w", ZIP_STORED) as new:
        for name in old.namelist():
            content = old.read(name)
            for cell, number in changed.get(name, {}).items():
                pattern = rb'<c r="%s"( s="\d+")?[^>]*?(?:/>|>.*?</c>)' % cell.encode()
                written = rb'<c r="%s"\1><v>%s</v></c>' % (cell.encode(), repr(number).encode())
                content, count = re.subn(pattern, written, content)
                assert count == 1, (name, cell)
            new.writestr(name, content)
    return out.getvalue()


def _changes(report: Report, random: Random) -> dict[tuple[str, str], float]:
    """One to five sizes by up to a few times their ±, some of them with another ±."""
    sizes = [size for size in live(report).sizes.values() if size.typed and _number(report.job.values[size.key])]
    numbers: dict[tuple[str, str], float] = {}
    for size in random.sample(sizes, random.randint(1, 5)):
        value = report.job.values[size.key]
        typed = float(value.typed)
        scale = typed / size.value if typed and abs(typed / size.value - 1) > 0.5 else 1.0
        step = random.choice((0.3, 1.0, 4.0)) * max(size.half, 0.05) * random.uniform(-1, 1)
        numbers[value.place.sheet, value.place.cell] = round(typed + step * scale, 4)
        if random.random() < 0.4:
            letters = "ABCDEF"
            beside = value.place.cell.replace(letters[VALUE], letters[PLUS_MINUS])
            numbers[value.place.sheet, beside] = round(abs(step) * scale * random.uniform(0, 2), 4)
    return numbers


def _number(value: Value) -> bool:
    try:
        float(value.typed)
    except ValueError:
        return False
    return bool(value.place.cell) and value.place.sheet in ("Corner", "Kit")


@pytest.fixture(scope="session")
def changed_books(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """(workbooks with changed sizes, the same worked out anew by LibreOffice in one start)."""

    def write(into: Path) -> None:
        random = Random(20)
        for number in range(COUNT):
            demo = DEMOS[number % len(DEMOS)]
            result = into / f"{demo.stem}.result"
            if not result.exists():
                checked(demo, into / f"{demo.stem}.xlsx")
                (into / f"{demo.stem}.xlsx").rename(result)
            data = result.read_bytes()
            report = assess(job_of(open_package(demo)), TODAY)
            (into / f"{number:03}_{demo.stem}.xlsx").write_bytes(_with_numbers(data, _changes(report, random)))

    made = made_once(tmp_path_factory, "changed_books", write)
    return made, made_once(
        tmp_path_factory, "changed_worked_out", lambda out: recalculate(sorted(made.glob("*.xlsx")), out)
    )


@dataclass(frozen=True)
class Row:
    """A row of Proof as LibreOffice works it out."""

    word: str
    least: float
    most: float
    margin: float | None


def _rows(cells: Mapping[tuple[int, str], Plain]) -> dict[str, Row]:
    """Of the sheet Proof."""

    def at(row: int, name: str) -> Plain | None:
        return cells.get((row, "ABCDEFGHIJKL"[PROOF[name]]))

    rows = {}
    for row in {row for row, _ in cells}:
        title, word, least, most, margin = (at(row, one) for one in ("check", "verdict", "least", "most", "margin"))
        if title and word and word.formula and least and most and least.formula:
            found = float(margin.value) if margin and margin.kind == "number" else None
            rows[str(title.value)] = Row(str(word.value), float(least.value), float(most.value), found)
    return rows


def _agrees(row: Row, finding: Finding, scale: float) -> str:
    """ "" where the row says what the finding says, else what differs."""
    same = {FAILS: FAILING, "not known": ("not known",), "fits": ("fits",)}.get(row.word, (row.word,))
    if finding.verdict not in same:
        return f"{row.word}, check says {finding.verdict}"
    room = finding.margin
    if room is not None and room != float("inf") and row.margin is not None:
        unit = scale if finding.unit == "mm" else 1.0
        if abs(row.margin - room * unit) > 1e-6 * max(1.0, abs(room)):
            return f"margin {row.margin}, check says {room * unit}"
    return ""


def _agrees_with_stack(row: Row, name: str, report: Report, before: Report, scale: float) -> str:
    """The engine's own range with the stack that was filled in before the sizes were changed."""
    check, sizes = all_checks()[name], Inputs(settle(report.job), DERIVATIONS)
    ready = prepare(check, sizes)
    if ready.settled is not None or ready.limit is None:
        return f"{row.word}, check says {ready.settled}"
    stack = before.plans[check.stack].likely.thickness
    found, _ = judge_range(ready, sizes, {STACKS[check.stack]: stack})
    assert found.value is not None
    unit = scale if check.unit == "mm" else 1.0
    word = WITH_SHIMS if inside(found.value, ready.limit) else OTHER_SHIMS
    if word != row.word:
        return f"{row.word}, the engine says {word}"
    if abs(row.least - found.value.low * unit) > 1e-6 or abs(row.most - found.value.high * unit) > 1e-6:
        return f"{row.least} to {row.most}, the engine says {found.value}"
    return ""


def test_changed_sizes_give_what_check_gives(changed_books: tuple[Path, Path]) -> None:
    """Verdict and margin of every check that the formulas follow; where a remedy changes a size that the check reads, the
    sheet shows the check as it stands, before the remedy, and is not compared. Nor is one that reads a size which now
    contradicts the box or is out of range: that is only seen when the workbook is read again, which the mark on the first page
    asks for."""
    made, worked_out = changed_books
    told, differ, unmarked = Counter[str](), list[str](), list[str]()
    bodies, before = 0, {demo.stem: assess(job_of(open_package(demo)), TODAY) for demo in DEMOS}
    for book in sorted(made.glob("*.xlsx")):
        report = assess(job_of(open_package(book)), TODAY)
        scale = 1 / 25.4 if report.job.get("units") == "inch" else 1.0
        findings = {one.title: one for one in report.findings}
        sheets = plain_cells(worked_out / book.name)
        unmarked += [book.stem] if OLDER not in {cell.value for cell in sheets["Compatibility"].values()} else []
        for title, row in _rows(sheets["Proof"]).items():
            finding = findings[title]
            told[row.word] += 1
            bodies += finding.interface == "space" and row.word != AGAIN
            if report.job.rejected.keys() & {*finding.reads, *finding.asks}:
                told["rejected"] += 1
                continue
            cured = any(report.job.values.get(key) != report.cured.values.get(key) for key in finding.reads)
            if row.word == AGAIN or cured or finding.basis != "sizes":
                continue
            if row.word in (WITH_SHIMS, OTHER_SHIMS):
                difference = _agrees_with_stack(row, finding.check, report, before[book.stem[4:]], scale)
            else:
                difference = "" if finding.with_stack is not None else _agrees(row, finding, scale)
            if difference:
                differ.append(f"{book.stem}: {title}: {difference}")
    assert (differ, unmarked) == ([], [])
    assert bodies > COUNT
    assert told["fits"] > 10 * COUNT
    assert told[FAILS] + told["not known"] > COUNT / 3
    assert told[WITH_SHIMS] + told[OTHER_SHIMS] > COUNT / 2
    assert told["rejected"] < 0.05 * sum(told.values())
    assert told[AGAIN] < 0.2 * sum(told.values())
