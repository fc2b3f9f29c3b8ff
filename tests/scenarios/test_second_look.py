"""What two trials by people who had not seen the code found: each case by hand. Invented sizes; common practice, no source."""

from pathlib import Path

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.car.checks import UNKNOWN, word
from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Part
from bomcheck.model.records import replace
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.jobs import finding, good_job
from tests.interfaces.test_worked_values import LUG

FITS, PARTS, OPEN, NO = Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT


def spacers(report: Report) -> list[tuple[str, float, float, str]]:
    """(role, needed, to order, status) of every spacer of the list."""
    return [(one.role, one.needed, one.to_order, one.status) for one in report.parts if one.role.endswith("spacer")]


@pytest.mark.parametrize(
    ("field", "role", "moved"),
    [("bracket_spacer_thickness", "bracket spacer", {"bracket_screw_length": 43.0}), ("caliper_spacer_thickness", "caliper spacer", {"caliper_screw_length": 51.0})],
)  # fmt: skip
@pytest.mark.parametrize("there", [False, True])
def test_the_kits_own_spacers_are_counted(field: str, role: str, moved: dict[str, float], there: bool) -> None:
    """3 mm with which the kit's offset is counted: two a corner, four in all; missing from the box they are to be had, never surplus."""
    box = (Part(role, "SP-3", "spacer 3 mm", quantity=4, thickness=3.0),) if there else ()
    report = assess(good_job(box=box, **{field: (3.0, 0.05)}, **moved))
    (line,) = spacers(report)
    assert line == ((role, 4, 0, "in kit") if there else (role, 4, 4, "no source known"))
    assert spacers(assess(good_job(box=(), **{field: (0.0, 0.0)}))) == []


def test_a_remedy_s_spacer_takes_the_place_of_the_kit_s() -> None:
    """The caliper is 5 mm too far, 1 mm is left to the shims: 4 more than the 2 that are there, so one of 6 in their place."""
    job = good_job(
        **{**LUG, "caliper_lug_side": "inboard", "bracket_offset": -54.0, "caliper_spacer_thickness": (2.0, 0.05)}
    )
    found = Round(settle(job)).cures["caliper_centred"]
    assert "a spacer of 6.00 mm" in found.do
    assert "in place of the one of 2.00 mm" in found.do
    assert found.demands[0].spec["thickness"] == (5.5, 6.5)
    assert found.changes["caliper_spacer_thickness"][0] == pytest.approx(6.0)


def test_nothing_holds_the_hat_s_screws() -> None:
    """Neither nuts nor threads stated, threadlocker named: asked for both; one of them is enough, and a joined rotor needs none."""
    hat = {"hat_nut_height": None, "hat_thread_depth": None, "hat_screw_condition": "threadlocker"}
    report = assess(good_job(**hat))
    asked = finding("hat_locked", report)
    assert (asked.verdict, asked.asks) == (OPEN, ("hat_nut_height", "hat_thread_depth"))
    assert finding("hat_locked", assess(good_job(**{**hat, "hat_nut_height": 6.0}))).verdict is FITS
    assert finding("hat_locked", assess(good_job(**hat, kit_comes_fitted="joined rotor"))).verdict is FITS


@pytest.mark.parametrize(("thick", "cut"), [(14.0, NO), (30.0, Verdict.NEEDS_MACHINING)])
def test_no_metal_is_tapped_deeper(thick: float, cut: Verdict) -> None:
    """M12 in iron needs 18 mm; the thread of the ear is 11 mm deep, too little for an insert of 12: an ear of 14 mm has no more metal,
    one of 30 mm is tapped deeper."""
    ear = {
        "bracket_screw_into": "ear",
        "ear_hole": "tapped blind",
        "ear_material": "iron",
        "ear_thread_depth": 11.0,
        "ear_thickness": thick,
    }
    found = finding("engagement_in_blind_ear", assess(good_job(**ear)))
    assert found.verdict is cut
    assert ("no more metal" in found.do) is (cut is NO)


def test_a_drum_s_plate_behind_a_hub_that_stays() -> None:
    """It fits, with a word on what to look at first; nothing is said where the hub comes off."""
    for removed, said in (("no", True), ("yes", False)):
        found = finding("drum_plate_off", assess(good_job(caliper_position_present="drum", hub_removed=removed)))
        assert found.verdict is FITS
        assert bool(found.do) is said
    job = good_job(caliper_position_present="drum")
    left = {key: value for key, value in job.values.items() if key != "hub_removed"}
    assert finding("drum_plate_off", assess(replace(job, values=left))).verdict is OPEN


def test_a_sheet_that_was_not_read_never_fits(tmp_path: Path) -> None:
    """The heading Value of the Corner sheet is gone: whatever the rest says, the car is not known."""
    path = hill_climb(tmp_path)
    assert assess(read_job(path)[0]).verdict is PARTS
    book = load_workbook(path)
    sheet = book["Corner"]
    left = book.copy_worksheet(sheet)
    left.title = "Corner left"
    for cell in next(row for row in left.iter_rows() if any(one.value == "Value" for one in row)):
        cell.value = "Valeu" if cell.value == "Value" else cell.value
    book.save(path)
    job = read_job(path)[0]
    assert any(fault.kind == "heading missing" for fault in job.faults)
    assert assess(job).verdict is OPEN


@pytest.mark.parametrize(("lowest", "held"), [(-24.0, False), (-16.5, False), (-15.0, True), (24.0, True)])
def test_a_body_that_ends_above_its_pistons(tmp_path: Path, lowest: float, held: bool) -> None:
    """The pad's middle, pad top 28 less half of 44, is at +6, the piston of 44 ends at -16 and may stand 3 mm aside, with every ±
    about -12.6: what ends higher has most likely lost its minus sign."""
    path = hill_climb(tmp_path, {})
    job, _ = read_job(path)
    values = {key: job.values[key].value for key in ("caliper_pad_top", "pad_height", "caliper_bores")}
    end = values["caliper_pad_top"] - values["pad_height"] / 2 - max(values["caliper_bores"]) / 2
    book = load_workbook(path)
    for row in book["Kit"].iter_rows():
        if row[0].value == "Caliper bottom above mount":
            row[1].value = end + (lowest + 16.0 if lowest < 0 else 40.0) + (0.0 if not held else 5.0)
    book.save(path)
    assert ("caliper_lowest" in read_job(path)[0].rejected) is held


def test_pads_that_are_bought_without_an_edge_code_are_not_known(tmp_path: Path) -> None:
    """The hill climb's road pads are FF; without the code their friction is not the kit's race pads'."""
    coded, plain = (
        {one.check: one for one in assess(read_job(hill_climb(tmp_path, change))[0]).system}
        for change in ({}, {", edge code FF": "", "compound F2, ": "compound F2, "})
    )
    assert coded["brake_torque"].value is not None
    assert word(plain["brake_torque"]) == UNKNOWN
    assert "state no edge code" in plain["brake_torque"].said


@pytest.mark.parametrize("ordered", [True, False])
def test_what_was_ordered_stays(tmp_path: Path, ordered: bool) -> None:
    """A cheaper hose that comes onto the price list after the order goes to the next job; where it serves no more, it is bought anew."""
    path = hill_climb(tmp_path)
    checked(path)
    book = load_workbook(path)
    for row in book["Job"].iter_rows():
        for cell in row:
            if cell.value == "Ordered on" and ordered:
                row[cell.column].value = "2026-11-23"
    book.save(path)
    job = read_job(path)[0]
    hose = next(one for one in job.prices if one.part_number == "HS-BU-3-430")
    cheap = replace(hose, part_number="C-1", supplier="Supplier C", unit_price=20.0)
    numbers = [
        line.part_number for line in assess(replace(job, prices=(*job.prices, cheap))).parts if line.role == "hose"
    ]
    assert numbers == ["HS-BU-3-430" if ordered else "C-1"]
    gone = tuple(one for one in job.prices if one.part_number != "HS-BU-3-430")
    (anew,) = (one for one in assess(replace(job, prices=(*gone, cheap))).parts if one.role == "hose")
    assert anew.part_number == "C-1"
    assert ("Ordered was HS-BU-3-430 of" in anew.note) is ordered
