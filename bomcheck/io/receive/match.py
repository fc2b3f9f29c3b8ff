"""A packing slip set against what must come, of one job or of several, and what is kept of it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field

from bomcheck.io.cells import Cell
from bomcheck.io.package import texts_below
from bomcheck.io.receive.said import denied, denied_by_words, other_figures
from bomcheck.io.receive.slip import Slip, SlipLine
from bomcheck.model.records import dataclass, replace
from bomcheck.paper.awaited import BOX, PIECES, Expected, number_of

CAME, WRONG, SURPLUS, UNKNOWN, OTHER_JOB = "came", "wrong", "surplus", "unknown", "other job"
OTHER = {"left": "right", "right": "left"}
TINY = 1e-6


@dataclass
class Result:
    """quantity: in the unit of the expected line, of the slip where there is none. taken: in the slip's unit. why: in words,
    "" for what simply came. job: which of several jobs keeps it."""

    line: SlipLine
    word: str
    quantity: float
    thing: Expected | None = None
    why: str = ""
    taken: float = 0.0
    job: int = 0


@dataclass(frozen=True)
class Wanted:
    """What a slip is set against. jobs: number of each job, "" for none. kits: the places of the lines of its box by the kit's
    own number, for each job. instead: numbers that came -> numbers that were ordered, as the shop said."""

    things: Sequence[Expected]
    jobs: Sequence[str] = ("",)
    kits: Sequence[Mapping[str, frozenset[str]]] = ({},)
    instead: Mapping[str, str] = field(default_factory=dict)


@dataclass
class Received:
    """results: of every line of the slip. added: what came, by job and line of the parts list [its unit]. asked: what must
    be said before anything is booked."""

    results: list[Result] = field(default_factory=list)
    added: dict[tuple[int, str], float] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)

    def add(self, line: SlipLine, thing: Expected, quantity: float, each: float = 1.0, why: str = "") -> None:
        """It came. each: how many of the line's unit one of the slip's is."""
        thing.came = round(thing.came + quantity, 6)
        key = (thing.job, thing.line.key)
        self.added[key] = round(self.added.get(key, 0.0) + quantity, 6)
        self.results.append(Result(line, CAME, quantity, thing, why, round(quantity / each, 6), thing.job))


def receive(slip: Slip, wanted: Wanted, done: Received | None = None) -> Received:
    """Book a slip on what is expected; `came` of the things grows. Where something is asked, nothing may be kept of it. done: to
    be filled, where `explain_surplus` is asked once for several slips."""
    every, done = done is None, done if done is not None else Received()
    for line in slip.lines:
        if line.unsure:
            done.asked.append(f'{line.name} ({line.row}): {line.unsure}. Say it with --say "{_key(line)}=2"')
        elif line.quantity > 0 and not _book_pair(line, wanted, done):
            _book(line, wanted, done)
    if every:
        explain_surplus(wanted.things, done.results)
    return done


_PAIR = re.compile(r"(.*?)(L|LH|left)\s*[/+&]\s*(R|RH|right)", re.IGNORECASE)


def _book_pair(line: SlipLine, wanted: Wanted, done: Received) -> bool:
    """Whether the number is that of a left and a right part, "R280-L/R": half of what came is each."""
    found, expected = _PAIR.fullmatch(line.part_number.strip()), {number_of(one.part_number) for one in wanted.things}
    sides = {"left": found[1] + found[2], "right": found[1] + found[3]} if found else {}
    if not sides or number_of(line.part_number) in expected or not {*map(number_of, sides.values())} <= expected:
        return False
    each = line.quantity if line.unit.casefold().rstrip("s") in ("pair", "set") else line.quantity / 2
    if each != int(each):
        count = f"how many of the {line.quantity:g} are left, how many right"
        done.asked.append(f"{line.name} ({line.row}): {count}? Give each a line of its own on the slip")
        return True
    for side, number in sides.items():
        _book(replace(line, part_number=number, side=side, quantity=each, unit=""), wanted, done)
    return True


def _key(line: SlipLine) -> str:
    return line.part_number or line.row


def _book(line: SlipLine, wanted: Wanted, done: Received) -> None:
    mine = _its_jobs(line, wanted.jobs)
    if not mine:
        why = f"the slip says it is for {f'job {line.job}' if line.job else line.reference}"
        done.results.append(Result(line, OTHER_JOB, line.quantity, None, why))
        return
    things = [one for one in wanted.things if one.job in mine]
    found, by_number = _candidates(line, things, wanted.instead)
    if not found and number_of(line.part_number) in {number for at in mine for number in wanted.kits[at] if number}:
        _book_kit(line, wanted, mine, done)
        return
    if not found:
        done.results.append(Result(line, UNKNOWN, line.quantity, None, "neither ordered nor in the kit's box"))
        return
    against = _against(line, found, by_number)
    if against:
        done.results.append(Result(line, WRONG, line.quantity, found[0], against, line.quantity, found[0].job))
        _ask_instead(line, found, done)
        return
    other = "" if not by_number or number_of(line.part_number) in wanted.instead else other_figures(line.said, found)
    if other:
        done.asked.append(
            f"{line.name} ({line.row}): the slip says {other}, expected is {found[0].name}. If it is the right one, say it with "
            f"--instead {line.part_number}={line.part_number}; if not, --refuse {line.part_number}"
        )
        return
    _fill(line, [one for one in found if one.line.side != OTHER[line.side]] if line.side else found, done)


def _its_jobs(line: SlipLine, jobs: Sequence[str]) -> list[int]:
    """The jobs that it may be for. A reference above the headings may be the supplier's own: only one made up as a job's number counts."""
    if line.job:
        return [at for at, job in enumerate(jobs) if number_of(line.job) == number_of(job)]
    said = {number_of(word) for word in re.split(r"[\s,;]+", line.reference) if word}
    named = [at for at, job in enumerate(jobs) if job and number_of(job) in said]
    made_up = {
        re.sub(r"\d", "0", number_of(job)) for job in jobs if re.search(r"[^\W\d]", job) and re.search(r"\d", job)
    }
    other = not named and any(re.sub(r"\d", "0", word) in made_up for word in said)
    return named if named or other else list(range(len(jobs)))


def _candidates(line: SlipLine, things: Sequence[Expected], instead: Mapping[str, str]) -> tuple[list[Expected], bool]:
    """(what the line may be, whether its number says so); by its words only where the number is not known."""
    number = number_of(line.part_number)
    number = number_of(instead.get(number, "")) or number
    found = [one for one in things if number and number == number_of(one.part_number)]
    if found:
        return found, True
    words = _words(line.description)
    alike = [one for one in things if words and words == _words(one.line.description)]
    sided = [one for one in alike if not line.side or one.line.side in (line.side, "either")]
    exact = [one for one in sided or alike if one.part is not None and not list(denied(line.said, one.part))]
    return exact or sided or alike or _replaced(line, things), False


_REPLACES = re.compile(
    r"\b(?:replaces|supersedes|in place of|instead of|substitute for|alternative (?:to|for))\s+(\S+)", re.IGNORECASE
)


def _replaced(line: SlipLine, things: Sequence[Expected]) -> list[Expected]:
    """What the supplier says that this one stands in for."""
    found = _REPLACES.search(line.description)
    number = number_of(found[1].rstrip(".,;)")) if found else ""
    return [one for one in things if number and number == number_of(one.part_number)]


def _ask_instead(line: SlipLine, found: Sequence[Expected], done: Received) -> None:
    """A supplier's substitute is taken only when the shop says so."""
    if _REPLACES.search(line.description) and line.part_number:
        pair = f"{found[0].part_number}={line.part_number}"
        done.asked.append(
            f"{line.name} ({line.row}): is it taken for {found[0].name}? If so, say it with --instead {pair}; if not, --refuse {line.part_number}"
        )


def _words(text: str) -> frozenset[str]:
    """The words of a description without figures and sides."""
    words = re.findall(r"[^\W\d_]{2,}", text.casefold())
    return frozenset(
        word for word in words if word not in ("left", "right", "lh", "rh", "mm", "for", "the", "of", "with")
    )


def _against(line: SlipLine, found: Sequence[Expected], by_number: bool) -> str:
    """What speaks against it, "" if nothing."""
    named = next((one for one in found if one.part is not None), None)
    wrong = list(denied(line.said, named.part)) if named is not None and named.part is not None else []
    if wrong:
        return ", ".join(wrong)
    if line.side and all(one.line.side == OTHER[line.side] for one in found):
        return f"the slip says {line.side}, the {found[0].line.side} one is expected under this number"
    if named is not None and (wrong := denied_by_words(line.said, named)):
        return ", ".join(wrong)
    if not by_number and line.part_number and found[0].part_number:
        pair = f"--instead {found[0].part_number}={line.part_number}"
        return f"its number is not the expected {found[0].part_number}; if it is taken in its place, run it again with {pair}"
    return ""


def _fill(line: SlipLine, found: Sequence[Expected], done: Received) -> None:
    left, each = line.quantity, 1.0
    for one in [thing for thing in found if thing.missing > TINY]:
        if left <= TINY:
            break
        size = one.unit_of(line.unit, line.quantity, found)
        if size is None:
            _ask_unit(line, one, done)
            return
        each, taken = size, min(round(left * size, 6), one.missing)
        if taken > TINY:
            done.add(line, one, taken, each, _in_place(line, one))
            left = round(left - taken / each, 6)
    if left > TINY:
        last = found[-1]
        quantity = round(left * (last.unit_of(line.unit, line.quantity, found) or each), 6)
        done.results.append(Result(line, SURPLUS, quantity, last, "more than was expected", left, last.job))


def _ask_unit(line: SlipLine, one: Expected, done: Received) -> None:
    """Singly or in packs; of what is measured its amount or packs."""
    if one.line.unit in ("set", "pair"):
        said = f"--say {_key(line)}=1 {one.line.unit}"
        done.asked.append(
            f'{line.name} ({line.row}): {line.quantity:g} pieces, in how many {one.line.unit}s? Say it with "{said}"'
        )
        return
    left, unit, size = line.quantity, "" if one.line.unit in PIECES else f" {one.line.unit}", one.size_of(line.unit)
    ones, packs = ("single one", "pack") if left == 1 else ("single ones", "packs")
    other = f"{left:g} {packs}" if size == one.pack_size else f"{left * size:g}{unit or ' pcs'}"
    both = f'--say "{_key(line)}={left:g}{unit or " pcs"}" or --say "{_key(line)}={other}"'
    asked = f"{left:g}{unit or f' {ones}'} or {left:g} {packs} of {size:g}{unit}? Say it with {both}"
    done.asked.append(f"{line.name} ({line.row}): {asked}")


def _in_place(line: SlipLine, one: Expected) -> str:
    other = line.part_number and one.part_number and number_of(line.part_number) != number_of(one.part_number)
    return f"{INSTEAD}{one.part_number}" if other else ""


def _book_kit(line: SlipLine, wanted: Wanted, mine: Sequence[int], done: Received) -> None:
    """The kit's own number stands for its box: a kit ticks off the whole of one."""
    left = line.quantity
    for at in mine:
        places = wanted.kits[at].get(number_of(line.part_number), frozenset())
        open_ones = (one for one in wanted.things if one.job == at and one.source == BOX and one.missing > TINY)
        box = [one for one in open_ones if one.part is not None and str(one.part.place) in places]
        if not box or left < 1 - TINY:
            continue
        for number, one in enumerate(box):
            done.add(line, one, one.missing, why=OF_KIT)
            done.results[-1].taken = 0.0 if number else 1.0
        left = round(left - 1, 6)
    if left > TINY:
        done.results.append(Result(line, SURPLUS, left, None, "the kit's box is here already", left, mine[0]))


def explain_surplus(things: Sequence[Expected], results: Sequence[Result]) -> None:
    """Too many of one side while the other is missing: two left rotors."""
    for result in results:
        thing = result.thing
        if result.word != SURPLUS or thing is None or thing.line.side not in OTHER:
            continue
        if any(_is_twin(one, thing) for one in things):
            side, number = thing.line.side, thing.came + result.quantity
            count = {2.0: "two", 3.0: "three", 4.0: "four"}.get(number, f"{number:g}")
            result.word, result.why = WRONG, f"{count} {side} ones came, and the {OTHER[side]} one is missing"


def _is_twin(one: Expected, thing: Expected) -> bool:
    same = one.job == thing.job and one.line.role == thing.line.role
    return same and one.missing > TINY and one.line.side == OTHER[thing.line.side]


INSTEAD, OF_KIT = "in place of ", "in the kit's box"


@dataclass(frozen=True, slots=True)
class Receipt:
    """One result of one line of a slip; day: ISO, "" if not known; quantity with its unit, in words. mark: of the slip, which
    line, what of that row is taken [its unit], its delivery note and the line of the Parts list, with "|" between them; older ones
    have the first alone."""

    slip: str
    day: str
    part_number: str
    description: str
    quantity: str
    side: str
    result: str
    why: str
    mark: str

    @property
    def of_slip(self) -> str:
        """Mark of the slip."""
        return self.mark.split("|")[0]

    @property
    def at(self) -> str:
        """Which line of the slip, "" in older ones."""
        return ([*self.mark.split("|"), ""])[1]

    @property
    def taken(self) -> float:
        """In the slip's unit."""
        return float(([*self.mark.split("|"), "", "0"])[2] or 0)

    @property
    def note(self) -> str:
        """Number of the delivery note."""
        return ([*self.mark.split("|"), "", "", ""])[3]

    @property
    def key(self) -> str:
        """The line of the Parts list."""
        return "|".join(self.mark.split("|")[4:])


def of_nothing(receipts: Sequence[Receipt]) -> set[str]:
    """Marks of slips of which no line was known: nothing of them is booked."""
    return {one.of_slip for one in receipts} - {one.of_slip for one in receipts if one.result != UNKNOWN}


def receipts_of(slip: Slip, done: Received, day: str, job: int = 0) -> list[Receipt]:
    """The receipts that one job keeps of a slip that was just booked."""
    return [_receipt(slip, one, day) for one in done.results if one.job == job]


def _receipt(slip: Slip, one: Result, day: str) -> Receipt:
    unit = one.thing.line.unit if one.thing is not None and one.word != UNKNOWN else one.line.unit
    count = f"{one.quantity:g}" + ("" if unit in ("each", "") else f" {unit}")
    number, words = one.line.part_number, one.line.description
    if one.why == OF_KIT and one.thing is not None:
        words = f"{words or 'kit'}: {one.thing.name}"
    key = one.thing.line.key if one.thing is not None else ""
    mark = "|".join((slip.mark, str(one.line.at), f"{one.taken:g}", slip.note.replace("|", " "), key))
    name = f"{slip.name}, delivery note {slip.note}" if slip.note else slip.name
    return Receipt(name, day, number, words, count, one.line.side, one.word, one.why, mark)


def substitutes(receipts: Sequence[Receipt]) -> dict[str, str]:
    """Number that came -> number that was ordered, as earlier slips were booked."""
    kept = [one for one in receipts if one.result == CAME and one.why.startswith(INSTEAD)]
    return {number_of(one.part_number): one.why.removeprefix(INSTEAD) for one in kept}


def taken_instead(receipts: Sequence[Receipt]) -> dict[str, tuple[tuple[str, str, float], ...]]:
    """(part number, description, how many) of what was taken in the place of what was ordered, by line of the Parts list."""
    found: dict[str, dict[tuple[str, str], float]] = {}
    for one in receipts:
        if one.key and one.result == CAME and one.why.startswith(INSTEAD):
            named, mine = (one.part_number, one.description), found.setdefault(one.key, {})
            mine[named] = round(mine.get(named, 0.0) + float(one.quantity.split()[0]), 6)
    return {key: tuple((*named, count) for named, count in mine.items()) for key, mine in found.items()}


SLIPS = (
    "Slip", "Booked on", "Number on the slip", "Words on the slip", "Quantity", "Side there", "Result", "Why",
    "Mark",
)  # fmt: skip
"""Headings under which the receipts stand on the sheet Receiving."""


def read_receipts(cells: Mapping[str, Cell]) -> list[Receipt]:
    """The receipts that stand on the sheet."""
    return [one for one in (Receipt(*texts) for texts in texts_below(cells, SLIPS)) if one.mark]


def without_taken(slip: Slip, receipts: Sequence[Receipt]) -> Iterator[SlipLine]:
    """The slip's lines without what was booked of them before, in whichever job."""
    taken: dict[str, float] = {}
    for one in receipts:
        if one.of_slip == slip.mark:
            taken[one.at] = taken.get(one.at, 0.0) + one.taken
    for line in slip.lines:
        yield replace(line, quantity=max(0.0, round(line.quantity - taken.get(str(line.at), 0.0), 6)))
