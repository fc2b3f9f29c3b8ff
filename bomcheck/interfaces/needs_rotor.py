"""What the rotor takes: the rotor itself, its hat, and the joint between the two."""

from collections.abc import Iterator
from math import ceil

from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, needs
from bomcheck.parts.stating import around, only_ask, screw_keys, screw_spec, state, thread_name

PLACE = "hat to friction ring"
WIRE_PER_PAIR = 0.15  # m; two screws are wired as a pair: common practice, no source
WIRE_SPARE = 1.2
LOCKER_PER_SCREW = 0.3  # mL: common practice, no source
ANTI_SEIZE = 5.0  # g on the hub face of one corner: common practice, no source


@needs
def rotor(assembly: Assembly) -> Iterator[Demand]:
    """One rotor for each corner; left and right are different parts where the vanes are directional."""
    vanes = assembly.get("rotor_vanes")
    for side in ("left", "right") if vanes == "directional" else ("either",):
        said = "rotor with directional vanes, for this side only" if vanes == "directional" else "rotor"
        yield state(
            assembly, "rotor", 1, "rotor_vanes", side=side, said=said, reason="the kit's rotor", used_at="hub",
            spec=_rotor_spec(assembly),
        )  # fmt: skip


def _rotor_spec(assembly: Assembly) -> dict[str, tuple[float, float]]:
    sizes = (("outer_diameter", "rotor_diameter", 1.0), ("thickness", "rotor_thickness", 0.3))
    found = ((key, assembly.get(field), slack) for key, field, slack in sizes)
    return {key: around(size, slack) for key, size, slack in found if size is not None}


@needs
def hat(assembly: Assembly) -> Iterator[Demand]:
    """A two-piece rotor sits on its own hat."""
    if assembly.get("rotor_build") == "one-piece":
        return
    circles = assembly.get("hat_bolt_circle") or ()
    said = "hat" + (f", {' or '.join(circle.name for circle in circles)}" if circles else "")
    yield state(
        assembly,
        "hat",
        1,
        "rotor_build",
        said=said,
        reason="carries the friction ring of a two-piece rotor",
        used_at="hub",
    )


@needs
def hat_screws(assembly: Assembly) -> Iterator[Demand]:
    """Screws of hat and friction ring with what locks them: nuts, wire through drilled heads, or threadlocker."""
    if assembly.get("rotor_build") != "two-piece":
        return
    count = assembly.get("hat_screw_count")
    if count is None:
        yield from only_ask(
            assembly, "hat screw", "hat_screw_count", used_at=PLACE, reason="hold the hat to the friction ring"
        )
        return
    keys = screw_keys("hat")
    spec = screw_spec(assembly, "hat")
    yield state(
        assembly, "hat screw", count, *keys, spec=spec, reason="hold the hat to the friction ring", used_at=PLACE
    )
    yield from _locked(assembly, int(count))


def _locked(assembly: Assembly, count: int) -> Iterator[Demand]:
    drilled, nut = assembly.get("hat_screw_drilled"), assembly.get("hat_nut_height")
    condition = assembly.get("hat_screw_condition")
    glued = condition == "threadlocker" or (condition is None and nut == 0)
    if nut or (nut is None and drilled != "yes" and not glued):
        blank = () if nut else ("hat_nut_height",)
        spec = {"thread": thread_name(assembly, "hat")}
        yield state(
            assembly, "hat nut", count, *blank, spec=spec, one_time=True, said="lock nut", used_at=PLACE,
            reason="lock the hat's screws; a lock nut holds once",
        )  # fmt: skip
    if drilled == "yes":
        length = round(ceil(count / 2) * WIRE_PER_PAIR * WIRE_SPARE, 3)
        reason = "locks the drilled heads in pairs; new each time"
        yield Demand("safety wire", length, unit="m", one_time=True, said="safety wire", reason=reason, used_at=PLACE)
    if drilled == "yes" or glued:
        yield threadlocker(count, PLACE)


def threadlocker(screws: int, place: str) -> Demand:
    """Threadlocker for so many screws; the same kind everywhere, so that it becomes one line."""
    said = "threadlocker of the strength that the kit's sheet names"
    reason = "secures screws; clean and dry threads"
    return Demand(
        "threadlocker",
        round(screws * LOCKER_PER_SCREW, 3),
        unit="mL",
        one_time=True,
        said=said,
        reason=reason,
        used_at=place,
    )


@needs
def hub_face(assembly: Assembly) -> Iterator[Demand]:
    """A thin film between hub and hat, so that the rotor comes off again."""
    yield Demand(
        "anti-seize", ANTI_SEIZE, unit="g", one_time=True, said="anti-seize, a thin film on the hub face, never on the studs",
        reason="keeps the hat from rusting to the hub", used_at="hub",
    )  # fmt: skip
