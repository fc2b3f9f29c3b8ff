"""One day of delivery: page 1, Quote, telephone page and `ready` say the same. Days counted by hand from 2026-11-25."""

from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.report import Report
from bomcheck.paper.awaited import expected, ready
from bomcheck.paper.phone import phone_page
from tests.helpers.demo_jobs import TODAY, checked, hill_climb
from tests.helpers.one_sheet import one_sheet

EUR = "currency                EUR"
KIT = "kit_number              RK-280-4"
LISTED = "hose           | HS-BU-3-330"


def of(folder: Path, changes: dict[str, str], box_here: bool = False) -> tuple[Report, dict[str, str]]:
    """(the report, what each place says of the day)."""
    path = hill_climb(folder, changes)
    kept = {}
    if box_here:
        for one in expected(assess(read_job(path)[0], TODAY)):
            if one.source != "the order":
                kept[one.line.key] = {"received": kept.get(one.line.key, {"received": 0.0})["received"] + one.quantity}
    report = checked(path, kept)
    book = load_workbook(path, data_only=True)
    cells = {
        name: [str(c.value or "") for r in book[name].iter_rows() for c in r] for name in ("Quote", "Compatibility")
    }
    quote = cells["Quote"]
    return report, {
        "page 1": next((one for one in cells["Compatibility"] if one.startswith(("There ", "No day"))), ""),
        "quote": quote[quote.index("Parts can be here") + 1],
        "ask": next((one for one in phone_page(report, TODAY).splitlines() if "day" in one and "here" in one), ""),
        "ready": ready(report, TODAY).said,
    }


@pytest.mark.parametrize(
    ("changes", "box_here", "day"),
    [
        ({KIT: f"{KIT}\nkit_lead_days  12"}, False, "2026-12-07"),
        ({LISTED: f"wheel weight | rk-280-4 | the kit itself | Supplier K | 900 | lead_days 9\n{LISTED}"}, False, "2026-12-04"),
        ({KIT: f"{KIT}\nkit_lead_days  12", EUR: f"{EUR}\nordered_on  2026-11-23"}, False, "2026-12-05"),
        ({KIT: f"{KIT}\nkit_lead_days  12"}, True, "2026-11-28"),
    ],
)  # fmt: skip
def test_one_day_everywhere(tmp_path: Path, changes: dict[str, str], box_here: bool, day: str) -> None:
    """12 days for the kit as typed; 9 by the price list's row of the kit's number; 12 from the day on which it was ordered; once the
    box is here the hoses' 3 days are the last."""
    report, said = of(tmp_path, changes, box_here)
    named = "Saturday" if day == "2026-11-28" else day
    assert said["page 1"] == f"There by {day}"
    assert said["quote"] == (
        f"{day}, as ordered on 2026-11-23" if "ordered_on" in str(changes) else f"{day}, if it is ordered today"
    )
    assert said["ask"] == f"Earliest day with all of it here: {day}."
    assert said["ready"].endswith(f" missing, due {named}")
    kit = [line for line in ready(report, TODAY).lines if "from the kit's box" in line]
    assert all(line.endswith(f", due {day}") for line in kit)
    assert bool(kit) is not box_here


def test_what_has_no_day_is_named_everywhere(tmp_path: Path) -> None:
    """No day is typed for the kit, and none in the price list: the hoses' day, and that the kit has none."""
    report, said = of(tmp_path, {})
    assert said["page 1"] == "There by 2026-11-28; no day for the kit"
    assert said["quote"] == "2026-11-28, if it is ordered today; no day is known of the kit"
    assert said["ask"] == "Earliest day with all of it here: 2026-11-28; no day is known of the kit."
    needed = [one for one in expected(report) if one.line.status != "surplus"]
    count = len({one.line.key for one in needed if one.missing})
    bought = len({one.line.key for one in expected(report) if one.source == "the order"})
    both = len({one.line.key for one in needed}) - count
    assert both == 0
    assert said["ready"] == f"{count} parts missing, {bought} of them due Saturday, {count - bought} on no known day"


def test_nothing_to_come_is_at_once(tmp_path: Path) -> None:
    """All was received: no day is waited for."""
    path = hill_climb(tmp_path)
    report = assess(read_job(path)[0], TODAY)
    total: dict[str, dict[str, object]] = {}
    for one in expected(report):
        before = float(str(total.get(one.line.key, {}).get("received", 0.0)))
        total[one.line.key] = {"received": before + one.quantity}
    checked(path, total)
    quote = [str(c.value or "") for r in one_sheet(path, "Quote", data_only=True).iter_rows() for c in r]
    assert quote[quote.index("Parts can be here") + 1] == "at once"
    assert ready(assess(replace(report.job, own=total), TODAY), TODAY).said == "All here"


def test_a_day_of_order_that_is_still_to_come_is_named_itself(tmp_path: Path) -> None:
    """Not the day by which it is needed, which is not past; nothing is ruled out by it."""
    path = hill_climb(tmp_path, {EUR: f"{EUR}\nordered_on  2027-01-30\nneeded_by  2026-12-20"})
    (told,) = [one for one in assess(read_job(path)[0], TODAY).job.faults if "today is" in one.wrong]
    assert (told.key, told.wrong) == ("ordered_on", f"it is still to come; today is {TODAY}")
    assert not told.stops


def test_what_was_bought_and_came_is_not_called_missing(tmp_path: Path) -> None:
    """Everything ticked off: the check still says which parts are bought for it, and no longer to order them."""
    path = hill_climb(tmp_path)
    kept: dict[str, dict[str, float]] = {}
    for one in expected(assess(read_job(path)[0], TODAY)):
        kept[one.line.key] = {"received": kept.get(one.line.key, {"received": 0.0})["received"] + one.quantity}
    before, after = assess(read_job(path)[0], TODAY), checked(path, kept)
    (missing,), (here,) = (
        [one for one in report.findings if one.check == "parts_complete"] for report in (before, after)
    )
    assert missing.said.startswith("Neither in the box nor at hand: hose, ")
    assert "Order what is missing" in missing.do
    assert here.said == missing.said.replace("Neither in the box nor at hand", "Bought for it, and here")
    assert (here.do, here.verdict) == ("", missing.verdict)
