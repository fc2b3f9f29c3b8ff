"""The car in its two states, as ranges: what is on it now, and what is on it with the kit."""

from collections.abc import Iterable, Sequence

from bomcheck.car.balance import G
from bomcheck.car.hydraulics import OF_BOUGHT_PADS, friction_of, one_side_area
from bomcheck.car.spread import State, around, exact
from bomcheck.engine.inputs import Inputs
from bomcheck.model.box import Range
from bomcheck.model.demand import MASTER
from bomcheck.model.job import Job
from bomcheck.model.limits import limit_for
from bomcheck.tables import rows

TYPED, CONSTANTS = (
    tuple(row["size"] for row in rows("system_sizes") if row["kind"] == kind) for kind in ("typed", "constant")
)
NO_LIMIT = float("inf")
DRUMS = "The present {axle} brakes are drums, whose own boost no disc's figures give: have the balance measured on a roller tester"
AXLES = ("front", "rear")
Beside = Sequence[tuple[Job, Inputs]]


def typed_range(sizes: Inputs, key: str) -> Range | None:
    """A typed or derived number with its ±, None where it is blank."""
    if not sizes.has(key):
        return None
    return around(sizes.number(key), sizes.half(key))


def constant(job: Job, name: str) -> Range:
    """A constant of the Limits sheet as a range."""
    row = limit_for(name, job)
    low = row.low if row.low is not None else row.high or 0.0
    high = row.high if row.high is not None else low
    return Range(low, (low + high) / 2, high)


def present_car(job: Job, sizes: Inputs, beside: Beside = ()) -> State:
    """The car as it is. beside: as `car_with_kit` takes it."""
    ranges, asks, why = _shared(job, sizes, beside)
    for axle in AXLES:
        _present_brake(ranges, asks, why, sizes, axle)
    return State(ranges, asks, why)


def car_with_kit(job: Job, sizes: Inputs, beside: Beside = ()) -> State:
    """The car with the kit on its axle; the other axle with its own kit, or as it is.

    beside: the job of the other axle where it gets a kit too, with its sizes.
    """
    ranges, asks, why = _shared(job, sizes, beside)
    kits = {one.get("axle"): (one, its) for one, its in ((job, sizes), *beside)}
    for name in AXLES:
        if name in kits:
            _kit_brake(ranges, asks, why, *kits[name], name)
        else:
            _present_brake(ranges, asks, why, sizes, name)
    if there := bores_in_the_box(one for one, _ in kits.values()):
        ranges["master_bore"] = exact(there[0])
    return State(ranges, asks, why)


def bores_in_the_box(jobs: Iterable[Job]) -> list[float]:
    """Of the master cylinders that kits bring [mm]; one without a bore is not taken for the car's."""
    boxes = [part for job in jobs for part in job.box if part.role == MASTER and part.quantity != 0]
    return [part.inner_diameter for part in boxes if part.inner_diameter]


Shared = tuple[dict[str, Range], dict[str, tuple[str, ...]], dict[str, str]]


def _shared(job: Job, sizes: Inputs, beside: Beside) -> Shared:
    found = {key: typed_range(sizes, key) for key in TYPED}
    ranges = {key: size for key, size in found.items() if size is not None}
    ranges |= {name: constant(job, name) for name in CONSTANTS}
    _no_booster_no_valve(ranges, job)
    ranges.setdefault("stroke_pressure", ranges["usual_stroke_pressure"])
    if "design_deceleration" not in ranges and "design_deceleration" not in job.rejected:
        if "tyre_friction" not in job.rejected:
            ranges.setdefault("tyre_friction", constant(job, "usual_tyre_grip"))
        if "tyre_friction" in ranges:
            ranges["design_deceleration"] = exact(ranges["tyre_friction"].middle * G)
    split = job.get("circuit_split")
    if split is not None:
        ranges["diagonal"] = exact(float(split == "diagonal"))
    own = {one.get("axle"): its for one, its in beside}
    asks: dict[str, tuple[str, ...]] = {"diagonal": ("circuit_split",)}
    for axle in AXLES:
        asks[f"hose_length_{axle}"] = ("hose_path_length",)
        path = typed_range(own.get(axle, sizes), "hose_path_length")
        if path is not None:
            slack, excess = limit_for("hose_slack", job).low or 0.0, limit_for("hose_excess", job).high or 0.0
            low, high = path.low + slack, path.high + slack + excess
            ranges[f"hose_length_{axle}"] = Range(low, (low + high) / 2, high)
    return ranges, asks, {}


def _no_booster_no_valve(ranges: dict[str, Range], job: Job) -> None:
    """What a blank means: a gain of 1 is no booster and has no run-out; a blank knee is no valve."""
    gain = ranges.get("booster_gain")
    if gain is not None and gain.middle <= 1.0:
        ranges["booster_gain"] = exact(1.0)
        ranges["booster_runout_pressure"] = exact(NO_LIMIT)
    if not ranges.keys() & {"rear_valve_knee", "rear_valve_slope"} and "rear_valve_knee" not in job.rejected:
        ranges["rear_valve_knee"], ranges["rear_valve_slope"] = exact(NO_LIMIT), exact(1.0)


def _present_brake(
    ranges: dict[str, Range], asks: dict[str, tuple[str, ...]], why: dict[str, str], sizes: Inputs, axle: str
) -> None:
    keys = {name: f"present_{axle}_{field}" for name, field in _FIELDS.items()}
    asks |= {f"{axle}_{name}": (key,) for name, key in keys.items()}
    if sizes.has(f"present_{axle}_build") and sizes[f"present_{axle}_build"] == "drum":
        asks[f"{axle}_area"], why[f"{axle}_area"] = (), DRUMS.format(axle=axle)
    elif sizes.has(keys["area"]):
        ranges[f"{axle}_area"] = exact(one_side_area(sizes[keys["area"]]))
    for name in ("radius", "friction", "rotor_mass"):
        size = typed_range(sizes, keys[name])
        if size is not None:
            ranges[f"{axle}_{name}"] = size


_FIELDS = {"area": "bores", "radius": "effective_radius", "friction": "friction", "rotor_mass": "rotor_mass"}


BOUGHT_PADS = "The pads that are bought state no edge code, and the Kit sheet is of the kit's own: ask their maker for the friction"


def _kit_brake(
    ranges: dict[str, Range], asks: dict[str, tuple[str, ...]], why: dict[str, str], job: Job, sizes: Inputs, axle: str
) -> None:
    asks |= {f"{axle}_area": ("caliper_bores",), f"{axle}_friction": ("pad_friction",)}
    asks[f"{axle}_rotor_mass"] = ("rotor_mass",)
    mass = typed_range(sizes, "rotor_mass")
    if mass is not None:
        ranges[f"{axle}_rotor_mass"] = mass
    asks[f"{axle}_radius"] = tuple(key for key in ("rotor_diameter", "pad_height") if not sizes.has(key))
    if sizes.has("caliper_bores"):
        ranges[f"{axle}_area"] = exact(one_side_area(sizes["caliper_bores"]))
    friction = typed_range(sizes, "pad_friction") or friction_of(str(job.get("pad_friction_code") or ""))
    stated = job.values.get("pad_friction")
    if stated is not None and stated.typed == OF_BOUGHT_PADS:
        asks[f"{axle}_friction"], why[f"{axle}_friction"] = (), BOUGHT_PADS
    elif friction is not None:
        ranges[f"{axle}_friction"] = friction
    radius = typed_range(sizes, "kit_effective_radius") or _radius_from_rotor(job, sizes)
    if radius is not None:
        ranges[f"{axle}_radius"] = radius


def _radius_from_rotor(job: Job, sizes: Inputs) -> Range | None:
    """Half the disc, the pad's top edge within its limit over it, less half the pad's height."""
    disc, pad = typed_range(sizes, "rotor_diameter"), typed_range(sizes, "pad_height")
    if disc is None or pad is None:
        return None
    edge = limit_for("flush_edge", job)
    over = Range(edge.low or 0.0, ((edge.low or 0.0) + (edge.high or 0.0)) / 2, edge.high or 0.0)
    return Range(
        disc.low / 2 + over.low - pad.high / 2,
        disc.middle / 2 + over.middle - pad.middle / 2,
        disc.high / 2 + over.high - pad.low / 2,
    )
