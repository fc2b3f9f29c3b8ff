"""The two circuits of the master cylinder: the stop on one of them alone, and the fluid that one takes."""

from collections.abc import Iterator
from functools import partial

from bomcheck.car import circuits
from bomcheck.car import figures as formulas
from bomcheck.car.checks import check_of
from bomcheck.car.hydraulics import CM3_PER_FOOT, PSI, legal_hose_compliance, master_bores
from bomcheck.car.scene import Scene, blank, compared, judged, to_see_to
from bomcheck.car.spread import State, Unknown, change, side_by_side
from bomcheck.car.states import bores_in_the_box
from bomcheck.model.box import Range
from bomcheck.model.demand import MASTER, Demand
from bomcheck.model.finding import Finding, Weight
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict

ALONE = {
    True: "force of one front and one rear brake ÷ mass, at most what their tyres hold",
    False: "force of the axle that is left ÷ mass, at most what its tyres hold",
}
HALF = "half of this for each axle, both added: one front and one rear brake; an axle without a kit taken to give as the other"


def is_diagonal(scene: Scene) -> bool | None:
    """Whether the split is diagonal; None where it is not stated."""
    try:
        return scene.kit.middle(circuits.is_diagonal)
    except Unknown:
        return None


def circuit_name(scene: Scene) -> str:
    """The circuit that serves the kit's brakes, in a sentence."""
    return "one diagonal circuit" if is_diagonal(scene) else f"the {scene.axle} circuit"


def lines_of(scene: Scene, axle: str) -> tuple[float, str]:
    """How many valves an axle takes, and where they go: one, or with a diagonal split one in each wheel's line."""
    if is_diagonal(scene) is None:
        return 1, f"the {axle} line (with a diagonal split one in each)"
    return (2, f"each {axle} wheel's line") if is_diagonal(scene) else (1, f"the {axle} line")


def stop_on_one(scene: Scene, state: State) -> Range | None:
    """The stop on one circuit with the largest allowed force on the pedal [m/s²]; None where it is not known."""
    try:
        return circuits.stop_alone(state, scene.limit("pedal_force").high or 0.0)
    except Unknown:
        return None


def one_circuit(scene: Scene) -> Finding:
    """The stop with the largest allowed force on the pedal when the better circuit has failed."""
    force = scene.limit("pedal_force").high or 0.0
    before = stop_on_one(scene, scene.present)
    found = blank(scene, "failed_circuit", formula=ALONE[bool(is_diagonal(scene))], force=scene.one(force, "N"))
    found = judged(scene, replace(found, before=before), lambda: circuits.stop_alone(scene.kit, force))
    if found.value is None:
        return found
    found = _no_worse(found, more=1)
    which = "on either diagonal circuit" if is_diagonal(scene) else "with the weaker axle alone"
    return replace(found, said=f"{found.said}: {which}")


def _no_worse(found: Finding, more: int) -> Finding:
    """What the kit does not make worse is only looked at. more: 1 where more is better, -1 where less is."""
    if found.value is None or found.before is None or more * (found.before.middle - found.value.middle) > 1e-9:
        return found
    return replace(found, weight=Weight.LOOK)


def no_booster(scene: Scene) -> Iterator[Finding]:
    """The force that still stops the car where the booster has failed; nothing for a car that has none."""
    rate = scene.limit("failed_circuit").low or 0.0
    if scene.job.get("booster_gain") != 1.0:
        foot = partial(formulas.foot_alone, rate=rate)
        yield _no_worse(compared(scene, "failed_booster", foot, rate=scene.one(rate, "m/s²")), more=-1)


def circuit_fluid(scene: Scene) -> Finding:
    """Fluid that the kit's circuit moves, stated only."""
    own = check_of("circuit_fluid").formula
    fluid = partial(circuits.millilitres, axle=scene.axle)
    formula = f"{own}; {HALF}" if is_diagonal(scene) else own
    return compared(scene, "circuit_fluid", fluid, formula=formula, circuit=circuit_name(scene))


ALIKE = 0.15  # mm either way: 22.2 mm and 7/8 in are one bore


def pedal(scene: Scene) -> Iterator[Finding]:
    """All findings between the foot and the line."""
    yield compared(scene, "line_pressure", formulas.pressure)
    yield compared(scene, "pedal_force", formulas.foot)
    yield one_circuit(scene)
    yield from no_booster(scene)
    yield from _hose(scene)
    yield circuit_fluid(scene)
    yield _either_way(scene, _stroke(scene))
    yield _travel(scene)
    if "pedal_travel_to_floor" in scene.kit.ranges:
        yield compared(scene, "pedal_travel_use", circuits.floor_use)


def _either_way(scene: Scene, found: Finding) -> Finding:
    """Where the split is blank: what fails with either one, fails."""
    if found.asks != ("circuit_split",):
        return found
    both = [_stroke(replace(scene, kit=scene.kit.put(diagonal=way))) for way in (0.0, 1.0)]
    if not all(one.verdict in (Verdict.DOES_NOT_FIT, Verdict.FITS_WITH_PARTS) for one in both):
        return found
    worst = max(both, key=lambda one: max((part.spec["inner_diameter"] for part in one.demands), default=(99.0,)))
    return replace(
        worst, said=f"Too much whichever way the circuits are split. If as named here: {worst.said}", asks=found.asks
    )


def _hose(scene: Scene) -> Iterator[Finding]:
    """Only where the hose is said to give more than a road hose may."""
    give, most = scene.job.get("hose_compliance"), legal_hose_compliance("1/4", "regular", 1000)
    if give is None or most is None or give <= most:
        return
    said = f"{_hose_give(scene, give)} entered; no marked road hose may give more than {_hose_give(scene, most)} at 1 000 psi"
    found = to_see_to(blank(scene, "hose_give"), said=said, do=check_of("hose_give").do)
    yield replace(found, asks=("hose_compliance",))


def _hose_give(scene: Scene, give: float) -> str:
    """In the unit that is entered; in an inch job also as the law states it."""
    stated = f"{give:.0f} mm³/(m·MPa)"
    return f"{stated} ({give * 1000 * PSI / CM3_PER_FOOT:.2f} mL/ft)" if scene.system == "inch" else stated


def _stroke(scene: Scene) -> Finding:
    formula = check_of("master_stroke").formula + (", the shorter of both" if is_diagonal(scene) else "")
    use = partial(circuits.stroke_use, axle=scene.axle)
    found = compared(scene, "master_stroke", use, formula=formula, circuit=circuit_name(scene))
    if found.value is not None and found.verdict is not Verdict.FITS:
        return _with_master(scene, found)
    there = bores_in_the_box([scene.job])[:1]
    its = there == [bore.middle for key, bore in scene.kit.ranges.items() if key == "master_bore"]
    return replace(found, demands=(_master(there[0], "the kit brings it"),)) if there and its else found


def changed(scene: Scene) -> tuple[str, ...]:
    """The axles that get a kit."""
    return tuple(axle for axle in formulas.AXLES if scene.kit.asks.get(f"{axle}_area") == ("caliper_bores",))


def next_master(scene: Scene) -> tuple[str, float] | None:
    """(What is stamped on it, its bore [mm]) of the next larger master cylinder with which the stroke works for every true size, of
    both axles where both get a kit; None if none of the trade's does.

    Every larger one takes more force and leaves a softer stop on one circuit. Raises Unknown where the stroke itself is not known.
    """
    present, most = scene.kit.middle(lambda at: at["master_bore"]), scene.limit("master_stroke_use").high or 1.0
    for stamped, bore in master_bores():
        state = scene.kit.put(master_bore=bore)
        if bore > present + ALIKE and all(_within(state, axle, most, axle != scene.axle) for axle in changed(scene)):
            _, _, inches = stamped.partition("(")
            return inches.rstrip(")") if inches and scene.system == "inch" else stamped, bore
    return None


def _within(state: State, axle: str, most: float, unknown: bool) -> bool:
    try:
        return _used(state, axle).high <= most
    except Unknown:
        return unknown


def _used(state: State, axle: str) -> Range:
    return state.over(partial(circuits.stroke_use, axle=axle))


def _with_master(scene: Scene, found: Finding) -> Finding:
    master = next_master(scene)
    if master is None or found.value is None:
        do = "No master cylinder of the trade is large enough: ask the kit maker for calipers with smaller pistons"
        return replace(found, do=do)
    name, bore = master
    takes = scene.shown(_used(scene.kit.put(master_bore=bore), scene.axle), "-", found.check)
    said = f"master cylinder of {name} bore"
    works = f"{said}: the brakes take {takes} of its stroke; it takes more force, see pedal force, one circuit and failed booster"
    if found.verdict is Verdict.NOT_KNOWN:
        asked = "Measure pad clearance and the give of caliper and hose more closely; if it stays, fit a"
        return replace(found, do=f"{asked} {works}")
    now = scene.shown(found.value, "-", found.check)
    part = _master(bore, f"the kit's calipers take more fluid than the present one gives: {now} of its stroke", said)
    return replace(found, verdict=Verdict.FITS_WITH_PARTS, do=f"Fit a {works}", demands=(part,))


def _master(bore: float, reason: str, said: str = MASTER) -> Demand:
    spec = {"inner_diameter": (round(bore - ALIKE, 3), round(bore + ALIKE, 3))}
    puts = (("master_bore", bore),)
    return Demand(MASTER, 1, per="car", spec=spec, said=said, reason=reason, used_at="pedal", puts=puts)


def _travel(scene: Scene) -> Finding:
    """Change of the travel at the foot, and the whole of it where both axles are known."""
    both = side_by_side(scene.present, scene.kit)
    alike = scene.kit.ranges.get("master_bore") == scene.present.ranges.get("master_bore")
    axles = changed(scene) if alike else formulas.AXLES
    longer = change(lambda at: sum(circuits.axle_travel(at, axle) for axle in axles))
    found = judged(scene, blank(scene, "pedal_travel"), lambda: both.searched(longer))
    now, then = scene.before(circuits.foot_travel), replace(scene, present=scene.kit).before(circuits.foot_travel)
    if found.value is None or now is None or then is None:
        return found
    return replace(
        found,
        said=f"{found.said}. In all, free play included: {scene.shown(now, 'mm')} now, {scene.shown(then, 'mm')} then",
    )
