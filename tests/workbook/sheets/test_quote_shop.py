"""What the customer and the shop find in a quote beside the sums. Common practice, no source."""

from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder
from bomcheck.paper.quote import from_shelf, kit_contents
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.one_sheet import one_sheet


def rows(folder: Path) -> list[list[str]]:
    path = hill_climb(folder)
    checked(path)
    return [[str(cell.value or "") for cell in row] for row in one_sheet(path, "Quote", data_only=True).iter_rows()]


def test_the_customer_reads_what_is_in_the_kit_and_where_to_sign(tmp_path: Path) -> None:
    """Contents in words, the day, a line for the signature."""
    found = rows(tmp_path)
    kit = next(row for row in found if row[0] == "The kit")
    assert "With 2 rotors, 2 hats, 2 calipers, 2 brackets, 1 pad set, screws and fittings" in kit[1]
    assert any(row[0] == "Agreed: name, signature, date" for row in found)
    here = next(row for row in found if row[0] == "Parts can be here")
    assert here[1].endswith(", if it is ordered today; no day is known of the kit")


def test_the_cost_stands_beside_the_sale_price_for_the_shop(tmp_path: Path) -> None:
    """In the columns that are not printed."""
    hose = next(row for row in rows(tmp_path) if row[0].startswith("Braided hose"))
    assert (hose[4], hose[5]) == ("85.6", "Cost 85.60")


def test_bottles_are_billed_not_millilitres(tmp_path: Path) -> None:
    """A bottle of threadlocker is one, without its contents."""
    path = hill_climb(tmp_path)
    report = checked(path)
    sheet = one_sheet(path, "Quote")
    bottle = next(row for row in sheet.iter_rows() if str(row[0].value).startswith("Threadlocker"))
    assert bottle[2].number_format == "0"
    assert not any(line.unit in ("mL", "g") for line, _ in from_shelf(report))


def test_parts_from_the_shelf_are_billed(tmp_path: Path) -> None:
    """Cleaner from the shelf has a line of its own, whose price may be typed."""
    found = rows(tmp_path)
    shelf = next(row for row in found if row[1] == "From the shelf")
    assert "cleaner" in shelf[0].lower()
    assert shelf[2] == "2"


def test_a_piece_of_a_pack_on_the_shelf_costs_what_one_costs() -> None:
    """By hand: cotter pins at 3.00 for a pack of 25 are 0.12 each, and one is taken."""
    job = read_job(folder("demo_workbooks") / "estate_rear_axle.xlsx")[0]
    ((line, cost),) = [(line, cost) for line, cost in from_shelf(assess(job)) if line.role == "cotter pin"]
    assert (line.on_shelf, cost) == (1.0, 0.12)


def test_an_empty_box_says_nothing_of_its_contents(tmp_path: Path) -> None:
    """Nothing is made up."""
    from dataclasses import replace

    report = checked(hill_climb(tmp_path))
    assert kit_contents(replace(report.job, box=())) == ""
