"""Box contents, shelf and price list become parts; a broken cell costs that cell, a broken role the line."""

from typing import Any

import pytest

from bomcheck.io.cells import Cell
from bomcheck.io.read.value import read_money
from bomcheck.model.errors import Place
from bomcheck.model.job import Part
from bomcheck.notation import read_line_end, read_thread
from tests.faulty.making import column, error, formula_without_value, job_bytes, number, text, with_cells
from tests.workbook.reading import only_fault, read, read_bytes

LINE = {"role": "hose", "part_number": "007-1", "description": "front", "supplier": "A", "side": "left", "length": 400,
        "end_a": "10x1 bubble female", "end_b": "banjo 10x1.0", "road_marked": "yes", "unit": "each", "pack_size": 2,
        "unit_price": 12.5, "lead_days": 3, "note": "braided"}  # fmt: skip


def priced(**changes: Any) -> Part:
    job = read(prices=[{**LINE, **changes}])
    assert not job.faults
    return job.prices[0]


def test_a_whole_line() -> None:
    """Every column goes to its place in the part; sizes in mm, ends and threads read, the cell remembered."""
    assert priced() == Part(
        "hose", "007-1", "front", "A", "left", None, read_line_end("M10x1.0 bubble female"), read_line_end("M10x1.0 banjo"),
        length=400.0, road_marked="yes", unit="each", pack_size=2.0, unit_price=12.5, lead_days=3, note="braided",
        place=Place("job.xlsx", "Price list", "A3"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("row", "side"),
    [
        (("rotor", "rotor 330x28 LH"), "left"), (("caliper", "caliper, right"), "right"), (("rotor", "rotors left and right"), "either"),
        (("rotor", "rotor 330x28"), "either"), (("bracket", "bracket, left"), "either"),
    ],
)  # fmt: skip
def test_a_side_that_only_the_words_name(row: tuple[str, str], side: str) -> None:
    """Of rotors and calipers left and right are two parts; one word of a side counts where the column is blank."""
    job = read(box=[{"role": row[0], "description": row[1], "quantity": 1}])
    assert (job.box[0].side or "either") == side


def test_class_thread_and_counts() -> None:
    """The class is the part's strength; a bare 10.9 typed as a number is a class all the same."""
    job = read(box=[{"role": "bracket screw", "thread": "12x1.5", "class": 10.9, "quantity": 4, "length": 40}])
    (screw,) = job.box
    assert (screw.strength_class, screw.thread, screw.quantity) == ("10.9", read_thread("M12x1.5"), 4.0)


def test_inch_columns() -> None:
    """In the inch workbook the headings say [in]: 15-3/4 is 400.05 mm; a unit in the cell stands above that."""
    blank = {
        "corner": dict.fromkeys(("hub_pilot_diameter", "ear_spacing")),
        "kit": dict.fromkeys(("rotor_diameter", "hat_bore")),
    }
    job = read("inch", **blank, box=[{"role": "hose", "length": "15-3/4"}, {"role": "hose", "length": "400 mm"},
                                     {"role": "hose", "length": 16}])  # fmt: skip
    assert not job.faults
    assert [part.length for part in job.box] == [400.05, 400.0, 406.4]


def test_the_unit_of_a_heading_may_be_changed() -> None:
    """Length [cm] over 40 is 400 mm."""
    data = job_bytes(box=[{"role": "hose", "length": 40}])
    job = read_bytes(with_cells({f"Box contents!{column('Box contents', 'Length')}2": text("Length (cm)")}, data))
    assert not job.faults
    assert job.box[0].length == 400.0


def test_a_heading_without_unit_takes_the_units_of_the_workbook() -> None:
    """Without brackets the Job sheet tells; where it does not, the column is not read and its heading is named."""
    heading = f"Box contents!{column('Box contents', 'Length')}2"
    data = job_bytes(box=[{"role": "hose", "length": 400}])
    bare = with_cells({heading: text("Length")}, data)
    assert read_bytes(bare).box[0].length == 400.0
    untold = with_cells({"Job!B4": text("?")}, bare)
    job = read_bytes(untold)
    assert (only_fault(job).kind, only_fault(job).place.cell) == ("unit missing", heading.split("!")[1])
    assert job.box[0].length is None


@pytest.mark.parametrize("put", [text("long"), error("#REF!"), formula_without_value("1+1"), number(-3)])
def test_a_broken_cell_costs_only_itself(put: Any) -> None:
    """The line stays with that size not stated, and the fault names the cell."""
    cell = f"{column('Box contents', 'Length')}3"
    job = read_bytes(with_cells({f"Box contents!{cell}": put}, job_bytes(box=[{"role": "hose", "quantity": 2}])))
    assert (only_fault(job).place.cell, only_fault(job).stops) == (cell, True)
    assert [(part.role, part.length, part.quantity) for part in job.box] == [("hose", None, 2.0)]


def test_lines_may_be_anywhere_and_columns_may_move() -> None:
    """Empty rows between lines do not end a table; two columns that changed places are found by their headings."""
    cells = {"A2": text("Part number"), "B2": text("Role"), "A3": text("S-9"), "B3": text("Bracket screw"),
             "A40": text("S-8"), "B40": text("shim")}  # fmt: skip
    made = with_cells({f"On hand!{cell}": put for cell, put in cells.items()})
    job = read_bytes(made)
    assert not job.faults
    assert [(part.role, part.part_number, part.place.cell) for part in job.shelf] == [
        ("bracket screw", "S-9", "B3"), ("shim", "S-8", "B40"),
    ]  # fmt: skip


def test_words_for_blank_make_no_line() -> None:
    """A row of dashes and question marks is empty."""
    job = read(box=[{"role": "?", "part_number": "-", "note": "n/a"}])
    assert not job.faults
    assert job.box == ()


def test_a_thread_of_no_standard_is_named_once_a_table() -> None:
    """Ten lines with the same odd thread give one remark."""
    job = read(box=[{"role": "bracket screw", "thread": "M12x1.6"}] * 10)
    assert (only_fault(job).stops, only_fault(job).place.sheet) == (False, "Box contents")


def test_same_part_at_two_prices() -> None:
    """Neither price is used; other suppliers, other packs and equal prices are no contradiction."""
    job = read(prices=[LINE, {**LINE, "unit_price": 14}])
    assert only_fault(job).kind == "entries disagree"
    assert [part.unit_price for part in job.prices] == [None, None]
    clear = read(
        prices=[LINE, {**LINE, "supplier": "B", "unit_price": 14}, {**LINE, "pack_size": 10, "unit_price": 9}, LINE]
    )
    assert not clear.faults
    assert [part.unit_price for part in clear.prices] == [12.5, 14.0, 9.0, 12.5]


@pytest.mark.parametrize(
    ("prices", "named"),
    [
        ([(0.95, 4), (3.80, 4)], True),  # the pack's price typed as that of one
        ([(0.95, 4), (3.80, 1)], True),  # ... and as a pack of one
        ([(0.36, 10), (0.036, 10)], True),  # divided once too often
        ([(12.5, 2), (25.0, 2)], False),  # a pair: twice is no doubt
        ([(0.95, 4), (1.45, 4)], False),
        ([(0.95, 4), (0.70, 50)], False),
        ([(0.95, 4)], False),
    ],
)
def test_a_pack_price_in_the_place_of_one_piece_is_doubted(prices: list[tuple[float, int]], named: bool) -> None:
    """Two suppliers' lines of one part number, once: nothing is taken out, both stay as typed. From memory of such lists."""
    lines = [
        {**LINE, "supplier": f"S{n}", "unit_price": one, "pack_size": size} for n, (one, size) in enumerate(prices)
    ]
    job = read(prices=lines)
    assert [part.unit_price for part in job.prices] == [one for one, _ in prices]
    assert len(job.faults) == named
    if named:
        fault = only_fault(job)
        assert (fault.stops, fault.key, fault.place.cell[-1]) == (False, "unit_price", str(3 + (prices[1] > prices[0])))
        assert "one of the two may be the price of a pack" in fault.wrong


@pytest.mark.parametrize(
    ("typed", "price"),
    [("12.50", 12.5), ("12,50 EUR", 12.5), ("€12.50", 12.5), ("EUR 1 250.00", 1250.0), ("12.-", 12.0), ("eur 3", 3.0)],
)
def test_prices_as_people_type_them(typed: str, price: float) -> None:
    """The job's own currency may stand beside the figure, before or behind it (signs and letters: ISO 4217)."""
    assert read_money(Cell("E3", 3, 5, "text", typed, typed), "EUR") == price


@pytest.mark.parametrize(
    ("typed", "currency", "kind"),
    [
        ("12.50 USD", "EUR", "entries disagree"),
        ("$12.50", "EUR", "entries disagree"),
        ("£12.50", "", "unit missing"),
        ("cheap", "EUR", "unreadable text"),
        ("10-12", "EUR", "unreadable text"),
        ("€12 EUR", "EUR", "unreadable text"),
    ],
)
def test_prices_that_cannot_be_used(typed: str, currency: str, kind: str) -> None:
    """Nothing is converted, and no currency is guessed."""
    job = read(job={"currency": currency or None}, prices=[{**LINE, "unit_price": typed}])
    assert (only_fault(job).kind, only_fault(job).key) == (kind, "unit_price")
    assert job.prices[0].unit_price is None


def test_a_dollar_may_be_several_currencies() -> None:
    """A sign that the job's own currency uses is taken for that one."""
    assert read_money(Cell("E3", 3, 5, "text", "$5", "$5"), "CAD") == 5.0


def test_a_currency_in_the_heading() -> None:
    """The heading may name the job's currency; another one stops the whole column."""
    heading = f"{column('Price list', 'Price of one')}2"
    data = job_bytes(prices=[LINE])
    assert not read_bytes(with_cells({f"Price list!{heading}": text("Price of one [EUR]")}, data)).faults
    job = read_bytes(with_cells({f"Price list!{heading}": text("Price of one [GBP]")}, data))
    assert (only_fault(job).kind, only_fault(job).place.cell, job.prices[0].unit_price) == (
        "entries disagree",
        heading,
        None,
    )


def test_a_long_part_number_that_lost_digits() -> None:
    """A number beyond 15 digits is stored rounded by spreadsheets (IEEE 754); ordering by it would be wrong."""
    data = job_bytes(prices=[{**LINE, "part_number": 1234567890123456789}])
    assert (only_fault(read_bytes(data)).key, only_fault(read_bytes(data)).kind) == ("part_number", "unreadable text")
    assert priced(part_number=4711).part_number == "4711"


@pytest.mark.parametrize(("size", "unit"), [(2.5, None), (2.5, "each"), (0.5, "set"), (1.5, "pair")])
def test_no_pack_holds_a_part_of_a_piece(size: float, unit: str | None) -> None:
    """One line that names the cell; the pack size is not used."""
    job = read(prices=[{**LINE, "pack_size": size, "unit": unit}])
    fault = only_fault(job)
    assert (fault.kind, fault.key, fault.stops) == ("out of range", "pack_size", True)
    assert fault.place.cell == f"{column('Price list', 'Pack size')}3"
    assert f"{size:g}" in fault.typed
    assert job.prices[0].pack_size is None


@pytest.mark.parametrize(("size", "unit"), [(2.5, "m"), (0.5, "L"), (10, "each"), (2.0, None)])
def test_packs_of_what_is_measured_out(size: float, unit: str | None) -> None:
    """Half a litre and 2.5 m are packs."""
    job = read(prices=[{**LINE, "pack_size": size, "unit": unit}])
    assert (job.faults, job.prices[0].pack_size) == ((), size)


@pytest.mark.parametrize(("table", "key"), [("box", "quantity"), ("prices", "pack_size"), ("shelf", "on_hand")])
def test_a_word_for_a_number_of_pieces(table: str, key: str) -> None:
    """What to type instead is a number, no ratio and no percentage."""
    assert (
        only_fault(read(**{table: [{"role": "fluid", key: "two"}]})).instead
        == "Type the number alone, for example 4; its unit has a column"
    )
