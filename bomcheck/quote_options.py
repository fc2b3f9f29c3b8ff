"""Good and better choices of pads and fluid for the car's duty, out of the price list."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bomcheck.job import Job, Part
from bomcheck.parts.demand import Demand
from bomcheck.parts.offers import Purchase, best_offer
from bomcheck.parts.spec import fit
from bomcheck.report import Report
from bomcheck.system.fluid import boiling_points

DUTIES = ("road", "fast road", "track", "race")
GOOD, BETTER = "good", "better"
FLUID_NEED = 1.3  # L: one axle with new calipers
_CLASS = re.compile(r"dot ?(5\.1|[345])(?![\d.])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Option:
    """what: "pads" or "fluid". grade: "good" or "better". why: what it is good for, in words."""

    what: str
    grade: str
    purchase: Purchase
    why: str


def options(report: Report) -> list[Option]:
    """The options, cheapest first of each kind; "better" only where the price list has one."""
    return [*_pads(report.job), *_fluids(report)]


def _pads(job: Job) -> Iterator[Option]:
    """Good: the cheapest for the duty. Better: one for the duty that stands the hardest use as well."""
    shape, duty = job.get("caliper_pad_shape") or job.get("pad_shape"), job.get("duty")
    if not shape or duty not in DUTIES:
        return
    serving = [part for part in job.prices if _serves(part, shape, duty)]
    good = best_offer(1.0, _pad_demand(shape, duty), serving)
    if good is None:
        return
    yield Option("pads", GOOD, good, f"for {duty} use")
    top = _hardest(good.part, shape)
    harder = [part for part in serving if _hardest(part, shape) > top]
    better = best_offer(1.0, _pad_demand(shape, duty), harder)
    if better is not None:
        yield Option("pads", BETTER, better, f"for {duty} use, and stands {DUTIES[_hardest(better.part, shape)]} use")


def _pad_demand(shape: str, duty: str) -> Demand:
    return Demand("pad set", 1, unit="set", spec={"shape": shape, "duty": duty})


def _serves(part: Part, shape: str, duty: str) -> bool:
    return part.role == "pad set" and fit(part, _pad_demand(shape, duty)).surely


def _hardest(part: Part, shape: str) -> int:
    """Place in DUTIES of the hardest use that the pad says it is for."""
    return max((place for place, duty in enumerate(DUTIES) if _serves(part, shape, duty)), default=-1)


def _fluids(report: Report) -> Iterator[Option]:
    """Good: the cheapest of the right base. Better: one that boils later once it has taken up water."""
    line = next((one for one in report.parts if one.role == "fluid" and one.needed), None)
    need = line.needed if line and line.unit == "L" else FLUID_NEED
    silicone = line is not None and "silicone" in line.spec
    demand = Demand("fluid", need, "car", unit="L", spec={"fluid": "silicone" if silicone else "glycol"})
    known = [
        part for part in report.job.prices if part.role == "fluid" and fit(part, demand).surely and fluid_class(part)
    ]
    good = best_offer(need, demand, known)
    if good is None:
        return
    yield Option("fluid", GOOD, good, _boils(good.part))
    better = best_offer(need, demand, _later(known, good.part))
    if better is not None:
        yield Option("fluid", BETTER, better, _boils(better.part))


def fluid_class(part: Part) -> str:
    """ "DOT 4" and so on, "" where the part does not say."""
    found = _CLASS.search(f"{part.strength_class} {part.description}")
    return f"DOT {found[1]}" if found else ""


def _later(parts: Sequence[Part], than: Part) -> list[Part]:
    wet = boiling_points()[fluid_class(than)][1]
    return [part for part in parts if boiling_points()[fluid_class(part)][1] > wet]


def _boils(part: Part) -> str:
    dry, wet = boiling_points()[fluid_class(part)]
    return f"{fluid_class(part)}: boils at {dry:g} °C or above when fresh, {wet:g} °C with water taken up"
