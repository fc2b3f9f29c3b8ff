"""Rotor, pads and fluid over the duty: one stop, the repeated stops, boiling."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from bomcheck.fields import fields
from bomcheck.system import formulas
from bomcheck.system.circuits import other
from bomcheck.system.figures import now_and_then
from bomcheck.system.fluid import fluids_for, highest_wet
from bomcheck.system.result import GOOD, LOOK, SystemFinding
from bomcheck.system.scene import PRACTICE, Scene, compared, not_known, verdict_of
from bomcheck.system.spread import Point, Unknown
from bomcheck.verdict.box import Range
from bomcheck.verdict.limits import KIT, Limit

SHIGLEY = "Shigley, Mechanical Engineering Design, temperature rise of brakes; constants: see the Limits sheet"
ON_ROAD = ("road", "fast road")


def heat(scene: Scene) -> Iterator[SystemFinding]:
    """All findings about heat, before and after the kit where the present rotors' masses are known."""
    yield _known_before(scene, _one_stop(scene, scene.axle, "single_stop"))
    repeated = _known_before(scene, _repeated(scene, scene.axle, "repeated_stops"))
    yield repeated
    rest = other(scene.axle)
    if f"{rest}_rotor_mass" in scene.kit.ranges:
        yield _one_stop(scene, rest, "single_stop_other")
        yield _repeated(scene, rest, "repeated_stops_other")
    yield _pads(scene, repeated.after)
    yield _fluid(scene)


def _one_stop(scene: Scene, axle: str, key: str) -> SystemFinding:
    return compared(
        scene, key, f"{axle.capitalize()} rotor after one stop", "K", partial(formulas.rise, axle=axle), "single_stop_rise",
        formula="½ × mass × (speed² − end speed²) × axle's share ÷ 2 × part into the rotor ÷ (rotor mass × specific heat)",
        source=SHIGLEY, do="The rotor is light for this car and speed: a thicker or larger rotor",
    )  # fmt: skip


def _repeated(scene: Scene, axle: str, key: str) -> SystemFinding:
    return compared(
        scene, key, f"{axle.capitalize()} rotor after the last of the repeated stops", "°C",
        partial(formulas.hottest, axle=axle), "rotor_temperature",
        formula="air + rise × (1 − qⁿ) ÷ (1 − q), q = exp(−interval ÷ cooling time)", source=SHIGLEY,
        do="A heavier rotor, air ducts, or fewer hard stops in a row keep it cooler. If the rotor's cooling time is "
        "known, enter it on the Limits sheet",
    )  # fmt: skip


def _known_before(scene: Scene, found: SystemFinding) -> SystemFinding:
    """With a word of the present rotor where its mass is blank; that is never in the way."""
    if found.after is None or f"{scene.axle}_rotor_mass" in scene.present.ranges:
        return found
    label = fields()[f"present_{scene.axle}_rotor_mass"].label
    return replace(found, said=f"{found.said}. Now: not known, blank: {label}")


def _pads(scene: Scene, hottest: Range | None) -> SystemFinding:
    """The pads' window against what the rotor comes to [°C]; None where that is not known."""
    key, title, axle = "pad_window", "Pads in this duty: warm enough, not too hot", scene.axle
    low, high = (scene.job.get(f"pad_temperature_{end}") for end in ("low", "high"))
    try:
        if low is None or high is None:
            blank = tuple(f"pad_temperature_{end}" for end, size in (("low", low), ("high", high)) if size is None)
            raise Unknown(blank)
        top = hottest or scene.kit.over(partial(formulas.hottest, axle=axle))
        air = scene.kit.middle(lambda at: at["ambient_temperature"])
    except Unknown as unknown:
        return not_known(key, title, unknown, unit="°C", source="pad maker's sheet")
    window = Limit("pad_window", title, low, high, "°C", "pad maker's sheet", ruled_by=KIT)
    verdict, do = verdict_of(top, window), ""
    if verdict != GOOD:
        cold = top.high < low
        do = (
            "Pads that work colder: these never get warm in this duty"
            if cold
            else "Pads that stand more heat, or more cooling"
        )
    elif air < low and scene.job.get("duty") in ON_ROAD:
        verdict, do = (
            LOOK,
            f"Cold, these pads bite little until they have {scene.one(low, '°C')}: not for the first stop on a road",
        )
    said = f"{now_and_then(None, top, window, '°C', scene.system)}: the rotor after the last stop, what the pads are made for"
    return SystemFinding(key, title, verdict, "°C", None, top, window, said, do, source="pad maker's sheet")


def _fluid(scene: Scene) -> SystemFinding:
    def margin(at: Point) -> float:
        return at["fluid_wet_boiling"] - formulas.fluid_heat(at, scene.axle)

    found = compared(
        scene, "fluid_margin", "Fluid below its wet boiling point", "K", margin, "fluid_margin",
        formula="wet boiling point − (air + part that reaches the fluid × (rotor − air))", source=PRACTICE,
    )  # fmt: skip
    if found.after is None:
        return found
    found = replace(found, said=found.said + _fresh(scene))
    if found.verdict == GOOD:
        return found
    hot = scene.kit.over(partial(formulas.fluid_heat, axle=scene.axle))
    wet = scene.kit.middle(lambda at: at["fluid_wet_boiling"])
    said = (
        f"{found.said}. The fluid in the caliper may get as hot as {scene.shown(hot, '°C')}; once it has taken up water it "
        f"may boil at its wet boiling point, {scene.one(wet, '°C')}"
    )
    return replace(found, said=said, do=_cooler(scene, hot.high + (scene.limit("fluid_margin").low or 0.0)))


def _cooler(scene: Scene, wanted: float) -> str:
    """The fluid whose class must have this wet boiling point [°C], or what helps where no class must."""
    change = "changed before each event" if scene.job.get("duty") in ("track", "race") else "changed every year"
    better, most = fluids_for(wanted), highest_wet()
    if better:
        named = f"Fluid with a wet boiling point of at least {scene.one(wanted, '°C')}: {' or '.join(better)}"
        return f"{named}, {change}; cooling air to the calipers"
    return (
        f"No class of fluid reaches the wet boiling point that this takes, {scene.one(wanted, '°C')}: the highest that one must "
        f"have is {scene.one(most, '°C')} (FMVSS 116). Cooling ducts to the calipers, a heavier rotor, fewer or softer stops; "
        f"fluid of the highest class, {' or '.join(fluids_for(most))}, {change}"
    )


def _fresh(scene: Scene) -> str:
    """The same for fluid that has taken up no water yet."""
    dry = scene.job.get("fluid_dry_boiling")
    if dry is None:
        return ""
    room = dry - scene.kit.middle(partial(formulas.fluid_heat, axle=scene.axle))
    return f". Fresh fluid: {scene.one(room, 'K', 'fluid_margin')}"
