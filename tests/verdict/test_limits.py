"""Who sets a limit: the house, the job's Limits sheet, the kit's sheet."""

import json
import re
from pathlib import Path

import bomcheck
from bomcheck.model.limits import HOUSE, KIT, SHEET, house_limits, limit_for
from bomcheck.model.shipped import folder
from bomcheck.rules import all_checks
from tests.helpers.jobs import assessed, finding, good_job


def test_the_house_rules_where_nothing_else_is_said() -> None:
    """Pilot clearance 0.02 to 0.20 mm (common practice, no source)."""
    found = limit_for("pilot_clearance", good_job())
    assert (found.low, found.high, found.unit, found.ruled_by) == (0.02, 0.2, "mm", HOUSE)


def test_the_limits_sheet_overrides_the_house() -> None:
    """A changed row changes the verdict, and the finding says who ruled."""
    job = assessed(hat_bore=(67.05, 0.0), hub_pilot_diameter=(66.5, 0.0))
    assert finding("pilot_fit", job).verdict == "fits with parts"
    loose = assessed(hat_bore=(67.05, 0.0), hub_pilot_diameter=(66.5, 0.0), limits={"pilot_clearance": (0.02, 0.6)})
    assert finding("pilot_fit", loose).verdict == "fits"
    assert finding("pilot_fit", loose).limit.ruled_by == SHEET  # type: ignore[union-attr]


def test_the_kits_printed_figure_overrides_both() -> None:
    """An axial tolerance of 0.3 mm on the kit's sheet holds both ways, whatever the Limits sheet says."""
    found = limit_for("axial_error_fixed", good_job(axial_tolerance=0.3, limits={"axial_error_fixed": (-0.9, 0.9)}))
    assert (found.low, found.high, found.ruled_by) == (-0.3, 0.3, KIT)


def test_a_bound_can_be_taken_away() -> None:
    """No upper bound on the Limits sheet: a loose bore passes, a tight one does not."""
    changed = {"pilot_clearance": (0.02, None)}
    assert finding("pilot_fit", assessed(hat_bore=(70.0, 0.0), limits=changed)).verdict == "fits"
    assert finding("pilot_fit", assessed(hat_bore=(66.4, 0.0), limits=changed)).verdict == "needs machining"


def test_a_shifted_limit_keeps_its_open_side() -> None:
    """Shifting moves what is there."""
    moved = house_limits()["hub_in_hat"].shifted(2.0)
    assert (moved.low, moved.high) == (3.0, None)


def test_a_usual_limit_that_is_changed_is_still_known() -> None:
    """Jobs of an earlier version carry its figures. A changed one goes into the row's "before" (and the new one into the file)."""
    lines = (Path(__file__).parent / "house_figures.txt").read_text("utf-8").splitlines()[2:]
    ever = {(name, _figure(low), _figure(high)) for name, low, high in (line.split("\t") for line in lines)}
    known = {(name, *pair) for name, one in house_limits().items() for pair in ((one.low, one.high), *one.before)}
    new, gone = sorted(known - ever, key=str), sorted(ever - known, key=str)
    assert not new, f"add to tests/verdict/house_figures.txt, tabs between name, low and high, - for none: {new}"
    assert not gone, f'keep these earlier figures in "before" of their row of schemas/limits.json: {gone}'


def _figure(text: str) -> float | None:
    return None if text == "-" else float(text)


def test_every_limit_of_a_check_is_in_the_table_and_named_once() -> None:
    """The table has each name once, with a source, and every check's limit is one of them."""
    rows = json.loads((folder("schemas") / "limits.json").read_text("utf-8"))["limits"]
    names = [row["name"] for row in rows]
    assert len(names) == len(set(names))
    assert all(row["source"] and row["title"] and row["governs"] for row in rows)
    used = {
        name
        for check in all_checks().values()
        for name in ([check.limit] if isinstance(check.limit, str) else check.limit.values())
    }
    lacking = used - {"", *names}
    assert not lacking, (
        f"add a row to schemas/limits.json for each of {sorted(lacking)}, or correct limit= of its check"
    )
    texts = [one for one in Path(bomcheck.__file__).parent.rglob("*") if one.suffix in (".py", ".txt")]
    words = set(re.findall(r"\w+", " ".join(one.read_text("utf-8") for one in texts)))
    idle = set(names) - used - words
    assert not idle, (
        "a limit on the Limits sheet that nothing is held against: name it in a check's limit=, or take its row out of "
        f"schemas/limits.json: {sorted(idle)}"
    )
