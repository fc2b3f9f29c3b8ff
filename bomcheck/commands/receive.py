"""`bomcheck receive`: one slip into one job, or shared out over all open jobs of a folder."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.disk import only_writer, real_path
from bomcheck.io.layout import CORNER, KIT
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import require_sound
from bomcheck.io.receive.match import (
    CAME,
    INSTEAD,
    OF_KIT,
    OTHER_JOB,
    SURPLUS,
    UNKNOWN,
    WRONG,
    Receipt,
    Received,
    Wanted,
    receipts_of,
    receive,
    substitutes,
    without_taken,
)
from bomcheck.io.receive.slip import Slip, read_slip
from bomcheck.io.refusal import refuse
from bomcheck.io.sheets.build import receipts_from, write_result
from bomcheck.io.sheets.words import quantity
from bomcheck.io.splice import require_in_place
from bomcheck.model.errors import WorkbookError
from bomcheck.model.line import amount
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.paper.awaited import Expected, due, expected, missing_words, number_of
from bomcheck.paper.order_rows import as_date, owner_texts

BLOCKS = (
    (CAME, "Came"),
    (WRONG, "Wrong, not ticked off"),
    (SURPLUS, "More than expected"),
    (OTHER_JOB, "For another job, not booked"),
    (UNKNOWN, "Unknown"),
)
DONE, SHORT, ASKED = 0, 1, 3


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
    receipts: list[Receipt]

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


def _booked_in(beside: Sequence[Path]) -> list[tuple[str, Receipt]]:
    """What other jobs of the folder hold of slips."""
    found: list[tuple[str, Receipt]] = []
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
            if real_path(path) != real_path(slip) and {CORNER, KIT} & set(open_package(path).sheet_names):
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


def _receive(
    jobs: list[Opened], slip_path: Path, today: date, said: Answers, others: list[tuple[str, Receipt]], *, alone: bool
) -> Done:
    slip = read_slip(slip_path, said.counts)
    earlier = [*((one.path.name, receipt) for one in jobs for receipt in one.receipts), *others]
    slip, known, asked = _standing(slip, earlier, said.another)
    if asked:
        return Done(ASKED, "\n".join([*_head(slip, ""), *asked, "", "Nothing was booked."]), slip.remarks)
    refused = [
        text
        for job in jobs
        for came, ordered in said.instead.items()
        for text in _no_substitute(job, came, ordered, today)
    ]
    if refused:
        return Done(ASKED, "\n".join([*_head(slip, ""), *refused, "", "Nothing was booked."]), slip.remarks)
    mine = known & {one.path.name for one in jobs} if alone else set[str]()
    things = [thing for at, one in enumerate(jobs) for thing in expected(one.report, at)]
    receipts = [receipt for _, receipt in earlier]
    lines = [line for line in without_taken(slip, receipts) if line.part_number not in said.refused]
    done = Received() if mine else receive(replace(slip, lines=tuple(lines)), _wanted(jobs, things, said))
    if not said.another and not known:
        done.asked += _same_parts(slip, done, receipts)
    if done.asked:
        return Done(ASKED, "\n".join([*_head(slip, ""), *done.asked, "", "Nothing was booked."]), slip.remarks)
    if not alone:
        _keep_with_a_job(done)
    written = [
        _write(job, at, slip, done, today) for at, job in enumerate(jobs) if any(r.job == at for r in done.results)
    ]
    wrong = [one for one in receipts if mine and one.of_slip == slip.mark and one.result == WRONG]
    bad = any(one.missing for one in things) or bool(wrong) or any(one.word == WRONG for one in done.results)
    before = "booked before, so nothing is booked again" if mine or (known and not written) else ""
    tell = [*_head(slip, before), *_way_out(slip, before), *_results(done, slip, jobs), *_missing(things, jobs, today)]
    return Done(int(bad), "\n".join([*tell, "", *written]).rstrip(), slip.remarks)


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


def _wanted(jobs: Sequence[Opened], things: Sequence[Expected], said: Answers) -> Wanted:
    instead = {number: ordered for one in jobs for number, ordered in substitutes(one.receipts).items()}
    instead |= {number_of(number): ordered for number, ordered in said.instead.items()}
    kits = [str(one.report.job.get("kit_number") or "") for one in jobs]
    return Wanted(things, [one.number for one in jobs], kits, instead)


def _standing(slip: Slip, earlier: Sequence[tuple[str, Receipt]], another: bool) -> tuple[Slip, set[str], list[str]]:
    """(the slip, jobs that hold something of it, what must be asked)."""
    alike = {one.of_slip for _, one in earlier if one.of_slip.split("+")[0] == slip.mark}
    if another and alike:
        return replace(slip, mark=f"{slip.mark}+{len(alike) + 1}"), set(), []
    known = {file for file, one in earlier if one.of_slip in (slip.mark, slip.old_mark)}
    same = [(file, one) for file, one in earlier if slip.note and one.note == slip.note and one.of_slip not in alike]
    if same and not known and not another:
        file, one = same[0]
        asked = (
            f"Delivery note {slip.note} was booked on {one.day} in {file}, with other lines. If this is a further parcel of it, "
            "run it again with --another; if it is a corrected slip, correct the column Received by hand."
        )
        return slip, known, [asked]
    return slip, known, []


def _brought(receipts: Iterable[Receipt]) -> dict[str, float]:
    """How much of each part a slip brought [its units]."""
    found = dict[str, float]()
    for one in receipts:
        if one.result not in (UNKNOWN, OTHER_JOB):
            name = number_of(one.part_number or one.description)
            found[name] = round(found.get(name, 0.0) + one.taken, 6)
    return found


def _same_parts(slip: Slip, done: Received, earlier: Sequence[Receipt]) -> Iterator[str]:
    """Asks where another slip brought the very same, and no two delivery notes tell them apart."""
    jobs = {one.job for one in done.results}
    now = _brought(one for at in jobs for one in receipts_of(slip, done, "", at))
    for mark in dict.fromkeys(one.of_slip for one in earlier):
        group = [one for one in earlier if one.of_slip == mark and one.at]
        told_apart = any(slip.note and one.note not in ("", slip.note) for one in group)
        if group and not told_apart and _brought(group) == now:
            yield f"{group[0].slip}, booked on {group[0].day}, brought the very same. If this is a further parcel, run it again with --another."


def _keep_with_a_job(done: Received) -> None:
    """What no job has asked for is kept by none of several."""
    for one in done.results:
        if one.word in (UNKNOWN, OTHER_JOB):
            one.job = -1


def _write(job: Opened, at: int, slip: Slip, done: Received, today: date) -> str:
    kept = {line: dict(typed) for line, typed in job.report.job.own.items()}
    for (number, key), added in done.added.items():
        if number == at:
            row = kept.setdefault(key, {})
            row["received"] = round((amount(row, "received") or 0.0) + added, 6)
    receipts = [*job.receipts, *receipts_of(slip, done, today.isoformat(), at)]
    report = assess(replace(job.report.job, own=kept), today)
    result = write_result(report, job.package, job.path, False, today, kept=kept, receipts=receipts)
    return result.message or f"Ticked off in {job.path.name}: see its sheets Receiving and Parts list."


def _head(slip: Slip, before: str) -> Iterator[str]:
    count = f"{len(slip.lines)} line{'' if len(slip.lines) == 1 else 's'}"
    note = f", delivery note {slip.note}" if slip.note else ""
    yield f"{slip.name}{note}: {count}" + (f"; {before}" if before else "")


def _way_out(slip: Slip, before: str) -> Iterator[str]:
    if before:
        own = "" if slip.note else ", or write its delivery note's number above the headings"
        yield f"If it is another parcel with the same lines, run it again with --another{own}."


def _results(done: Received, slip: Slip, jobs: Sequence[Opened]) -> Iterator[str]:
    for word, title in BLOCKS:
        found = [one for one in done.results if one.word == word]
        if found:
            yield f"\n{title}:"
        kits = {id(one.line) for one in found if one.why == OF_KIT}
        for one in found:
            if one.why == OF_KIT and id(one.line) not in kits:
                continue
            kits.discard(id(one.line))
            unit = one.thing.line.unit if one.thing is not None else one.line.unit
            named = one.thing.name if one.thing is not None and word == CAME else one.line.name
            into = f", for {jobs[one.job].name}" if len(jobs) > 1 and one.job >= 0 and word == CAME else ""
            if one.why == OF_KIT:
                yield f"  the kit {one.line.name}: everything in its box{into}"
            elif one.why.startswith(INSTEAD):
                yield f"  {times(one.quantity, unit)} {one.line.name}, {one.why}{named}{into}"
            else:
                yield f"  {times(one.quantity, unit)} {named}{into}" + (
                    f" ({one.line.row}): {one.why}" if one.why else ""
                )
    later = [line for line in slip.lines if line.follows]
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
    needed, day = as_date(job.report.job.get("needed_by")), due(one, today)
    return f"; late: needed by {needed}" if needed and (needed < today or (day is not None and day > needed)) else ""
