"""Which socket or key a screw takes: by thread and kind of head, from `tables/hex_sizes.txt`."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from bomcheck.notation.types import Thread
from bomcheck.tables import rows

INCH = 25.4
SAME = 0.02  # mm: 3/4 in is stamped so, not 19 mm
KINDS = {
    "hexagon": "socket",
    "older hexagon": "socket",
    "hexagon nut": "socket",
    "12-point": "12-point socket",
    "socket": "hexagon key",
}


@dataclass(frozen=True, slots=True)
class Head:
    """One way a head can be driven. kind: as in the table. size: as stamped on the tool, "18 mm", "7/16 in".
    flats [mm]: across the flats. standard: where the size comes from."""

    kind: str
    size: str
    flats: float
    standard: str

    @property
    def tool(self) -> str:
        """ "7/16 in 12-point socket"."""
        return f"{self.size} {KINDS[self.kind]}"


@cache
def _heads() -> dict[str, tuple[Head, ...]]:
    found: dict[str, list[Head]] = {}
    for row in rows("hex_sizes"):
        flats = float(Fraction(row["size"])) * (INCH if row["unit"] == "in" else 1.0)
        found.setdefault(row["thread"], []).append(
            Head(row["head"], f"{row['size']} {row['unit']}", flats, row["standard"])
        )
    return {thread: tuple(heads) for thread, heads in found.items()}


def heads(thread: Thread) -> tuple[Head, ...]:
    """Every usual head of this thread; empty where the table has none.

    >>> from bomcheck.notation import read_thread
    >>> [head.tool for head in heads(read_thread("M12x1.5"))]
    ['18 mm socket', '19 mm socket', '10 mm hexagon key']
    """
    return _heads().get(thread.name.split("x")[0].split("-")[0], ())


def tools(thread: Thread, flats: float | None = None, kinds: tuple[str, ...] = ()) -> tuple[str, ...]:
    """What may be needed to turn it. flats [mm]: across the head's flats where it is known. kinds: of head, all if none.

    >>> from bomcheck.notation import read_thread
    >>> tools(read_thread("3/8-24"), kinds=("hexagon", "12-point"))
    ('9/16 in socket', '7/16 in 12-point socket')
    """
    if flats is not None:
        return (f"{_stamped(flats)} socket",)
    found = [head for head in heads(thread) if not kinds or head.kind in kinds]
    return tuple(dict.fromkeys(head.tool for head in found))


def _stamped(flats: float) -> str:
    """The size as it is stamped on the tool: inch where it is a sixteenth of an inch and no whole millimetre."""
    if abs(flats - round(flats)) <= SAME:
        return f"{round(flats)} mm"
    sixteenths = round(flats / INCH * 16)
    return f"{Fraction(sixteenths, 16)} in" if abs(sixteenths / 16 * INCH - flats) <= SAME else f"{flats:g} mm"
