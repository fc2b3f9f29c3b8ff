"""Rotor, pads and fluid over the duty: one stop, the repeated stops, boiling."""

from collections.abc import Iterator, Sequence
from functools import partial

from bomcheck.car import figures as formulas
from bomcheck.car import hydraulics
from bomcheck.car.checks import check_of
from bomcheck.car.circuits import other
from bomcheck.car.figures import AXLES, now_and_then, pressure
from bomcheck.car.findings_pedal import lines_of
from bomcheck.car.scene import Scene, against, blank, compared, judged, not_known, to_see_to
from bomcheck.car.spread import Point, State, Unknown, exact
from bomcheck.model.box import Range
from bomcheck.model.demand import Demand
from bomcheck.model.finding import Finding, Reason, own_first
from bomcheck.model.limits import KIT, Limit
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict
from bomcheck.tables.fields import fields

ON_ROAD = ("road", "fast road")


def heat(scene: Scene) -> Iterator[Finding]:
    """All findings about heat, before and after the kit where the present rotors' masses are known."""
    yield _known_before(scene, _one_stop(scene, scene.axle, "single_stop"))
    repeated = _known_before(scene, _repeated(scene, scene.axle, "repeated_stops"))
    yield repeated
    rest = other(scene.axle)
    if f"{rest}_rotor_mass" in scene.kit.ranges:
        yield _one_stop(scene, rest, "single_stop_other")
        yield _repeated(scene, rest, "repeated_stops_other")
    yield _pads(scene, repeated.value)
    yield _fluid(scene)


def _one_stop(scene: Scene, axle: str, key: str) -> Finding:
    return compared(scene, key, partial(formulas.rise, axle=axle), axle)


def _repeated(scene: Scene, axle: str, key: str) -> Finding:
    return compared(scene, key, partial(formulas.hottest, axle=axle), axle)


def _known_before(scene: Scene, found: Finding) -> Finding:
    """With a word of the present rotor where its mass is blank; that is never in the way."""
    if found.value is None or f"{scene.axle}_rotor_mass" in scene.present.ranges:
        return found
    label = fields()[f"present_{scene.axle}_rotor_mass"].label
    return replace(found, said=f"{found.said}. Now: not known, blank: {label}")


def _pads(scene: Scene, hottest: Range | None) -> Finding:
    """The pads' window against what the rotor comes to [°C]; None where that is not known."""
    found = blank(scene, "pad_window")
    low, high = (scene.job.get(f"pad_temperature_{end}") for end in ("low", "high"))
    try:
        friction = scene.job.values.get("pad_friction")
        if friction and friction.typed.startswith(hydraulics.OF_BOUGHT_PADS):
            said = "Not known of the pads that are bought, the Kit sheet is of the kit's own: read their maker's sheet"
            raise Unknown((), said)
        if low is None or high is None:
            missing = tuple(f"pad_temperature_{end}" for end, size in (("low", low), ("high", high)) if size is None)
            raise Unknown(missing)
        top = hottest or scene.kit.over(partial(formulas.hottest, axle=scene.axle))
        air = scene.kit.middle(lambda at: at["ambient_temperature"])
    except Unknown as unknown:
        return not_known(found, unknown)
    window = Limit(found.check, found.title, low, high, "°C", found.source, ruled_by=KIT)
    said = f"{now_and_then(None, top, window, '°C', scene.system)}: the rotor after the last stop, what the pads are made for"
    found = against(replace(found, value=top, said=said), window)
    if found.verdict is not Verdict.FITS:
        colder, hotter = (
            "Pads that work colder: these never get warm in this duty",
            "Pads that stand more heat, or more cooling",
        )
        return replace(found, do=colder if top.high < low else hotter)
    if air < low and scene.job.get("duty") in ON_ROAD:
        do = f"Cold, these pads bite little until they have {scene.one(low, '°C')}: not for the first stop on a road"
        return to_see_to(found, do=do)
    return found


def _fluid(scene: Scene) -> Finding:
    def margin(at: Point) -> float:
        return at["fluid_wet_boiling"] - formulas.fluid_heat(at, scene.axle)

    found = compared(scene, "fluid_margin", margin)
    if found.value is None:
        return found
    found = replace(found, said=found.said + _fresh(scene))
    if found.verdict is Verdict.FITS:
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
    better, most = hydraulics.fluids_for(wanted), hydraulics.highest_wet()
    if better:
        named = f"Fluid with a wet boiling point of at least {scene.one(wanted, '°C')}: {' or '.join(better)}"
        return f"{named}, {change}; cooling air to the calipers"
    return (
        f"No class of fluid reaches the wet boiling point that this takes, {scene.one(wanted, '°C')}: the highest that one must "
        f"have is {scene.one(most, '°C')} (FMVSS 116). Cooling ducts to the calipers, a heavier rotor, fewer or softer stops; "
        f"fluid of the highest class, {' or '.join(hydraulics.fluids_for(most))}, {change}"
    )


def _fresh(scene: Scene) -> str:
    """The same for fluid that has taken up no water yet."""
    dry = scene.job.get("fluid_dry_boiling")
    if dry is None:
        return ""
    room = dry - scene.kit.middle(partial(formulas.fluid_heat, axle=scene.axle))
    return f". Fresh fluid: {scene.one(room, 'K', 'fluid_margin')}"


LOW_VALVE = 0.0138  # MPa, 2 psi: for a reservoir below the calipers; common practice, no source
PSI = 0.00689476


def valves(scene: Scene) -> Iterator[Finding]:
    """Residual pressure in the kit's line, and what the reservoir must hold."""
    yield _residual(scene)
    rest = other(scene.axle)
    if scene.job.get(f"residual_valve_{rest}") and scene.job.get(f"present_{rest}_build") in ("fixed", "sliding"):
        yield compared(scene, "residual_valve_other", lambda at: at[f"residual_valve_{rest}"], rest)
    yield _reservoir(scene)


def _residual(scene: Scene) -> Finding:
    key = f"residual_valve_{scene.axle}"
    found = compared(scene, "residual_valve", lambda at: at[key])
    if found.value is None:
        return found
    holds, low = found.value.middle, scene.job.get("reservoir_below_caliper")
    held = own_first(f"{10 * holds:.2f} bar", f"{holds / PSI:.0f} psi")
    found = replace(found, said=f"It holds {held}" if holds else "None is fitted")
    if low is None:
        asked = replace(not_known(found, Unknown(("reservoir_below_caliper",))), limit=None, before=None)
        return asked if found.verdict is Verdict.FITS else found
    if low == "yes" and holds < LOW_VALVE / 2:
        return _low_reservoir(scene, found)
    return found


def _low_reservoir(scene: Scene, found: Finding) -> Finding:
    count, line = lines_of(scene, scene.axle)
    said = f"residual valve of {own_first('0.14 bar', '2 psi')} for {line}"
    reason = "the reservoir is lower than the calipers: without it the fluid runs back and the pedal goes long"
    part = Demand("residual valve", count, per="axle", said=said, reason=reason, used_at="brake line")
    return replace(
        found, verdict=Verdict.FITS_WITH_PARTS, reason=Reason.DIFFERS,
        said=f"{found.said} and the reservoir is lower than the calipers", do=f"Fit a {said}", demands=(part,),
    )  # fmt: skip


def _reservoir(scene: Scene) -> Finding:
    """Fluid that goes out of the reservoir until the pads are worn: two wheels, twice the area of one side, lining worn."""

    def volume() -> Range:
        worn = _lining(scene)
        area = scene.kit.over(lambda at: at[f"{scene.axle}_area"])
        return Range(*(4 * getattr(area, end) * getattr(worn, end) / 1000 for end in ("low", "middle", "high")))

    found = judged(scene, blank(scene, "reservoir"), volume)
    if found.value is None:
        return found
    most = scene.one(found.value.high, "mL")
    return to_see_to(found, do=f"See that the reservoir holds {most} between its marks for this axle")


def _lining(scene: Scene) -> Range:
    """Lining of one pad that may be worn [mm]. Raises Unknown."""
    new, worn = scene.job.get("pad_thickness"), scene.job.get("pad_min_thickness")
    backing, lining = scene.job.get("pad_backing_thickness"), scene.job.get("pad_min_lining")
    if worn is None and backing is not None and lining is not None:
        worn = backing + lining
    if new is None or worn is None:
        raise Unknown(tuple(k for k, v in (("pad_thickness", new), ("pad_min_thickness", worn)) if v is None))
    half = scene.job.values["pad_thickness"].plus_minus
    return Range(new - half - worn, new - worn, new + half - worn) if half else exact(new - worn)


HARD_STOP = 7.5  # m/s²: softer stops say nothing about the area; common practice, no source
SAID = "The list makes two equal halves, as if the pistons of both sides were entered"
KIT_PISTONS = ("caliper_bores", "caliper_build")


def pistons(scene: Scene) -> tuple[Scene, tuple[Finding, ...]]:
    """The scene with doubtful areas held back, and what was found about each list of bores.

    The caliper that the kit replaces comes first: the kit's own is held against it only where it is not in doubt.
    """
    found = []
    for axle in (scene.axle, other(scene.axle)):
        keys = _present(axle)
        doubt = _replaced(scene, axle) if axle == scene.axle else _entered(scene, keys, None, scene.kit)
        scene, told = _told(scene, axle, keys, doubt, replaced=axle == scene.axle)
        found += told
    now = scene.present.ranges.get(f"{scene.axle}_area")
    doubt = _entered(scene, KIT_PISTONS, now.middle if now else None, scene.kit)
    scene, told = _told(scene, scene.axle, KIT_PISTONS, doubt)
    order = [f"pistons_{axle}{end}" for axle in AXLES for end in ("", "_now")]
    return scene, tuple(sorted((*found, *told), key=lambda one: order.index(one.check)))


def _present(axle: str) -> tuple[str, str]:
    return f"present_{axle}_bores", f"present_{axle}_build"


def _entered(scene: Scene, keys: tuple[str, str], area: float | None, state: State) -> bool | None:
    """Whether both sides were entered; area [mm²]: of the caliper to compare with."""
    bores, build = map(scene.job.get, keys)
    return hydraulics.both_sides_entered(bores, build, area, _pressure(state)) if bores else False


def _replaced(scene: Scene, axle: str) -> bool | None:
    """The same of the caliper that the kit replaces, against the kit's where that list is not in doubt itself."""
    (bores, build), (kits, kit_build) = map(scene.job.get, _present(axle)), map(scene.job.get, KIT_PISTONS)
    if not bores:
        return False
    trusted = kits and not hydraulics.may_be_both_sides(kits, kit_build)
    return hydraulics.replaced_both_sides(
        bores, build, hydraulics.one_side_area(kits) if trusted else None, _pressure(scene.present)
    )


def _told(
    scene: Scene, axle: str, keys: tuple[str, str], doubt: bool | None, replaced: bool = False
) -> tuple[Scene, list[Finding]]:
    """The scene, with the area held back where it is in doubt, and the finding; none for a blank list.

    replaced: the caliper that the kit replaces; a question is enough to hold it back.
    """
    bores = scene.job.get(keys[0])
    if not bores:
        return scene, []
    whose = "of the kit" if keys == KIT_PISTONS else "on the car"
    said = f"{_sizes(bores, scene.system)}: {scene.one(hydraulics.one_side_area(bores), 'mm²')} on one side"
    finding = blank(scene, f"pistons_{axle}{'_now' if replaced else ''}", axle, whose=whose)
    if doubt is False:
        return scene, [replace(finding, said=said)]
    do = check_of("pistons").do
    finding = replace(finding, asks=keys[:1], said=f"{said}. {SAID}")
    if doubt is None and not replaced:
        return scene, [to_see_to(finding, do=do)]
    finding = replace(finding, verdict=Verdict.NOT_KNOWN, reason=Reason.DOUBTED)
    do = f"{do} {_really(bores, scene.system)}" if replaced else do
    return _held_back(scene, axle, keys[0]), [replace(finding, do=do)]


def _really(bores: Sequence[float], system: str) -> str:
    """The way out for a caliper that has as many pistons on one side."""
    one_bore = round(sum(bore**2 for bore in bores) ** 0.5, 1)
    return f"If one side has that many, enter one bore of the same area: {_sizes((one_bore,), system)}"


def _sizes(bores: Sequence[float], system: str) -> str:
    """ "46 + 42 mm", "1.875 + 1.750 in"."""
    if system == "inch":
        return " + ".join(f"{bore / 25.4:.3f}" for bore in bores) + " in"
    return " + ".join(f"{bore:g}" for bore in bores) + " mm"


def _pressure(state: State) -> float | None:
    """Line pressure of the stop asked for, with the areas as entered; None unless it is a hard stop."""
    try:
        return state.middle(lambda at: pressure(at) if at["design_deceleration"] >= HARD_STOP else float("inf"))
    except Unknown:
        return None


def _held_back(scene: Scene, axle: str, bores_key: str) -> Scene:
    why = "The piston list seems to hold both sides of the caliper"
    present, kit = (_without(state, f"{axle}_area", bores_key, why) for state in (scene.present, scene.kit))
    return replace(scene, present=present, kit=kit)


def _without(state: State, key: str, bores_key: str, why: str) -> State:
    """The state without an area that comes from these bores."""
    if state.asks.get(key) != (bores_key,):
        return state
    ranges = {known: size for known, size in state.ranges.items() if known != key}
    return State(ranges, state.asks, {**state.why, key: why})
