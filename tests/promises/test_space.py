"""Promise: no body inside another passes as "fits", and none that stands clear is refused.

Random corners, most sizes near a limit, some blank; true sizes inside their ± and, of blanks, inside their plausible range,
corners of the box among them; each true corner judged by points in `brute_space`. BOMCHECK_SPACE_SAMPLES sets how many true
corners are tried, usual 4,000.
"""

import os
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Value
from bomcheck.model.verdict import Verdict
from bomcheck.tables.fields import fields
from tests.helpers.jobs import good_job
from tests.promises.brute_space import AIR, NEEDS, clear, laid, places

SAMPLES = int(os.environ.get("BOMCHECK_SPACE_SAMPLES", "4000"))
QUESTIONED = int(os.environ.get("BOMCHECK_SPACE_QUESTIONS", "60"))
CHUNKS = 4
EACH = 40
BODIES = (*AIR, "caliper_in_wheel", *NEEDS)
MAY_BE_BLANK = ("ear_width", "bracket_boss_width", "caliper_lowest", "caliper_top_width", "ear_thickness", "hat_inner_depth",
                "hub_flange_thickness", "hub_flange_diameter", "hat_outer_diameter", "shield_radius", "bracket_screw_length",
                "wheel_weight_thickness", "bracket_ear_thickness", "caliper_bridge", "shield_position")  # fmt: skip
WIDE = (0.0, 0.3, 1.0, 1.0, 3.0)  # of the usual ±


def random_job(seed: int, wide: tuple[float, ...] = WIDE, blanks: tuple[int, ...] = (0, 0, 1, 2, 4)) -> Job:
    """A corner whose bodies stand near one another."""
    dice = Random(seed)
    near = lambda size: round(size + dice.choice((0.0, 0.3, 1.0, 4.0)) * dice.uniform(-1, 1), 2)  # noqa: E731
    side, build = dice.choice(("outboard", "inboard")), dice.choice(("fixed", "sliding"))
    thick, boss = near(20.0), near(15.0)
    disc_end = 42.0 + 14.0
    reach = {"outboard": boss + dice.choice((0.0, 12.0)), "inboard": thick + dice.choice((0.0, 10.0))}[side]
    face = near(disc_end + 3.0 + reach)
    push = dice.choice((0.0, 0.5, 1.0, 2.0)) * (1.0 if side == "inboard" else -1.0)
    height = near(dice.choice((95.0, 70.0, 170.0)))
    changes: dict[str, Any] = {
        "ear_side": side, "caliper_build": build, "ear_face_position": face, "bracket_offset": round(42.0 - face - push, 2),
        "ear_thickness": thick, "bracket_ear_thickness": boss, "ear_width": near(30.0), "bracket_boss_width": near(30.0),
        "ear_height": height, "bracket_rise": round(133.5 - height - dice.uniform(0.0, 2.0), 2), "bracket_screw_length": near(dice.choice((40.0, 60.0, 90.0))),
        "bracket_screw_into": dice.choice(("ear", "bracket")), "caliper_slot_width": near(31.5),
        "caliper_bridge": near(33.6), "caliper_lowest": near(-28.0), "caliper_top_width": near(dice.choice((0.5, 60.0))),
        "wheel_barrel": f"-40:{near(203)}; 60:{near(202)}; 170:{near(200)}",
        "wheel_spoke": f"50:{near(12)}; 150:{near(6)}; 280:{near(4)}", "hat_inner_depth": near(dice.choice((30.0, 56.0, 70.0))),
        "hub_flange_thickness": 12.0, "hat_outer_diameter": near(212.0), "pad_height": near(57.0),
        "rotor_build": dice.choice(("one-piece", "two-piece")), "rotor_height": 63.0,
        "shield": dice.choice(("none", "fixed")), "shield_position": near(59.0), "shield_radius": near(150.0),
        "wheel_weight_thickness": dice.choice((0.0, 3.0)), "caliper_bores": dice.choice((None, "46+42")),
        "hat_screw_reach": dice.choice((None, near(20.0))), "bracket_screw_head_height": dice.choice((None, near(8.0))),
    }  # fmt: skip
    if dice.random() < 0.4:
        changes["caliper_envelope"] = tuple((x, near(52.0)) for x in (-45.0, -20.0, 0.0, 30.0, 60.0))
    changes |= _pointed(dice)
    for key in dice.sample(MAY_BE_BLANK, dice.choice(blanks)):
        changes[key] = None
    job = good_job(**changes)
    scale = dice.choice(wide)
    values = {k: replace(v, plus_minus=round(v.plus_minus * scale, 4)) for k, v in job.values.items()}
    return replace(job, values=values)


def _pointed(dice: Random) -> dict[str, Any]:
    """What is known by points: arm and neighbours near the disc or the barrel, fittings and a valve near the barrel."""
    by = lambda size: round(size + dice.choice((0.0, 0.5, 2.0, 6.0)) * dice.uniform(-1, 1), 2)  # noqa: E731
    off = lambda: by(dice.choice((18.0, -18.0)))  # noqa: E731
    some: dict[str, Any] = {
        "bracket_arm": f"{by(150)}:{off()}; {by(dice.choice((169.0, 130.0)))}:{by(0)}",
        "neighbours": f"{by(120)}:{by(60)}; {by(dice.choice((150.0, 198.0)))}:{by(66)}",
        "neighbours_at_lock": f"{by(dice.choice((160.0, 199.0)))}:{by(61)}",
        "caliper_inlet_axial": by(30.0), "caliper_inlet_height": by(62.0), "caliper_bleeder_axial": by(-25.0), "caliper_bleeder_height": by(62.0),
        "wheel_valve_position": by(dice.choice((40.0, 0.0, 110.0))), "wheel_valve_radius": by(198.0),
    }  # fmt: skip
    return {key: size for key, size in some.items() if dice.random() < 0.7}


class Truths:
    """True corners of a job: its sizes inside their ±, its blanks inside their plausible range."""

    def __init__(self, job: Job, seed: int) -> None:
        self.job, self.dice = job, Random(seed)

    def size(self, key: str) -> Any:
        value = self.job.values.get(key)
        if value is None:
            field = fields()[key]
            return self.between(field.low or 0.0, field.high or 0.0)
        if key in TABLES:
            shift = self.between(-value.plus_minus, value.plus_minus)
            return tuple((x, y + shift) for x, y in value.value)
        if not isinstance(value.value, float | int):
            return value.value
        return self.between(value.value - value.plus_minus, value.value + value.plus_minus)

    def between(self, low: float, high: float) -> float:
        return self.dice.choice((low, high)) if self.dice.random() < self.ends else self.dice.uniform(low, high)

    def one(self) -> dict[str, Any]:
        """One true corner, its caliper centred and flush as far as the limits ask, by some stack of shims."""
        self.ends = self.dice.choice((0.0, 0.5, 1.0))
        t = {key: self.size(key) for key in {*self.job.values, *NEEDED} if key not in ("caliper_envelope",)}
        if "caliper_envelope" in self.job.values:
            t["caliper_envelope"] = self.size("caliper_envelope")
        t["plane"] = t["rotor_plane_position"]
        if t["rotor_build"] == "one-piece":
            t["plane"] = t["rotor_height"] - t["hat_flange_thickness"] - t["rotor_thickness"] / 2
        allowed = {"fixed": 0.5, "sliding": 2.0}[t["caliper_build"]]
        t["off"], t["flush"], t["off_allowed"] = self.between(-allowed, allowed), self.between(-1.5, 0.0), allowed
        self._bounded(t)
        t["ears_sideways"] = t["ear_sideways_offset"]
        t["bracket_screw_diameter"] = t["bracket_screw_thread"].diameter
        t["washers"] = t["bracket_washer_thickness"] * t["bracket_washer_count"]
        head, typed = self.between(0.62, 1.0) * t["bracket_screw_diameter"], "bracket_screw_head_height"
        t["head_height"] = self.size(typed) if typed in self.job.values else head
        t["fitting_half"] = self.between(0.0, 8.0)
        lining = t["pad_thickness"] - t["pad_backing_thickness"] - t["pad_min_lining"]
        t["worn_shift"] = lining + self.between(0.5, 1.0) * (t["rotor_thickness"] - t["rotor_min_thickness"])
        return t

    def _bounded(self, t: dict[str, Any]) -> None:
        """Blanks that other sizes bound: wall below the pistons, the hat's end and outside, the hub's flange."""
        typed = self.job.values
        if "caliper_lowest" not in typed and "caliper_bores" in typed:
            middle = t["caliper_pad_top"] - t["pad_height"] / 2
            t["caliper_lowest"] = middle - max(t["caliper_bores"]) / 2 - self.between(3.0, 12.0)
        elif "caliper_lowest" not in typed:
            t["caliper_lowest"] = self.between(-160.0, t["caliper_pad_top"] - t["pad_height"] / 2)
        half = t["rotor_thickness"] / 2
        t.setdefault("hat_screw_reach", half)
        t["hat_end"] = t["hat_inner_depth"] if "hat_inner_depth" in typed else t["plane"] + self.between(-half, half)
        if "hat_outer_diameter" not in typed:
            t["hat_outer_diameter"] = self.between(t["hat_inner_diameter"], t["rotor_ring_inner_diameter"])
        if "hub_flange_diameter" not in typed:
            t["hub_flange_diameter"] = self.between(90.0, t["hat_inner_diameter"])


TABLES = ("wheel_barrel", "wheel_spoke", "caliper_envelope", "bracket_arm", "neighbours", "neighbours_at_lock")
NEEDED = (*MAY_BE_BLANK, "rotor_plane_position", "hat_inner_diameter")


def findings_of(job: Job) -> dict[str, Finding]:
    found = Round(settle(job)).findings
    return {name: found[name] for name in BODIES}


def tried(job: Job, seed: int, wrong: list[str]) -> tuple[dict[str, Finding], dict[str, set[bool]]]:
    """The verdicts, and what was seen of each body over the true corners, with the caliper anywhere where it is centred."""
    found, seen = findings_of(job), {name: set[bool]() for name in BODIES}
    by_shims = {name for name, one in found.items() if one.verdict is Verdict.FITS and "with shims" in one.said}
    truths = Truths(job, seed)
    for _ in range(EACH):
        truth = truths.one()
        if by_shims and not any(
            all(clear(truth | place).get(name, True) for name in by_shims) for place in places(truth)
        ):
            wrong.append(f"job {seed}: {by_shims} fit with shims, but no stack of the box leaves them all clear")
        for name, good in clear(truth).items():
            seen[name].add(good)
            verdict = found[name].verdict
            if verdict is Verdict.FITS and not good and name not in by_shims:
                wrong.append(f"job {seed}: {name} fits ({found[name].said}), but is in the way")
            if verdict in (Verdict.DOES_NOT_FIT, Verdict.FITS_WITH_PARTS) and good:
                wrong.append(
                    f"job {seed}: {name} {verdict} ({found[name].said}), but stands clear, stack {laid(truth)}"
                )
    return found, seen


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_no_true_corner_contradicts_a_body(chunk: int, record_property: Callable[[str, object], None]) -> None:
    """ "Fits": clear in every true corner; a failure: in none. Both are met, and so is what is not known."""
    wrong: list[str] = []
    said: Counter[str] = Counter()
    for number in range(max(1, SAMPLES // CHUNKS // EACH)):
        found, _ = tried(random_job(chunk * 1_000_000 + number), chunk * 1_000_000 + number, wrong)
        said.update(str(one.verdict) for one in found.values())
    applying = sum(said.values()) - said["does not apply"]
    record_property("share not known near the limits", round(said["not known"] / applying, 3))
    assert not wrong, "\n".join(wrong[:5])
    assert said["fits"]
    assert said["does not fit"]
    assert said["not known"]


def test_honest_jobs_are_settled(record_property: Callable[[str, object], None]) -> None:
    """300 corners that were laid out to fit, all cells filled, usual instruments: at least 90 % of the bodies' verdicts."""
    said: Counter[str] = Counter()
    for seed in range(300):
        dice = Random(seed)
        room = lambda: dice.uniform(1.5, 6.0)  # noqa: B023, E731
        job = good_job(
            ear_width=30.0, bracket_boss_width=30.0, hub_flange_thickness=12.0, hat_inner_depth=45.0, shield="fixed",
            shield_position=58.0 + room(), shield_radius=160.0, shield_window="yes", caliper_slot_width=31.5 + room(),
            caliper_bridge=33.5 + room(), ear_face_position=88.0 + room(), caliper_lowest=-25.0, caliper_top_width=60.0,
            wheel_barrel=f"-40:{203 + room():.1f}; 170:{202 + room():.1f}", wheel_spoke=f"50:{4 + room():.1f}; 240:{2 + room():.1f}",
            bracket_offset=42.0 - 91.0,
        )  # fmt: skip
        said.update(str(found.verdict) for found in findings_of(job).values())
    applying = sum(said.values()) - said["does not apply"]
    settled = 1 - said["not known"] / applying
    record_property("settled share of honest jobs", round(settled, 3))
    assert settled >= 0.90, said


def test_what_is_asked_can_change_the_verdict() -> None:
    """Where a blank is asked for, some filling of what is asked gives another verdict of that pair than another filling."""
    asked, idle = 0, []
    for seed in range(QUESTIONED):
        job = random_job(seed, blanks=(1, 2, 4))
        for name, found in findings_of(job).items():
            blanks = [key for key in found.asks if key not in job.values and fields()[key].notation == "number"]
            if found.verdict is Verdict.NOT_KNOWN and found.reason == "blank" and blanks:
                asked += 1
                first, *others = _fillings(blanks, seed)
                before = _pairs(job, name, first)
                if all(_pairs(job, name, filling) == before for filling in others):
                    idle.append((seed, name, blanks))
    assert asked > QUESTIONED
    assert not idle


def _fillings(blanks: list[str], seed: int) -> list[dict[str, float]]:
    dice = Random(seed)
    spans = {key: (fields()[key].low or 0.0, fields()[key].high or 0.0) for key in blanks}
    corners = [{k: dice.choice(span) for k, span in spans.items()} for _ in range(12)]
    steps = {k: dice.sample([low + (high - low) * n / 40 for n in range(41)], 41) for k, (low, high) in spans.items()}
    return [*corners, *({k: sizes[n] for k, sizes in steps.items()} for n in range(41))]


def _pairs(job: Job, name: str, filling: dict[str, float]) -> tuple[str, ...]:
    values = {key: Value(key, size, 0.0) for key, size in filling.items()}
    found = findings_of(replace(job, values={**job.values, **values}))[name]
    return tuple(str(pair.verdict) for pair in found.pairs)
