"""What was booked from slips, as it is kept on the Receiving sheet from run to run. Pure data."""

from dataclasses import dataclass

from bomcheck.receive.match import Received
from bomcheck.receive.slip import Slip


@dataclass(frozen=True, slots=True)
class Receipt:
    """One result of one line of a slip; day: ISO, "" if not known; quantity with its unit, in words. mark: of the slip."""

    slip: str
    day: str
    part_number: str
    description: str
    quantity: str
    side: str
    result: str
    why: str
    mark: str


def receipts_of(slip: Slip, done: Received, day: str) -> list[Receipt]:
    """The receipts of a slip that was just booked."""
    made = []
    for one in done.results:
        unit = one.thing.line.unit if one.thing is not None and one.word != "unknown" else one.line.unit
        count = f"{one.quantity:g}" + ("" if unit in ("each", "") else f" {unit}")
        words = (one.line.part_number, one.line.description, count, one.line.side, one.word, one.why, slip.mark)
        made.append(Receipt(slip.name, day, *words))
    return made
