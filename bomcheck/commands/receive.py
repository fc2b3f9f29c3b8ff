"""`bomcheck receive`: one slip from file to file."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.disk import only_writer
from bomcheck.io.order.received import RECEIVING, require_sound
from bomcheck.io.read.job import read_job
from bomcheck.io.receive.match import (
    CAME,
    SURPLUS,
    UNKNOWN,
    WRONG,
    Expected,
    Receipt,
    Received,
    expected,
    receipts_of,
    receive,
)
from bomcheck.io.receive.slip import Slip, read_slip
from bomcheck.io.sheets.build import receipts_from, write_result
from bomcheck.io.sheets.words import quantity
from bomcheck.io.splice import require_in_place
from bomcheck.model.line import amount

BLOCKS = ((CAME, "Came"), (WRONG, "Wrong, not ticked off"), (SURPLUS, "More than expected"), (UNKNOWN, "Unknown"))


@dataclass(frozen=True)
class Done:
    """status: 0 all there, 1 something is short or wrong. text: for standard output. remarks: for standard error."""

    status: int
    text: str
    remarks: tuple[str, ...]


def receive_slip(job_path: Path, slip_path: Path, today: date) -> Done:
    """Tick off what came. Raises WorkbookError; nothing is then written."""
    with only_writer(job_path):
        return _receive(job_path, slip_path, today)


def _receive(job_path: Path, slip_path: Path, today: date) -> Done:
    job, package = read_job(job_path)
    require_sound(job, package, RECEIVING)
    require_in_place(package)
    slip = read_slip(slip_path)
    report, receipts = assess(job, today), receipts_from(package)
    kept = {line: dict(typed) for line, typed in job.own.items()}
    things = expected(report, kept)
    known = any(one.mark == slip.mark for one in receipts)
    done = Received() if known else receive(slip, things)
    written = ""
    if not known:
        for key, added in done.added.items():
            kept.setdefault(key, {})["received"] = round((amount(kept.get(key, {}), "received") or 0.0) + added, 6)
        receipts = [*receipts, *receipts_of(slip, done, today.isoformat())]
        result = write_result(report, package, job_path, False, today, kept=kept, receipts=receipts)
        written = result.message or f"Ticked off in {job_path.name}: see its sheets Receiving and Parts list."
    wrong = [one for one in receipts if known and one.mark == slip.mark and one.result == WRONG]
    short = any(one.missing for one in things)
    bad = short or bool(wrong) or any(one.word == WRONG for one in done.results)
    text = "\n".join([*_head(slip, known), *_results(done), *_missing(things), "", written]).rstrip()
    return Done(int(bad), text, slip.remarks)


def _head(slip: Slip, known: bool) -> Iterator[str]:
    count = f"{len(slip.lines)} line{'' if len(slip.lines) == 1 else 's'}"
    yield f"{slip.name}: {count}" + ("; booked before, so nothing is booked again" if known else "")


def _results(done: Received) -> Iterator[str]:
    for word, title in BLOCKS:
        found = [one for one in done.results if one.word == word]
        if found:
            yield f"\n{title}:"
        for one in found:
            unit = one.thing.line.unit if one.thing is not None else one.line.unit
            named = one.thing.name if one.thing is not None and word == CAME else one.line.name
            yield f"  {times(one.quantity, unit)} {named}" + (f" ({one.line.row}): {one.why}" if one.why else "")


def times(amount: float, unit: str, of: str = "") -> str:
    """ "4 x", "2 of 4 x", "1.3 L"."""
    return f"{quantity(amount, unit)}{of}{' x' if unit in ('each', '') else ''}"


def _missing(things: list[Expected]) -> Iterator[str]:
    """What is short of what came in part, then what has not come at all."""
    short = [one for one in things if one.missing and one.came]
    awaited = [one for one in things if one.missing and not one.came]
    for title, found in (("Short", short), ("Still to come", awaited)):
        if found:
            yield f"\n{title}:"
        for one in found:
            of = f" of {quantity(one.quantity, one.line.unit)}" if one.came else ""
            yield f"  {times(one.missing, one.line.unit, of)} {one.name}, from {one.source}"
    if not short and not awaited:
        yield "\nAll that was expected is there."


__all__ = ["Done", "Receipt", "receive_slip"]
