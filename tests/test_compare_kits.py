"""Several kits in one job: set side by side, one chosen, and all lists follow it.

The kits and prices are invented; which kit is to be sold follows from the house's rules (common practice, no source).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import Workbook, load_workbook

from bomcheck.assess import assess
from bomcheck.commands.check import check_workbook
from bomcheck.commands.cli import main
from bomcheck.commands.order import order
from bomcheck.demos import demo
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Job, Value
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.compare import Kit, advice, kits_of
from bomcheck.paper.json_report import report_as_json
from tests.helpers.one_sheet import one_sheet

TODAY = date(2026, 11, 25)
NAME = "hatchback_which_kit"


def changed(folder: Path, change: Callable[[Workbook], object], name: str = NAME) -> Path:
    """The demo after somebody worked on it in a spreadsheet program."""
    path = demo(name).write(folder)
    book = load_workbook(path)
    change(book)
    book.save(path)
    return path


def type_in(book: Workbook, sheet: str, label: str, value: object) -> None:
    """Beside a label of a sheet of fields."""
    row = next(row for row in book[sheet].iter_rows() if row[0].value == label)
    row[1].value = value


def choose(text: object) -> Callable[[Workbook], None]:
    return lambda book: type_in(book, "Job", "Kit to be sold", text)


@cache
def demo_job() -> Job:
    return read_job(Path("demo_workbooks") / f"{NAME}.xlsx")[0]


def test_three_kits_have_three_answers_and_the_one_that_suits_is_to_be_sold() -> None:
    """Too strong for the car, good, and too large for the wheel: B, and the reason names what is wrong with the others."""
    kits = kits_of(assess(demo_job(), TODAY), TODAY)
    assert [(one.letter, one.report.verdict, bool(one.bad), one.chosen) for one in kits] == [
        ("A", Verdict.FITS_WITH_PARTS, True, False),
        ("B", Verdict.FITS_WITH_PARTS, False, True),
        ("C", Verdict.DOES_NOT_FIT, False, False),
    ]
    told = advice(kits)
    assert told.kit == "B"
    assert told.said.startswith("Sell kit B (BK-330-4): for fast road use it fits with parts, for 1,857.00 EUR")
    assert "kit A (BK-330-6) is not good for the whole car (stopping power lost by the kit)" in told.said
    assert "kit C (BK-345-4) does not fit (caliper in the wheel)" in told.said


@pytest.mark.parametrize("letter", "ABC")
def test_each_total_is_the_one_of_the_quote_once_that_kit_is_chosen(letter: str, tmp_path: Path) -> None:
    """Kit, parts, freight, labour and machining, without tax; the lists are the chosen kit's."""
    path = changed(tmp_path, choose(letter))
    done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    told = report_as_json(done.report)
    assert told["sell"]["kit"] == "B"
    (own,) = [one for one in told["kits"] if one["chosen"]]
    assert own["kit"] == letter
    quote = {str(row[0].value): row for row in one_sheet(path, "Quote", data_only=True).iter_rows()}
    (total,) = [row[4].value for name, row in quote.items() if name.startswith("Total without tax")]
    assert total == own["total"]
    assert own["number"] in str(quote["The kit"][1].value)
    calipers = [line.part_number for line in done.report.parts if line.role == "caliper"]
    assert calipers == {"A": ["BK-C6L", "BK-C6R"], "B": ["BK-C4L", "BK-C4R"], "C": ["BK-C4CL", "BK-C4CR"]}[letter]


def test_what_was_typed_on_the_quote_and_what_suppliers_charge_count_in_the_totals(tmp_path: Path) -> None:
    """Mark-up, hours, a rate, percent of consumables, a typed kit price and freight: Compare and Quote agree."""
    path = demo(NAME).write(tmp_path)
    book = load_workbook(path)
    book["Supplier terms"].append([])
    for column, value in enumerate(("Supplier A", 6.5, 120), start=1):
        book["Supplier terms"].cell(3, column).value = value
    book.save(path)
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    book = load_workbook(path)
    figures = {
        "quote mark-up": 12.5,
        "quote rate": 71,
        "quote consumables": 3,
        "quote labour corner": 2.2,
        "quote kit": 1333,
    }
    for row in book["Quote"].iter_rows():
        if (key := str(row[9].value)) in figures:
            row[6].value = figures.pop(key)
    assert not figures
    book.save(path)
    done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    rows = one_sheet(path, "Quote", data_only=True).iter_rows()
    (total,) = [row[4].value for row in rows if str(row[0].value).startswith("Total without tax")]
    kits = {one["kit"]: one for one in report_as_json(done.report)["kits"]}
    assert total == kits["B"]["total"]
    assert kits["B"]["kit_price"] == 1333
    assert kits["A"]["kit_price"] == 1480


@pytest.mark.parametrize("text", ["A", "kit a", "BK-330-6", "bk 330 6", "A (BK-330-6)", "Kit A"])
def test_a_kit_is_chosen_by_letter_or_number(text: str, tmp_path: Path) -> None:
    """However it is written."""
    job = read_job(changed(tmp_path, choose(text)))[0]
    assert (job.kit, job.get("kit_number"), [one.kit for one in job.kits]) == ("A", "BK-330-6", ["B", "C"])


def faults(path: Path) -> list[str]:
    return [str(fault) for fault in read_job(path)[0].faults]


WRONG: dict[str, tuple[Callable[[Workbook], object], str]] = {
    "two chosen": (choose("A and C"), "this means more than one kit, A (BK-330-6) and C (BK-345-4)"),
    "one number for two": (
        lambda book: (type_in(book, "Kit", "Kit number", "BK-330-4"), choose("BK-330-4")(book)),
        "this means more than one kit, A (BK-330-4) and B (BK-330-4)",
    ),
    "unknown": (choose("D"), 'no kit of this job has that letter or number. Type the letter of one: A (BK-330-6), B'),
    "none": (choose(None), "3 kits are compared and none is chosen; parts list, quote, fit-up and order follow kit A"),
    "no number": (lambda book: type_in(book, "Kit B", "Kit number", None), 'this kit has no number; it is called "Kit B"'),
    "box alone": (lambda book: book.remove(book["Kit C"]), 'this box belongs to no kit: there is no "Kit C"'),
    "no box": (lambda book: book.remove(book["Box contents C"]), 'there is no "Box contents C"'),
    "a copy": (lambda book: setattr(book["Kit C"], "title", "Kit (2)"), 'Rename it to "Kit B" to compare a further kit'),
    "no axle": (lambda book: setattr(book["Kit C"], "title", "Kit rear C"), 'there is no "Kit rear" that it could be compared'),
    "empty": (
        lambda book: [cell.__setattr__("value", None) for name in ("Kit C", "Box contents C") for row in book[name].iter_rows(min_row=3, min_col=2, max_col=4) for cell in row] and [cell.__setattr__("value", None) for row in book["Box contents C"].iter_rows(min_row=3) for cell in row],
        "nothing is filled in here; it is not compared",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", WRONG)
def test_what_is_wrong_is_said_in_one_line_each_and_nothing_is_lost(case: str, tmp_path: Path) -> None:
    """The fault is named with its sheet; the kits that can be read are compared all the same."""
    change, said = WRONG[case]
    path = changed(tmp_path, change)
    before = path.read_bytes()
    found = [text for text in faults(path) if said in text]
    assert len(found) == 1
    assert "\n" not in found[0]
    job = read_job(path)[0]
    assert len(job.kits) >= 1
    assert path.read_bytes() == before


def test_a_choice_where_there_is_one_kit_is_not_passed_over(tmp_path: Path) -> None:
    """The only kit may be named; another letter is said to be none of this job's."""
    good = read_job(changed(tmp_path, choose("BK-330-6"), "hatchback_too_strong"))[0]
    assert (good.faults, good.kits) == ((), ())
    said = faults(changed(tmp_path, choose("B"), "hatchback_too_strong"))
    assert len(said) == 1
    assert "no kit of this job has that letter or number. Type the letter of one: A (BK-330-6)" in said[0]


def test_a_copied_kit_sheet_is_a_further_kit(tmp_path: Path) -> None:
    """Copied in a spreadsheet program and renamed, with its number changed; without a box nothing lies in it."""

    def copy(book: Workbook) -> None:
        for name in ("Kit", "Box contents"):
            book.copy_worksheet(book[name]).title = f"{name} D"
        type_in(book, "Kit D", "Kit number", "BK-330-6X")

    job = read_job(changed(tmp_path, copy))[0]
    kits = kits_of(assess(job, TODAY), TODAY)
    assert [one.letter for one in kits] == list("ABCD")
    first, last = kits[0], kits[-1]
    assert last.report.job.get("kit_number") == "BK-330-6X"
    assert (last.report.verdict, last.money) == (first.report.verdict, first.money)


def typed(path: Path) -> dict[str, Any]:
    return dict(read_job(path)[0].own)


def test_what_was_typed_for_one_kit_is_not_taken_for_another_and_comes_back(tmp_path: Path) -> None:
    """On hand beside A's master cylinder, a price of A's kit: gone from the lists while B is chosen, kept, and back with A."""
    path = changed(tmp_path, choose("A"))
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    book = load_workbook(path)
    heads = {str(cell.value): cell.column for row in book["Parts list"].iter_rows(max_row=4) for cell in row}
    parts = book["Parts list"]
    row = next(
        row[0].row for row in parts.iter_rows() if str(row[heads["Line"] - 1].value).startswith("master cylinder")
    )
    parts.cell(row, heads["On hand, yours"]).value = 1
    cell = next(row[6] for row in book["Quote"].iter_rows() if row[9].value == "quote kit")
    cell.value = 1444
    book.save(path)
    done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    assert {one.letter: one.money.kit for one in kits_of(done.report)} == {"A": 1444, "B": 1390, "C": 990}
    for letter, price, held in (("B", 1390, 0), ("A", 1444, 1)):
        book = load_workbook(path)
        choose(letter)(book)
        book.save(path)
        done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
        kits = {one.letter: one for one in kits_of(done.report)}
        assert kits[letter].money.kit == price
        assert kits["A"].money.kit == 1444
        assert sum(line.own.on_hand for line in done.report.parts if line.role == "master cylinder") == held
        assert any("master cylinder" in key and own.get("on_hand") == 1 for key, own in typed(path).items())


def test_a_size_measured_on_one_kit_is_not_another_s(tmp_path: Path) -> None:
    """Found beside kit A's hat bore: A's alone, also after B was chosen; one of the corner holds for all."""
    path = changed(tmp_path, lambda book: (choose("A")(book), type_in(book, "Kit", "Hat bore", None),
                                           type_in(book, "Kit B", "Hat bore", None),
                                           type_in(book, "Corner", "Hub pilot diameter", None)))  # fmt: skip
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    book = load_workbook(path)
    sheet = book["Measure next"]
    heads = {str(cell.value): cell.column for row in sheet.iter_rows(max_row=4) for cell in row}
    found = {"measure hat_bore": 66.6, "measure hub_pilot_diameter": 66.5}
    for row in range(1, sheet.max_row + 1):
        if (key := str(sheet.cell(row, heads["Line"]).value)) in found:
            sheet.cell(row, heads["Found"]).value = found.pop(key)
    assert not found
    choose("B")(book)
    book.save(path)
    for _ in range(2):
        job = read_job(path)[0]
        a = next(one for one in job.kits if one.kit == "A")
        assert a.get("hat_bore") == pytest.approx(66.6, abs=0.03)
        assert job.get("hat_bore") is None
        assert (a.get("hub_pilot_diameter"), job.get("hub_pilot_diameter")) == (66.5, 66.5)
        check_workbook(path, out=None, write=True, backup=False, today=TODAY)


def test_the_order_is_the_chosen_kit_s(tmp_path: Path) -> None:
    """A's master cylinder, then B's hoses."""
    path, into = changed(tmp_path, choose("A")), tmp_path / "order.csv"
    order(path, into, TODAY)
    assert "MC-286" in into.read_text("utf-8")
    book = load_workbook(path)
    choose("B")(book)
    book.save(path)
    other = tmp_path / "other.csv"
    order(path, other, TODAY)
    assert "HB-10-430" in other.read_text("utf-8")
    assert "MC-286" not in other.read_text("utf-8")


def test_compare_stands_in_the_workbook_and_a_second_check_replaces_it(tmp_path: Path) -> None:
    """One column a kit; none where the job has one kit."""
    path = demo(NAME).write(tmp_path)
    for _ in range(2):
        check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    book = load_workbook(path)
    assert [name for name in book.sheetnames if name.startswith("Compare")] == ["Compare"]
    texts = [[cell.value for cell in row] for row in book["Compare"].iter_rows()]
    assert ["Verdict", "+ fits with parts", "+ fits with parts", "× does not fit"] in [row[:4] for row in texts] or [
        "Verdict", "fits with parts", "fits with parts", "does not fit",
    ] in [row[:4] for row in texts]  # fmt: skip
    assert [row[1:4] for row in texts if row[0] == "Total"] == [[2081, 1857, 1380]]


def test_new_makes_sheets_for_several_kits(tmp_path: Path) -> None:
    """For one axle and for both."""
    run = CliRunner()
    one, both = tmp_path / "one.xlsx", tmp_path / "both.xlsx"
    assert "for 3 kits, A to C" in run.invoke(main, ["new", str(one), "--compare", "3"]).stdout
    assert run.invoke(main, ["new", str(both), "--both", "--compare", "2"]).exit_code == 0
    assert {"Kit", "Kit B", "Kit C", "Box contents B", "Box contents C"} <= set(load_workbook(one).sheetnames)
    assert {"Kit front", "Kit front B", "Box contents rear B"} <= set(load_workbook(both).sheetnames)


def test_a_further_kit_of_one_axle_leaves_the_other_axle_s_as_it_is(tmp_path: Path) -> None:
    """ "Kit front B" beside front and rear kits: B has its own front and the first kit's rear, prices of both counted."""

    def add(book: Workbook) -> None:
        for name in ("Kit front", "Box contents front"):
            book.copy_worksheet(book[name]).title = f"{name} B"
        type_in(book, "Kit front B", "Kit number", "TF-330X")
        for sheet, price in (("Kit front", 900), ("Kit front B", 800), ("Kit rear", 700)):
            type_in(book, sheet, "Kit price", price)

    job = read_job(changed(tmp_path, add, "touring_coupe_both_axles"))[0]
    (other,) = job.kits
    assert [one.get("kit_number") for one in other.each_axle] == ["TF-330X", job.axles[1].get("kit_number")]
    assert [part for part in other.box if part.axle == "rear"] == [part for part in job.box if part.axle == "rear"]
    kits = kits_of(assess(job, TODAY), TODAY)
    assert [one.money.kit for one in kits] == [1600, 1500]
    assert [one.report.verdict for one in kits] == [Verdict.FITS_WITH_PARTS, Verdict.FITS_WITH_PARTS]


def blanked(book: Workbook, *sheets: str) -> None:
    for name in sheets:
        for row in book[name].iter_rows(min_row=3):
            for cell in row[:1] if name.startswith("Box") else row[1:5]:
                cell.value = None


@pytest.mark.parametrize(("blank", "said", "axles"), [
    (("Corner rear", "Corner rear left", "Corner rear right"), 'nothing is filled in here, but "Kit rear" is', 2),
    (("Kit rear",), 'Kit rear: nothing is filled in here, but "Corner rear" is', 2),
    (("Corner rear", "Corner rear left", "Corner rear right", "Kit rear"), 'nothing is filled in here, but "Box contents rear" is', 2),
    (("Kit rear", "Box contents rear"), 'nothing is filled in here, but "Corner rear" is', 2),
    (("Corner rear", "Corner rear left", "Corner rear right", "Kit rear", "Box contents rear"), "nothing is filled in here; the rear axle stays as it is", 0),
])  # fmt: skip
def test_a_second_axle_half_filled_is_named_in_one_line(
    blank: tuple[str, ...], said: str, axles: int, tmp_path: Path
) -> None:
    """Half filled must be corrected; with nothing on its sheets that axle gets no kit."""

    def change(book: Workbook) -> None:
        blanked(book, *(name for name in blank if name in book.sheetnames))

    path = changed(tmp_path, change, "touring_coupe_both_axles")
    job = read_job(path)[0]
    found = [fault for fault in job.faults if said in str(fault)]
    assert [fault.stops for fault in found] == [axles == 2]
    assert len(job.each_axle if job.axles else ()) == axles


def invented(letter: str, verdict: Verdict, price: float | None, report: Report, **values: Any) -> Kit:
    """One of the demo's kits with another outcome."""
    stated = {key: Value(key, value) for key, value in values.items()}
    price_of = {} if price is None else {"kit_price": Value("kit_price", price)}
    kept = {key: value for key, value in report.job.values.items() if key not in ("kit_price", *values)}
    job = replace(report.job, kit=letter, values={**kept, **price_of, **stated})
    deciding = report.deciding or report.findings[:1]
    days = float((values["needed_by"] - TODAY).days) if "needed_by" in values else report.buying.days
    bought = replace(report.buying, days=days)
    made = replace(report, job=job, verdict=verdict, deciding=deciding, system=(), buying=bought)
    return Kit(made, letter == "A", TODAY)


def test_what_cannot_be_said_says_what_is_missing() -> None:
    """No duty; a price missing where two go on; nothing that goes on; and the cheaper, sooner one where all is known."""
    good = assess(demo_job(), TODAY)
    fits, unknown, no = Verdict.FITS, Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT
    one, two = invented("A", fits, 900, good), invented("B", fits, 800, good)
    assert advice([one, two]).kit == "B"
    assert "kit A (BK-330-4) costs 100.00 more" in advice([one, two]).said
    assert advice([one, invented("B", fits, None, good)]).kit == ""
    assert "no price is known for the kit" in advice([one, invented("B", fits, None, good)]).said
    assert advice([invented(letter, fits, None, good) for letter in "AB"]).kit == ""
    assert advice([one, invented("B", fits, 800, good, needed_by=date(2026, 11, 26))]).kit == "A"
    undecided = advice([invented("A", unknown, 900, good), invented("B", no, 800, good)])
    assert (undecided.kit, "It cannot be said yet" in undecided.said) == ("", True)
    assert advice([invented("A", no, 900, good), invented("B", no, 800, good)]).said.startswith("None of these kits")
    no_duty = replace(one.report.job, values={k: v for k, v in one.report.job.values.items() if k != "duty"})
    assert "the car's duty is missing" in advice([replace(one, report=replace(one.report, job=no_duty)), two]).said
