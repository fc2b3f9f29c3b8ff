"""`bomcheck receive`: one slip into one job, or shared out over all open jobs of a folder."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.disk import only_writer, real_path
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import require_sound
from bomcheck.io.read.tabs import is_job
from bomcheck.io.receive import match
from bomcheck.io.receive.slip import Slip, read_slips
from bomcheck.io.refusal import refuse
from bomcheck.io.sheets.build import receipts_from, write_result
from bomcheck.io.sheets.words import quantity
from bomcheck.io.splice import require_in_place
from bomcheck.model.errors import WorkbookError
from bomcheck.model.job import Job
from bomcheck.model.line import amount
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.paper.awaited import Expected, delivery, expected, missing_words, number_of
from bomcheck.paper.order_rows import as_date, owner_texts

BLOCKS = (
    (match.CAME, "Came"), (match.WRONG, "Wrong, not ticked off"), (match.SURPLUS, "More than expected"),
    (match.OTHER_JOB, "For another job, not booked"), (match.UNKNOWN, "Unknown"),
)  # fmt: skip
DONE, SHORT, ASKED = 0, 1, 3
REFUSED = "refused, to go back"


@dataclass(frozen=True)
class Done:
    """status: 0 all there, 1 something is short or wrong, 3 something must be said first and nothing was booked. text: for
    standard output. remarks: for standard error."""

    status: int
    text: str
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class Answers:
    """What the shop says. counts: how many came, by part number. instead: number that came -> number that was ordered.
    refused: numbers that are not taken. another: the slip is a further one, however alike."""

    counts: Mapping[str, str] = field(default_factory=dict)
    instead: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[str, ...] = ()
    another: bool = False


@dataclass
class Opened:
    """One job that parts are received into."""

    path: Path
    package: Package
    report: Report
    receipts: list[match.Receipt]

    @property
    def number(self) -> str:
        """The job's number."""
        return str(self.report.job.get("job_number") or "")

    @property
    def name(self) -> str:
        """ "J-7, front"."""
        return ", ".join(filter(None, (self.number, str(self.report.job.get("axle") or "")))) or self.path.name


def receive_slip(job_path: Path, slip_path: Path, today: date, said: Answers | None = None) -> Done:
    """Tick off in one job what came. Raises WorkbookError; nothing is then written."""
    beside = [path for path in workbooks(job_path.parent) if real_path(path) != real_path(job_path)]
    with only_writer(job_path):
        jobs = [_opened(job_path, today)]
        return _receive(jobs, slip_path, today, said or Answers(), _booked_in(beside), alone=True)


def receive_into_folder(folder: Path, slip_path: Path, today: date, said: Answers | None = None) -> Done:
    """Share a slip out over all jobs of a folder, who needs it first before who needs it later."""
    paths, remarks = _jobs_in(folder, slip_path)
    if not paths:
        raise refuse("file", folder.name, "no job workbook is in this folder", "Give the folder of the jobs")
    with only_writer(*paths):
        done = _receive(_in_order(paths, today), slip_path, today, said or Answers(), [], alone=False)
    return replace(done, remarks=(*remarks, *done.remarks))


def workbooks(folder: Path) -> list[Path]:
    """Workbooks of a folder, without the copies that are kept of them and what programs put beside them."""
    found = [path for path in sorted(folder.glob("*.xls[xm]")) if not path.name.startswith(("~$", "."))]
    return [path for path in found if ".backup" not in path.stem and not path.stem.endswith(" - checked")]


def _opened(path: Path, today: date) -> Opened:
    """Raises WorkbookError where it cannot be written to."""
    job, package = read_job(path)
    require_sound(job, package)
    require_in_place(package)
    return Opened(path, package, assess(job, today), receipts_from(package))


def _booked_in(beside: Sequence[Path]) -> list[tuple[str, match.Receipt]]:
    """What other jobs of the folder hold of slips."""
    found: list[tuple[str, match.Receipt]] = []
    for path in beside:
        try:
            package = open_package(path)
            found += [(path.name, one) for one in receipts_from(package)] if marked_sheets(package) else []
        except WorkbookError:
            continue
    return found


def _jobs_in(folder: Path, slip: Path) -> tuple[list[Path], list[str]]:
    """(the job workbooks of a folder, remarks on what cannot be read)."""
    jobs: list[Path] = []
    remarks: list[str] = []
    for path in workbooks(folder):
        try:
            if real_path(path) != real_path(slip) and is_job(open_package(path)):
                jobs.append(path)
        except WorkbookError as error:
            remarks.append(str(error))
    return jobs, remarks


def _in_order(paths: Sequence[Path], today: date) -> list[Opened]:
    """By the day on which they are needed. Raises WorkbookError where two workbooks are the same job."""
    jobs, owners = [_opened(path, today) for path in paths], dict[tuple[str, ...], str]()
    for one in jobs:
        owner = tuple(str(text).casefold() for text in owner_texts(one.report.job).values())
        if owner in owners and one.number:
            wrong = f"it is the same job as {owners[owner]}, and what came could be booked twice"
            raise refuse("file", one.path.name, wrong, "Move one of the two out of the folder")
        owners[owner] = one.path.name
    return sorted(
        jobs, key=lambda one: (as_date(one.report.job.get("needed_by")) or date.max, one.number, one.path.name)
    )


@dataclass
class Parcel:
    """The lines of one delivery note. known: jobs that hold something of it. mine: whether the one job does into which it is
    received."""

    slip: Slip
    known: set[str]
    mine: bool
    done: match.Received = field(default_factory=match.Received)


def _receive(
    jobs: list[Opened], slip_path: Path, today: date, said: Answers, others: list[tuple[str, match.Receipt]], *, alone: bool
) -> Done:  # fmt: skip
    slips = read_slips(slip_path, said.counts)
    before = [one.receipts for one in jobs]
    jobs = [_not_refused(one, {slip.mark for slip in slips}, said.instead) for one in jobs]
    changed = before != [one.receipts for one in jobs]
    earlier = [*((one.path.name, receipt) for one in jobs for receipt in one.receipts), *others]
    nothing = match.of_nothing([receipt for _, receipt in earlier])
    earlier = [(file, receipt) for file, receipt in earlier if receipt.of_slip not in nothing]
    again = nothing & {slip.mark for slip in slips}
    jobs = [replace(job, receipts=[one for one in job.receipts if one.of_slip not in again]) for job in jobs]
    asked: list[str] = []
    parcels: list[Parcel] = []
    for slip in slips:
        slip, known, doubt = _standing(slip, earlier, said.another)
        mine = alone and not changed and not known.isdisjoint(one.path.name for one in jobs)
        parcels.append(Parcel(slip, known, mine))
        asked += doubt
    pairs = [(job, came, ordered) for job in jobs for came, ordered in said.instead.items()]
    asked += [text for job, came, ordered in pairs for text in _no_substitute(job, came, ordered, today)]
    things = [thing for at, one in enumerate(jobs) for thing in expected(one.report, at)]
    receipts = [receipt for _, receipt in earlier]
    for one in [] if asked else parcels:
        every = list(match.without_taken(one.slip, receipts))
        lines = [line for line in every if line.part_number not in said.refused]
        back = [line for line in every if line not in lines and not one.mine]
        one.done.results += [
            match.Result(line, match.WRONG, line.quantity, why=REFUSED, job=0 if alone else -1) for line in back
        ]
        if not one.mine:
            match.receive(replace(one.slip, lines=tuple(lines)), _wanted(jobs, things, said), one.done)
        if not said.another and not one.known:
            one.done.asked += _same_parts(one.slip, one.done, receipts)
    match.explain_surplus(things, [result for one in parcels for result in one.done.results])
    asked += [text for one in parcels for text in one.done.asked]
    remarks = tuple(text for one in parcels for text in one.slip.remarks)
    if asked:
        heads = [_head(one.slip, "") for one in parcels]
        return Done(ASKED, "\n".join([*heads, *asked, "", "Nothing was booked."]), remarks)
    return _booked(jobs, parcels, things, receipts, today, remarks, alone=alone)


def _not_refused(job: Opened, marks: Collection[str], instead: Mapping[str, str]) -> Opened:
    """The job without what a slip brought that was not ticked off, and is now taken in the place of what was ordered."""
    numbers = {number_of(came) for came in instead}
    closed = [one for one in job.receipts if one.of_slip not in marks or one.result not in (match.WRONG, match.UNKNOWN)]
    return replace(
        job, receipts=[one for one in job.receipts if one in closed or number_of(one.part_number) not in numbers]
    )


def _booked(
    jobs: list[Opened], parcels: list[Parcel], things: list[Expected], receipts: list[match.Receipt], today: date,
    remarks: tuple[str, ...], *, alone: bool,
) -> Done:  # fmt: skip
    """Writes it into the jobs, and tells."""
    results = [result for one in parcels for result in one.done.results]
    for result in () if alone else results:
        if result.word in (match.UNKNOWN, match.OTHER_JOB):
            result.job = -1  # what no job has asked for is kept by none of several
    taking = [at for at in range(len(jobs)) if any(result.job == at for result in results)]
    written = [_write(jobs[at], at, parcels, today) for at in taking]
    mine = {one.slip.mark for one in parcels if one.mine}
    wrong = any(one.of_slip in mine and one.result == match.WRONG for one in receipts)
    bad = wrong or any(one.missing for one in things) or any(one.word == match.WRONG for one in results)
    tell = list[str]()
    for one in parcels:
        again = one.mine or (one.known and not any(result.job in taking for result in one.done.results))
        tell.append(_head(one.slip, "booked before, so nothing is booked again" if again else ""))
        tell += _way_out(one.slip) if again else []
    tell += [*_results(results, parcels, jobs), *_missing(things, jobs, today)]
    return Done(int(bad), "\n".join([*tell, "", *written]).rstrip(), remarks)


def _no_substitute(job: Opened, came: str, ordered: str, today: date) -> Iterator[str]:
    """Why a part does not do for the one that was ordered, as far as the job's lists know it: the job is judged again with it."""
    own = job.report.job
    line = next((one for one in job.report.parts if number_of(one.part_number) == number_of(ordered)), None)
    known = [part for part in (*own.prices, *own.shelf) if number_of(part.part_number) == number_of(came)]
    if line is None or not known:
        return
    part = replace(known[0], quantity=None)
    others = tuple(one for one in own.prices if one.role != line.role)
    alone = replace(own, prices=(*others, part), shelf=tuple(one for one in own.shelf if one.role != line.role))
    judged = next((one for one in assess(alone, today).parts if one.key == line.key), None)
    if judged is None or number_of(judged.part_number) != number_of(came):
        note = judged.note.rstrip(".") if judged is not None else ""
        why = note.rpartition("does not serve: ")[2] or f"it does not serve as {line.role}"
        yield f"{came} is not taken for {ordered}: {why}. Send it back, or correct its line in the price list."


def _wanted(jobs: Sequence[Opened], things: Sequence[Expected], said: Answers) -> match.Wanted:
    instead = {number: ordered for one in jobs for number, ordered in match.substitutes(one.receipts).items()}
    instead |= {number_of(number): ordered for number, ordered in said.instead.items()}
    return match.Wanted(things, [one.number for one in jobs], [_kits(one.report.job) for one in jobs], instead)


def _kits(job: Job) -> dict[str, frozenset[str]]:
    """The places of the lines of each axle's box, by its kit's number."""
    found: dict[str, frozenset[str]] = {}
    for one in job.axles or (job,):
        number = number_of(str(one.get("kit_number") or ""))
        found[number] = found.get(number, frozenset()) | {str(part.place) for part in one.box}
    return found


def _standing(
    slip: Slip, earlier: Sequence[tuple[str, match.Receipt]], another: bool
) -> tuple[Slip, set[str], list[str]]:
    """(the slip, jobs that hold something of it, what must be asked)."""
    alike = {one.of_slip for _, one in earlier if one.of_slip.split("+")[0] == slip.mark}
    if another and alike:
        return replace(slip, mark=f"{slip.mark}+{len(alike) + 1}"), set(), []
    known = {file for file, one in earlier if one.of_slip == slip.mark}
    same = [(file, one) for file, one in earlier if slip.note and one.note == slip.note and one.of_slip not in alike]
    if same and not known and not another:
        file, one = same[0]
        asked = (
            f"Delivery note {slip.note} was booked on {one.day} in {file}, with other lines. If this is a further parcel of it, "
            "run it again with --another; if it is a corrected slip, correct the column Received by hand."
        )
        return slip, known, [asked]
    return slip, known, []


def _brought(receipts: Iterable[match.Receipt]) -> dict[str, float]:
    """How much of each part a slip brought [its units]."""
    found = dict[str, float]()
    for one in receipts:
        if one.result not in (match.UNKNOWN, match.OTHER_JOB):
            name = number_of(one.part_number or one.description)
            found[name] = round(found.get(name, 0.0) + one.taken, 6)
    return found


def _same_parts(slip: Slip, done: match.Received, earlier: Sequence[match.Receipt]) -> Iterator[str]:
    """Asks where another slip brought the very same, and no two delivery notes tell them apart."""
    jobs = {one.job for one in done.results}
    now = _brought(one for at in jobs for one in match.receipts_of(slip, done, "", at))
    for mark in dict.fromkeys(one.of_slip for one in earlier):
        group = [one for one in earlier if one.of_slip == mark and one.at]
        told_apart = any(slip.note and one.note not in ("", slip.note) for one in group)
        if group and not told_apart and _brought(group) == now:
            yield f"{group[0].slip}, booked on {group[0].day}, brought the very same. If this is a further parcel, run it again with --another."


def _write(job: Opened, at: int, parcels: Sequence[Parcel], today: date) -> str:
    kept = {line: dict(typed) for line, typed in job.report.job.own.items()}
    for (number, key), added in (item for one in parcels for item in one.done.added.items()):
        if number == at:
            row = kept.setdefault(key, {})
            row["received"] = round((amount(row, "received") or 0.0) + added, 6)
    now = [receipt for one in parcels for receipt in match.receipts_of(one.slip, one.done, today.isoformat(), at)]
    receipts = [*job.receipts, *now]
    for key, took in match.taken_instead(receipts).items():
        kept.setdefault(key, {})["instead"] = took
    report = assess(replace(job.report.job, own=kept), today)
    result = write_result(report, job.package, job.path, False, today, kept=kept, receipts=receipts)
    came = any(one.result == match.CAME for one in now)
    done = (
        "Ticked off in {}: see its sheets Receiving and Parts list."
        if came
        else "Nothing was ticked off in {}; its sheet Receiving tells."
    )
    return result.message or done.format(job.path.name)


def _head(slip: Slip, before: str) -> str:
    count = f"{len(slip.lines)} line{'' if len(slip.lines) == 1 else 's'}"
    note = f", delivery note {slip.note}" if slip.note else ""
    return f"{slip.name}{note}: {count}" + (f"; {before}" if before else "")


def _way_out(slip: Slip) -> Iterator[str]:
    own = "" if slip.note else ", or write its delivery note's number above the headings"
    yield f"If it is another parcel with the same lines, run it again with --another{own}."


def _results(results: Sequence[match.Result], parcels: Sequence[Parcel], jobs: Sequence[Opened]) -> Iterator[str]:
    for word, title in BLOCKS:
        found = [one for one in results if one.word == word]
        if found:
            yield f"\n{title}:"
        kits = {id(one.line) for one in found if one.why == match.OF_KIT}
        for one in found:
            if one.why == match.OF_KIT and id(one.line) not in kits:
                continue
            kits.discard(id(one.line))
            unit = one.thing.line.unit if one.thing is not None else one.line.unit
            named = one.thing.name if one.thing is not None and word == match.CAME else one.line.name
            into = f", for {jobs[one.job].name}" if len(jobs) > 1 and one.job >= 0 and word == match.CAME else ""
            if one.why == match.OF_KIT:
                yield f"  the kit {one.line.name}: everything in its box{into}"
            elif one.why.startswith(match.INSTEAD):
                yield f"  {times(one.quantity, unit)} {one.line.name}, {match.INSTEAD}{named}{into}"
            else:
                why = f" ({one.line.row}): {one.why}" if one.why else ""
                yield f"  {times(one.quantity, unit)} {named}{into}{why}"
    later = [line for one in parcels for line in one.slip.lines if line.follows]
    if later:
        yield "\nTo follow, says the slip:"
        yield from (f"  {line.name}: {line.follows}" for line in later)


def times(amount: float, unit: str) -> str:
    """ "4 x", "1.3 L"."""
    return f"{quantity(amount, unit)}{' x' if unit in ('each', '') else ''}"


def _missing(things: list[Expected], jobs: Sequence[Opened], today: date) -> Iterator[str]:
    """What is short of what came in part, what has not come at all, and what of it will be late."""
    short = [one for one in things if one.missing and one.came]
    awaited = [one for one in things if one.missing and not one.came]
    for title, found in (("Short", short), ("Still to come", awaited)):
        if found:
            yield f"\n{title}:"
        for one in found:
            into = f", for {jobs[one.job].name}" if len(jobs) > 1 else ""
            yield f"  {missing_words(one)}{into}{_late(one, jobs[one.job], today)}"
    if not short and not awaited:
        yield "\nAll that was expected is there."


def _late(one: Expected, job: Opened, today: date) -> str:
    needed, days = as_date(job.report.job.get("needed_by")), delivery(job.report, today)
    day = days.after(days.of(one))
    return f"; late: needed by {needed}" if needed and (needed < today or (day is not None and day > needed)) else ""
