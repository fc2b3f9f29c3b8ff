"""Residual valves and the reservoir."""

from collections.abc import Iterator
from dataclasses import replace

from bomcheck.parts.demand import Demand
from bomcheck.system.findings_circuits import lines_of
from bomcheck.system.result import BAD, GOOD, LOOK, SystemFinding
from bomcheck.system.scene import PRACTICE, Scene, compared, judged, not_known
from bomcheck.system.spread import Unknown, exact
from bomcheck.verdict.box import Range

LOW_VALVE = 0.0138  # MPa, 2 psi: for a reservoir below the calipers; common practice, no source
PSI = 0.00689476


def valves(scene: Scene) -> Iterator[SystemFinding]:
    """Residual pressure in the kit's line, and what the reservoir must hold."""
    yield _residual(scene)
    yield _reservoir(scene)


def _residual(scene: Scene) -> SystemFinding:
    key = f"residual_valve_{scene.axle}"
    found = compared(
        scene, "residual_valve", f"Residual valve in the {scene.axle} line", "MPa", lambda at: at[key], "residual_disc",
        do="Take the valve out: it is one for drums and keeps the pads on the rotor",
    )  # fmt: skip
    if found.after is None:
        return found
    holds, low = found.after.middle, scene.job.get("reservoir_below_caliper")
    found = replace(found, said=f"It holds {holds / PSI:.0f} psi ({holds:.3f} MPa)" if holds else "None is fitted")
    if low is None:
        asked = not_known(
            "residual_valve", found.title, Unknown(("reservoir_below_caliper",)), after=found.after, source=PRACTICE
        )
        return asked if found.verdict == GOOD else found
    if low == "yes" and holds < LOW_VALVE / 2:
        return _low_reservoir(scene, found)
    return found


def _low_reservoir(scene: Scene, found: SystemFinding) -> SystemFinding:
    count, line = lines_of(scene, scene.axle)
    said = f"residual valve of 2 psi (0.14 bar) for {line}"
    reason = "the reservoir is lower than the calipers: without it the fluid runs back and the pedal goes long"
    part = Demand("residual valve", count, per="axle", said=said, reason=reason, used_at="brake line")
    return replace(
        found,
        verdict=BAD,
        said=f"{found.said} and the reservoir is lower than the calipers",
        do=f"Fit a {said}",
        demands=(part,),
    )


def _reservoir(scene: Scene) -> SystemFinding:
    """Fluid that goes out of the reservoir until the pads are worn: two wheels, twice the area of one side, lining worn."""

    def volume() -> Range:
        worn = _lining(scene)
        area = scene.kit.over(lambda at: at[f"{scene.axle}_area"])
        return Range(*(4 * getattr(area, end) * getattr(worn, end) / 1000 for end in ("low", "middle", "high")))

    found = judged(
        scene, "reservoir", f"Fluid that leaves the reservoir until the {scene.axle} pads are worn", "mL", volume, None,
        formula="4 × piston area of one side × lining that may be worn",
    )  # fmt: skip
    if found.after is None:
        return found
    return replace(
        found,
        verdict=LOOK,
        do=f"See that the reservoir holds {scene.one(found.after.high, 'mL')} between its marks for this axle",
    )


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
