"""Live formulas against the program: sizes are changed at random in a checked workbook, LibreOffice works its formulas out
anew, and every check that they follow has the verdict and the margin that `check` gives for the changed job.

Outside judge: LibreOffice Calc. How many changes: the environment variable BOMCHECK_LIVE, else a few.
"""

import os
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path
from random import Random
from xml.sax.saxutils import escape
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
from bomcheck.tables.fields import fields
from tests.workbook.every_workbook import TODAY, checked, file_name
from tests.workbook.once import made_once
from tests.workbook.plain_cells import Plain, plain_cells
from tests.workbook.recalculate import recalculate
from tests.workbook.sheets.office import NOTES, without

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


Typed = dict[tuple[str, str], float | str | None]
"""What is typed, by sheet and cell; None where a cell is cleared."""


def _cell(address: str, style: bytes, typed: float | str | None) -> bytes:
    """ISO/IEC 29500-1, 18.3.1.4."""
    if typed is None:
        return b'<c r="%s"%s/>' % (address.encode(), style)
    if isinstance(typed, str):
        return b'<c r="%s"%s t="inlineStr"><is><t>%s</t></is></c>' % (address.encode(), style, escape(typed).encode())
    return b'<c r="%s"%s><v>%s</v></c>' % (address.encode(), style, repr(typed).encode())


def _with(data: bytes, typed: Typed) -> bytes:
    """The workbook with something else typed in cells of the user's sheets."""
    parts, out = _sheet_parts(data), BytesIO()
    changed: dict[str, dict[str, float | str | None]] = {}
    for (sheet, cell), one in typed.items():
        changed.setdefault(parts[sheet], {})[cell] = one
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w", ZIP_STORED) as new:
        for name in old.namelist():
            content = old.read(name)
            for address, one in changed.get(name, {}).items():
                pattern = rb'<c r="%s"( s="\d+")?[^>]*?(?:/>|>.*?</c>)' % address.encode()
                found = re.findall(pattern, content)
                assert len(found) == 1, (name, address)
                content = re.sub(pattern, _cell(address, found[0], one).replace(b"\\", rb"\\"), content)
            new.writestr(name, content)
    return out.getvalue()


def _changes(report: Report, random: Random) -> Typed:
    """One to five sizes by up to a few times their ±, some of them with another ±."""
    sizes = [size for size in live(report).sizes.values() if size.typed and _number(report.job.values[size.key])]
    numbers: Typed = {}
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


def _other_words(report: Report, random: Random) -> Typed:
    """One to three cells cleared, filled in where they were blank, or with another choice or a word that cannot be read."""
    values = {key: one.place for key, one in report.job.values.items() if one.place.cell}
    places = {
        key: place for key, place in (values | dict(report.job.blank)).items() if place.sheet in ("Corner", "Kit")
    }
    typed: Typed = {}
    for key in random.sample(sorted(places), random.randint(1, 3)):
        field, middle = fields()[key], 0.4 * (fields()[key].low or 0.0) + 0.6 * (fields()[key].high or 0.0)
        number = round(middle / 25.4 if report.job.get("units") == "inch" and field.unit == "mm" else middle, 4)
        words = [one for one in field.choices if key not in values or one != report.job.values[key].value]
        others: list[float | str | None] = list(words) or ([number] if field.notation == "number" else ["no idea"])
        typed[places[key].sheet, places[key].cell] = random.choice(others if key not in values else [*others[:3], None])
    return typed


@cache
def _report(demo: Path) -> Report:
    return assess(job_of(open_package(demo)), TODAY)


def _books(
    tmp_path_factory: pytest.TempPathFactory, written: Path, name: str, change: Callable[[Report, Random], Typed]
) -> tuple[Path, Path]:
    """(workbooks in which something is typed otherwise, the same worked out anew by LibreOffice in few starts)."""

    def write(into: Path) -> None:
        random = Random(20)
        for number in range(COUNT):
            demo = DEMOS[number % len(DEMOS)]
            data = without(
                b"<legacyDrawing [^>]*/>", (written / file_name(f"result of {demo.stem}")).read_bytes(), NOTES
            )
            (into / f"{number:03}_{demo.stem}.xlsx").write_bytes(_with(data, change(_report(demo), random)))

    made = made_once(tmp_path_factory, name, write)
    done = made_once(tmp_path_factory, f"{name}_done", lambda out: recalculate(sorted(made.glob("*.xlsx")), out))
    return made, done


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


def _rejected(report: Report, finding: Finding) -> bool:
    """Whether the check reads, or asks for want of, a size that now contradicts the box or another size."""
    behind = {re.sub("_(caliper|ear)_", "_", key) for key in finding.asks}  # what is typed once for both joints
    return bool(report.job.rejected.keys() & {*finding.reads, *finding.asks, *behind})


def _only_read_again(report: Report, finding: Finding) -> bool:
    """Whether the check reads a size that is rejected, or that a remedy sets anew."""
    cured = any(report.job.values.get(key) != report.cured.values.get(key) for key in finding.reads)
    return cured or _rejected(report, finding)


def test_changed_sizes_give_what_check_gives(tmp_path_factory: pytest.TempPathFactory, as_written: Path) -> None:
    """Verdict and margin of every check that the formulas follow; where a remedy changes a size that the check reads, the
    sheet shows the check as it stands, before the remedy, and is not compared. Nor is one that reads a size which now
    contradicts the box or is out of range: that is only seen when the workbook is read again, which the mark on the first page
    asks for."""
    made, worked_out = _books(tmp_path_factory, as_written, "sizes", _changes)
    told, differ, unmarked = Counter[str](), list[str](), list[str]()
    bodies, before = 0, {demo.stem: _report(demo) for demo in DEMOS}
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
            told["rejected"] += _rejected(report, finding)
            if row.word == AGAIN or _only_read_again(report, finding) or finding.basis != "sizes":
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


def test_no_verdict_stands_that_is_not_so_any_longer(
    tmp_path_factory: pytest.TempPathFactory, as_written: Path
) -> None:
    """Choices, threads, profiles and blanks, which no formula follows: where `check` says otherwise of the changed job, the
    sheet says that it must be checked again. Sizes among them that are rejected, or cured, are not compared, as above: the mark
    on the first page is there for them."""
    made, worked_out = _books(tmp_path_factory, as_written, "words", _other_words)
    stale, told, unmarked = list[str](), Counter[str](), list[str]()
    for book in sorted(made.glob("*.xlsx")):
        report = assess(job_of(open_package(book)), TODAY)
        findings = {one.title: one for one in report.findings}
        sheets = plain_cells(worked_out / book.name)
        marked, proof = OLDER in {cell.value for cell in sheets["Compatibility"].values()}, sheets["Proof"]
        words = {str(proof[row, "A"].value): one for (row, at), one in proof.items() if at == "B" and one.formula}
        assert len(words) > 40
        for title, word in words.items():
            said, finding = str(word.value), findings.get(title)
            verdict = finding.verdict if finding else "no such check"
            told[said] += 1
            if said in (AGAIN, WITH_SHIMS, OTHER_SHIMS) or said == verdict or (said == FAILS and verdict in FAILING):
                continue
            if _only_read_again(report, finding) if finding else report.job.rejected:
                told["read again"] += 1
                unmarked += [] if marked else [book.stem]
                continue
            stale.append(f"{book.stem}: {title}: {said}, check says {verdict}: {finding and finding.said}")
    assert (stale, unmarked) == ([], [])
    assert told["read again"] < 0.05 * COUNT + 2
    assert told[AGAIN] > 3 * COUNT


TABLES = ("Limits", "Price list", "On hand", "Box contents", "Supplier terms")


def _one_more(demo: Path, result: Path, sheet: str, kind: str) -> None:
    """A hundredth more in the first number of a table, or a letter more in its first word, beside the result."""
    cell = next(one for one in open_package(demo).cells(sheet).values() if one.row > 3 and one.kind == kind)
    more = round(float(cell.value or 0) + 0.01, 6) if kind == "number" else f"{cell.value}s"
    data = _with(result.read_bytes(), {(sheet, cell.address): more})
    result.with_name(f"{demo.stem} {sheet} {kind}.xlsx").write_bytes(data)


def test_a_changed_line_of_a_table_is_told(tmp_path: Path) -> None:
    """A price, a limit, a number of pieces: the first page says that it is older; that of a car with two kits too."""
    estate, coupe = (
        folder("demo_workbooks") / f"{name}.xlsx" for name in ("estate_rear_axle", "touring_coupe_both_axles")
    )
    for demo in (estate, coupe):
        checked(demo, tmp_path / f"{demo.stem} as it is.xlsx")
    for sheet in TABLES:
        _one_more(estate, tmp_path / f"{estate.stem} as it is.xlsx", sheet, "number")
    _one_more(estate, tmp_path / f"{estate.stem} as it is.xlsx", "Price list", "text")
    _one_more(coupe, tmp_path / f"{coupe.stem} as it is.xlsx", "Box contents rear", "number")
    (tmp_path / "done").mkdir()
    recalculate(sorted(tmp_path.glob("*.xlsx")), tmp_path / "done")
    pages = {one.stem: plain_cells(one)["Compatibility"].values() for one in (tmp_path / "done").glob("*.xlsx")}
    older = {name: OLDER in {cell.value for cell in cells} for name, cells in pages.items()}
    assert older == {name: not name.endswith("as it is") for name in older}
    assert len(older) == 9
