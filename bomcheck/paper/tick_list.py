"""What must lie on the bench before the car is taken apart: how many, which side, and what to look at. Pure data."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from bomcheck.model.line import IN_KIT, NO_SOURCE, ON_SHELF, SURPLUS, TO_ORDER, Line, amount
from bomcheck.model.records import dataclass, replace
from bomcheck.tables import rows

LOOKS = {row["role"]: row["look"] for row in rows("tick_looks")}
BENCH_PREFIX = "bench "  # of the names of all rows in which the bench writes
PLAIN = "Part number and count, no damage"
# What is looked at besides: at a part for one side only, and at one for either side.
HANDED = {
    "rotor": "vanes lean back at the top on the {side}",
    "bracket": "label and drilled side for the {side}",
    "caliper": "bleed screw will point up on the {side}",
}
EITHER = {"caliper": "a bleed screw will point up on either side"}
# What a rotor is looked at for besides, by how it is built.
BUILDS = {"one-piece": "no knocks on the hub face", "two-piece": "screw holes and their seats clean"}


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing to lay out. quantity: in the line's unit, whole packs of what is bought. look: what to look at."""

    line: Line
    quantity: float
    look: str


def look_at(line: Line, rotor_build: str | None = None) -> str:
    """What to look at when the part is in the hand. rotor_build: as the kit states it; a friction ring has no hub face."""
    by_side = HANDED if line.side in ("left", "right") else EITHER
    texts = [LOOKS.get(line.role, PLAIN), by_side.get(line.role, "").format(side=line.side)]
    if line.role == "rotor":
        texts.append(BUILDS.get(rotor_build or "", ""))
    return ", ".join(text for text in texts if text)


def tick_groups(lines: Iterable[Line], rotor_build: str | None = None) -> list[tuple[str, list[Tick]]]:
    """The parts by where they come from; a group that is empty is left out."""
    found: dict[str, list[Tick]] = {}
    for line in lines:
        for group, quantity in _places(line):
            found.setdefault(group, []).append(Tick(line, quantity, look_at(line, rotor_build)))
    return sorted(found.items(), key=lambda item: _order(item[0]))


KIT, SHELF, OPEN, LEFT_OVER = ("In the kit's box", "From the shelf", "To be found: no source known", ", left over")
FROM = "From "


def _places(line: Line) -> Iterator[tuple[str, float]]:
    """(group, quantity) of each place that the line is taken from."""
    if line.in_kit:
        box = KIT.replace("kit's", f"{line.axle} kit's") if line.axle else KIT
        yield (f"{box}{LEFT_OVER}" if line.status == SURPLUS else box), line.in_kit
    if line.status == TO_ORDER and line.to_order:
        yield f"{FROM}{line.supplier or 'the supplier'}", line.ordered
    if line.status == NO_SOURCE and line.to_order:
        yield OPEN, line.to_order
    if line.on_shelf or line.at_hand:
        yield SHELF, round(line.on_shelf + line.at_hand, 6)


def tick_name(group: str, line: Line) -> str:
    """Name of the row of a line in a group, the same whoever sells it."""
    return f"tick {'box' if from_a_box(group) else 'shelf' if group == SHELF else 'bought'}, {line.key}"


def wrote(line: Line, written: Mapping[str, Mapping[str, object]]) -> dict[str, dict[str, object]]:
    """What the bench wrote in the rows of a line, by group; what stands in a row that is no longer there goes along with another."""
    rows = {group: BENCH_PREFIX + tick_name(group, line) for group, _ in _places(line)}
    found = {group: dict(written.get(name, {})) for group, name in rows.items()}
    for name, typed in written.items():
        if name.startswith(f"{BENCH_PREFIX}tick ") and name.endswith(f", {line.key}") and name not in rows.values():
            box = name.startswith((f"{BENCH_PREFIX}tick box, ", f"{BENCH_PREFIX}tick In the "))
            into = next((stands for group, stands in found.items() if from_a_box(group) == box), {})
            for key, value in typed.items():
                both = (amount(into, key), amount(typed, key))
                sums = both[0] + both[1] if both[0] is not None and both[1] is not None else f"{into.get(key)}, {value}"
                into[key] = sums if key in into else value
    return found


def planned(line: Line) -> float:
    """What of a bought line is to be used [unit]."""
    return line.to_order if line.at_most is None else min(line.to_order, line.ordered)


def as_used(lines: Sequence[Line], written: Mapping[str, Mapping[str, object]]) -> dict[str, Line]:
    """The lines as they were fitted, by key: as much as was used by what the bench wrote in their rows; where nothing stands, as planned.
    More than the first of several lines that share packs was to take is shared out among those where nothing stands."""
    found, bought, typed = dict[str, float](), dict[str, float](), dict[str, float | None]()
    for line in lines:
        found[line.key], stands = line.on_car, wrote(line, written)
        for group, quantity in _places(line):
            used = amount(stands[group], "used")
            if group == OPEN or (group.startswith(FROM) and group != SHELF):
                bought[line.key] = planned(line)
                typed[line.key] = used
            else:
                found[line.key] += quantity if used is None else used
    plan = dict(bought)
    bought |= {key: used for key, used in typed.items() if used is not None}
    for one in lines:
        more = bought.get(one.out_of, 0.0) - plan.get(one.out_of, 0.0)
        if typed.get(one.out_of) is not None and typed.get(one.key, 0.0) is None and more > 0:
            bought[one.key] = min(plan[one.key], more)
            bought[one.out_of] -= bought[one.key]
    known = [line for line in lines if line.status in (TO_ORDER, NO_SOURCE, ON_SHELF, IN_KIT)]
    counted = {line.key: round(found[line.key] + bought.get(line.key, 0.0), 6) for line in known}
    return {line.key: replace(line, needed=counted[line.key], in_kit=0.0, status=IN_KIT) for line in known}


def from_a_box(group: str) -> bool:
    """Whether a group is what came in a kit's box, left over or not."""
    return group.startswith("In the ")


def _order(group: str) -> tuple[int, str]:
    if from_a_box(group):
        return 4 if group.endswith(LEFT_OVER) else 0, group
    return {SHELF: 2, OPEN: 3}.get(group, 1), group
