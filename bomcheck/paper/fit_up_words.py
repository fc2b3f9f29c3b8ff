"""Checks, bleeding, bedding, test and cautions: the same for every job but for what this one has."""

from collections.abc import Callable, Iterator

from bomcheck.car.checks import BAD, LOOK, word
from bomcheck.car.hydraulics import OF_BOUGHT_PADS
from bomcheck.model.demand import MASTER
from bomcheck.model.finding import in_inches, limit_text, own_first
from bomcheck.model.limits import limit_for
from bomcheck.model.line import ASK, ON_CAR, SURPLUS, Line
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper import wrenches
from bomcheck.supply.needs import IN_CALIPER, IN_HAT, was_drum
from bomcheck.tables import rows

SPINDLE_NUT, CASTELLATED = "spindle nut", ("castle", "castellated", "slotted")


def held_by(report: Report) -> str:
    """What holds the wheel."""
    return "bolts" if report.cured.get("hub_fixing") == "bolt" else "nuts"


def torque_notes(report: Report) -> Iterator[str]:
    """How a torque is kept where the wrench or the nut does not allow it plainly; nuts only where this job has them."""
    lever, foot = ("16 in", "1.5 in") if in_inches() else ("400 mm", "40 mm")
    share = wrenches.crow_foot_setting(100.0, float(lever.split()[0]), float(foot.split()[0]))
    yield (
        "A wrench scatters by a quarter besides. Through a crow-foot in line with it set torque × L ÷ (L + a): L grip to drive, a drive "
        f"to screw. With L {lever} and a {foot} set {share:.0f} % of the torque; square to the wrench set it unchanged."
    )
    used = [line for line in report.parts if line.needed > 0]
    if any(_is_castellated(line) for line in used):
        yield (
            "Castellated nut of a clamped joint: tighten to the low side of its torque, then on to the next slot, "
            f"at most {wrenches.castellated_reach():.0f} degrees; never back. New pin."
        )
    if any(line.role == SPINDLE_NUT and (line.needed > 0 or line.status == ASK) for line in report.parts):
        yield (
            "Spindle nut of a wheel bearing: by the car maker's manual, to its end play or its torque. An adjustable bearing's nut "
            "is turned back to the end play. New pin or new staking."
        )


def _is_castellated(line: Line) -> bool:
    """Whether it is a slotted nut that clamps something; the spindle nut sets a bearing."""
    said = f"{line.description} {line.spec}".lower()
    return line.role.endswith(" nut") and line.role != SPINDLE_NUT and any(word in said for word in CASTELLATED)


def steers(report: Report) -> bool:
    """Whether the wheels of this axle are steered."""
    return bool(report.cured.get("axle") != "rear")


def parks(report: Report) -> bool:
    """Whether this axle has a parking brake."""
    return bool(report.cured.get("axle") == "rear" and report.cured.get("park_brake") not in (None, "none"))


def needed(report: Report, *roles: str) -> list[Line]:
    """Lines of these roles that go into the car."""
    return [line for line in report.parts if line.role in roles and line.needed > 0 and line.status != SURPLUS]


def new_master(report: Report) -> bool:
    """Whether a new master cylinder goes in."""
    return bool(needed(report, MASTER))


def shoes_in_hat(report: Report) -> bool:
    """Whether the parking brake's shoes work inside the new hat."""
    return bool(report.cured.get("kit_park_brake", report.cured.get("park_brake")) == IN_HAT)


def _wired(report: Report) -> str:
    """The heads of the hat's screws that are wired together."""
    count = report.cured.get("hat_screw_count")
    drilled = report.cured.get("hat_screw_drilled") == "yes" and count
    return ", ".join("-".join(map(str, group)) for group in wrenches.wire_pairs(int(count))) if drilled else ""


CONDITIONS: dict[str, Callable[[Report], object]] = {
    "right corner": lambda report: report.job.side == "right",
    "was drum": lambda report: was_drum(report.job) == "yes",
    "shoes given up": lambda report: parks(report) and report.job.get("park_brake") == IN_HAT and not shoes_in_hat(report),
    "new plates": lambda report: any(line.status != ON_CAR for line in needed(report, "backing plate")),
    "lever in caliper": lambda report: report.cured.get("kit_park_brake") == IN_CALIPER and report.cured.get("park_lever") != "electric",
    "threadlocker": lambda report: needed(report, "threadlocker"), "wired": _wired,
    "no weights": lambda report: report.cured.get("wheel_weight_thickness") == 0.0,
    "new master": new_master, "parks": parks, "steers": steers, "shoes in hat": shoes_in_hat,
}  # fmt: skip
FILLED: dict[str, Callable[[Report], str]] = {
    "machining": lambda report: "\n".join(
        f"Before anything is fitted: {one.do}." for one in report.findings if one.verdict is Verdict.NEEDS_MACHINING and one.do
    ),
    "bleed screw": lambda report: "\n".join(f"{one.do}." for one in report.findings if one.check == "bleed_screw_up" and one.do),
    "pedal parts": lambda report: "\n".join(f"{one.do}." for one in report.system if one.demands and one.do),
    "line on": lambda report: "Old hose off, new one on without twist" if needed(report, "hose") else "Line on without twist",
    "washers": lambda report: ", new sealing washers" if needed(report, "sealing washer") else "",
    "runout": lambda report: limit_text(limit_for("hub_runout", report.job)), "held by": held_by, "wired": _wired,
    "span": lambda _: _wire(wrenches.WIDEST_SPAN), "wire": lambda _: _wire(wrenches.LONGEST_IN_GROUP),
    "settled": lambda _: own_first("50 to 100 km", "30 to 60 miles"), "warm": lambda _: own_first("20 °C", "68 °F"),
    "slow": lambda _: own_first("10 km/h", "6 mph"), "faster": lambda _: own_first("20 km/h", "12 mph"),
    "fastest": lambda _: own_first("40 km/h", "25 mph"),
}  # fmt: skip


def _wire(length: float) -> str:
    return own_first(f"{length / 10:.0f} cm", f"{length / wrenches.INCH:.0f} in")


class _Filled(dict[str, str]):
    def __init__(self, report: Report) -> None:
        self.report = report

    def __missing__(self, name: str) -> str:
        return FILLED[name](self.report)


def said_of(page: str, report: Report) -> Iterator[str]:
    """The sentences of a step or a list of the sheet, those that this job has."""
    for row in rows("fit_up_work"):
        if row["page"] == page and all(_holds(one, report) for one in row["when"].split("; ") if one):
            yield from filter(None, row["says"].format_map(_Filled(report)).splitlines())


def _holds(condition: str, report: Report) -> bool:
    name = condition.removeprefix("not ")
    field, is_field, value = name.partition("=")
    found = report.cured.get(field) if is_field else None
    holds = ("" if found is None else str(found)) == value if is_field else bool(CONDITIONS[name](report))
    return holds == (name == condition)


def fitted_pads(report: Report) -> Line | None:
    """The pads that go into the car: those of the kit, or the ones bought in their place."""
    return next(iter(needed(report, "pad set")), None)


def kits_own_pads(report: Report) -> bool:
    """Whether they are the ones that are fitted."""
    pads, same = fitted_pads(report), f"compound {report.cured.get('pad_compound') or ''}"
    if pads is not None and pads.own.instead:
        return False
    return pads is None or pads.in_kit >= pads.needed or (not pads.part_number and same in pads.spec)


def other_pads(report: Report) -> bool:
    """Whether others are fitted than those that the brakes as a whole were judged with."""
    friction = report.cured.values.get("pad_friction")
    return not kits_own_pads(report) and not (friction and friction.typed.startswith(OF_BOUGHT_PADS))


def bedding(report: Report) -> Iterator[str]:
    """By the sheet of the pads that are fitted; the kit's temperatures only where the kit's pads are."""
    pads, job, of_kit = fitted_pads(report), report.cured, kits_own_pads(report)
    compound = str(job.get("pad_compound") or "")
    named = f" for {compound}" if compound and of_kit else ""
    if pads is not None and not of_kit:
        words, number = pads.named
        named = f" for {words}{f' [{number}]' if number else ''}"
    yield f"Bed the pads by their maker's sheet{named}: it rules speeds, number of stops and cooling. No sheet, no guess: ask for it."
    low, high = job.get("pad_temperature_low"), job.get("pad_temperature_high")
    if of_kit and low is not None and high is not None:
        both = own_first(f"{low:.0f} to {high:.0f} °C", f"{_fahrenheit(low)} to {_fahrenheit(high)} °F")
        yield f"They are made for {both}; do not stand on the brake while they are hot."


def _fahrenheit(celsius: float) -> str:
    return f"{celsius * 1.8 + 32:.0f}"


def to_mind(report: Report) -> Iterator[str]:
    """What the brakes as a whole are not good at; the kit's pads only where they are fitted."""
    for finding in report.system:
        said = word(finding)
        if said in (BAD, LOOK) and finding.check in ("lock_order", "best_stop_loss", "pedal_travel"):
            yield f"Mind: {finding.title[:1].lower()}{finding.title[1:]}: {said}, see the sheet Whole car."
        if said in (BAD, LOOK) and finding.check == "pad_window" and kits_own_pads(report):
            yield f"Mind: {finding.do[:1].lower()}{finding.do[1:].rstrip('.')}."
