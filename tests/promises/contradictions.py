"""One random job: what the product says, held against true corners judged by brute force."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import combinations_with_replacement
from math import inf
from random import Random

import tests.promises.brute_grip
import tests.promises.brute_screws
import tests.promises.brute_wheel  # noqa: F401  they write their rules down
from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.verdict import Verdict
from tests.promises.brute_force import RULINGS, True_sizes, caliper_plane, mount_radius, rotor_plane
from tests.promises.random_corners import random_job
from tests.promises.true_sizes import Truths, standing

HAIR = 1e-6  # mm: rounding of sums, far below any instrument
LEADS = {"axial": "caliper_centred", "radial": "pad_flush"}
TRADE_SIZES = (0.25, 0.5, 1.0)
FAILS = (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING, Verdict.FITS_WITH_PARTS)


@dataclass
class Tally:
    """samples: true corners put to all rules. wrong: contradictions in words. verdicts: counts by check."""

    samples: int = 0
    judged: int = 0
    wrong: list[str] = field(default_factory=list)
    verdicts: Counter[str] = field(default_factory=Counter)
    unknown: Counter[str] = field(default_factory=Counter)
    blunt: list[str] = field(default_factory=list)

    def add(self, other: "Tally") -> None:
        self.samples += other.samples
        self.judged += other.judged
        self.wrong += other.wrong
        self.verdicts += other.verdicts
        self.unknown += other.unknown
        self.blunt += other.blunt


def stacks(job: Job, name: str, bought: bool) -> list[float]:
    """Thicknesses that can be laid at one screw: at most 4 pieces, the kit maker's maximum or 3 mm.

    From the box: pieces of a size shared by two screws of two corners. Bought: any number of the kit's and usual sizes. A
    caliper on an axial lug cannot be raised by shims; of one whose mount is not known that is not known either.
    """
    if name == "radial" and job.get("caliper_mount") == "axial lug":
        return [0.0]
    most = job.get(f"shim_stack_max_{name}", 3.0)
    kit = job.get(f"shim_sizes_{name}") or ()
    if name == "radial" and job.get("caliper_mount") is None and not bought:
        return [0.0]
    pieces = [size for piece in kit for size in [piece.thickness] * min(4, piece.count // 4)]
    if bought:
        pieces = [size for size in {*TRADE_SIZES, *(piece.thickness for piece in kit)} for _ in range(4)]
    sums = {0.0}
    for size in pieces:
        sums |= {round(one + size, 6) for one in sums}
    few = {0.0}
    sizes = sorted(set(pieces))
    counts = Counter(pieces)
    for number in range(1, 5):
        for chosen in combinations_with_replacement(sizes, number):
            if all(chosen.count(size) <= counts[size] for size in sizes):
                few.add(round(sum(chosen), 6))
    return sorted(one for one in few & sums if one <= most + HAIR)


def _axial_off(truth: True_sizes) -> float:
    return caliper_plane(truth, 0.0) - rotor_plane(truth)


def _radial_off(truth: True_sizes) -> float:
    return mount_radius(truth, 0.0) + float(truth["caliper_pad_top"]) - float(truth["rotor_diameter"]) / 2


class Bench:
    """One job on the bench."""

    def __init__(self, seed: int, job: Job | None = None) -> None:
        self.seed = seed
        self.job = job or random_job(seed)
        self.dice = Random(seed)
        self.truths = Truths(self.job)
        now = Round(settle(self.job))
        self.findings, self.cures = now.findings, now.cures
        self.tally = Tally()
        self.laid = {
            (name, bought): stacks(self.job, name, bought) for name in ("axial", "radial") for bought in (False, True)
        }
        self.rules = {name: ruling for name, ruling in RULINGS.items() if name in self.findings}

    def room(self, name: str, truth: True_sizes, stack: float = 0.0) -> float | None:
        """Room to the limit in one true corner; None where a size is not given. Says so when a rule wrongly (not) applies."""
        try:
            found = self.rules[name].rule(truth, stack)
        except KeyError:
            return None
        applies = self.findings[name].verdict is not Verdict.DOES_NOT_APPLY
        if (found is not None) is not applies:
            self._wrong(name, "applies" if found is not None else "does not apply", truth)
        return found

    def _wrong(self, name: str, what: str, truth: True_sizes) -> None:
        found = self.findings[name]
        sizes = {key: truth[key] for key in found.reads if key in truth}
        self.tally.wrong.append(f"job {self.seed}, {name}: said {found.verdict} ({found.said}), but {what} at {sizes}")

    def run(self, count: int) -> Tally:
        for name, found in self.findings.items():
            self.tally.verdicts[f"{name}: {found.verdict}"] += 1
        for _ in range(count):
            self.whole(self.truths.random(self.dice))
        for stack, measure in (("axial", _axial_off), ("radial", _radial_off)):
            self.sweep(stack, measure, count // 2)
        for name, ruling in self.rules.items():
            if not ruling.stack and self.findings[name].value is not None:
                self.edges(name)
        return self.tally

    def whole(self, truth: True_sizes) -> None:
        """All rules on one true corner."""
        self.tally.samples += 1
        for name, ruling in self.rules.items():
            if not ruling.stack:
                self.judge(name, self.room(name, truth), truth)
        for stack in LEADS:
            self.shimmed(stack, truth)

    def judge(self, name: str, room: float | None, truth: True_sizes) -> None:
        """A rule that no shims move."""
        if room is None:
            return
        self.tally.judged += 1
        verdict = self.findings[name].verdict
        if verdict is Verdict.FITS and room < -HAIR:
            self._wrong(name, f"short by {-room:.6f}", truth)
        if verdict in FAILS and room > HAIR:
            self._wrong(name, f"{room:.6f} to spare", truth)

    def shimmed(self, stack: str, truth: True_sizes) -> None:
        """The rules that one stack moves, each with the one that the stack is for, and all at once."""
        rooms = Rooms(self, truth)
        ready = [n for n, r in self.rules.items() if r.stack == stack and self.findings[n].value is not None]
        names = [name for name in ready if self.room(name, truth) is not None]
        lead = LEADS[stack]
        for name in names:
            if lead not in names and self.findings[name].verdict is Verdict.FITS:
                if not rooms.whatever(name, self.laid[stack, True]):
                    self._wrong_stack(self.findings[name], {name}, "another stack may have to be laid", truth)
                continue
            alone = lead not in names or self._lead_fails(lead)
            self.served(self.findings[name], stack, {name} if alone else {lead, name}, rooms)
        joint = self.findings.get(f"{stack}_stack_together")
        if joint is not None and ready == names:
            self.served(joint, stack, set(names), rooms)

    def _lead_fails(self, lead: str) -> bool:
        return lead in self.cures or self.findings[lead].verdict in (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)

    def served(self, found: Finding, stack: str, names: set[str], rooms: "Rooms") -> None:
        """Whether a stack from the box, or one that can be bought, serves all of `names`."""
        if found.verdict in (Verdict.NOT_KNOWN, Verdict.DOES_NOT_APPLY):
            return
        self.tally.judged += 1
        box, trade = self.laid[stack, False], self.laid[stack, True]
        by_shims = found.verdict is Verdict.FITS_WITH_PARTS and found.check not in self.cures
        if found.verdict is Verdict.FITS and rooms.best(box, names) < -HAIR and not rooms.whatever(found.check, trade):
            self._wrong_stack(found, names, "no stack from the box serves", rooms.truth)
        elif by_shims and rooms.best(trade, names) < -HAIR:
            self._wrong_stack(found, names, "no stack that can be bought serves", rooms.truth)
        elif found.verdict in FAILS and not by_shims and rooms.best(trade, names) > HAIR:
            self._wrong_stack(found, names, "a stack serves", rooms.truth)

    def _wrong_stack(self, found: Finding, names: set[str], what: str, truth: True_sizes) -> None:
        sizes = {key: truth[key] for key in found.reads if key in truth}
        self.tally.wrong.append(f"job {self.seed}, {found.check}: said {found.verdict}, but {what} {names} at {sizes}")

    def sweep(self, stack: str, measure: Callable[[True_sizes], float], count: int) -> None:
        """True corners from one end to the other of what the shims must make up: some fall between two stacks."""
        try:
            (_, low), (_, high) = self.truths.extremes(measure)
        except KeyError:
            return
        for _ in range(count):
            share = self.dice.random()
            self.tally.samples += 1
            self.shimmed(
                stack, self.truths.at(standing({key: low[key] + share * (high[key] - low[key]) for key in low}))
            )

    def edges(self, name: str) -> None:
        """The worst and the best true corner of one rule; what is not known must have both."""

        def measure(truth: True_sizes) -> float:
            room = self.room(name, truth)
            return -inf if room is None else room

        found = []
        for room, places in self.truths.extremes(measure):
            self.judge(name, None if room == -inf else room, self.truths.at(standing(places)))
            found.append(room)
        if self.findings[name].verdict is Verdict.NOT_KNOWN:
            self.tally.unknown[name] += 1
            if found[0] > -HAIR or found[1] < -HAIR:
                self.tally.blunt.append(
                    f"job {self.seed}, {name}: not known, but room is {found[0]:.4f} to {found[1]:.4f}"
                )


class Rooms:
    """Rooms of the moved rules in one true corner for each stack, each found once."""

    def __init__(self, bench: Bench, truth: True_sizes) -> None:
        self.bench, self.truth = bench, truth
        self.known: dict[tuple[str, float], float] = {}

    def at(self, name: str, thickness: float) -> float:
        if (name, thickness) not in self.known:
            room = self.bench.room(name, self.truth, thickness)
            self.known[name, thickness] = -inf if room is None else room
        return self.known[name, thickness]

    def best(self, laid: list[float], names: set[str]) -> float:
        return max(min(self.at(name, thickness) for name in names) for thickness in laid)

    def whatever(self, name: str, laid: list[float]) -> bool:
        """Met whichever stack is chosen."""
        return name in self.bench.rules and min(self.at(name, thickness) for thickness in laid) > -HAIR
