"""Pairs in order of merit, and how each reads: what decides, the margin, what to measure, what is to be added."""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

import numpy as np

from bomcheck.engine.makers_word import NAME, TITLE
from bomcheck.engine.many.deciding import BY_SEVERITY, ranks
from bomcheck.engine.many.lanes import Index
from bomcheck.engine.many.rounds import PARTS_LIST, REST, joint_name
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS
from bomcheck.rules import all_checks
from bomcheck.screen.blocks import Block
from bomcheck.screen.world import World
from bomcheck.tables.fields import fields

HEADINGS = (
    "corner", "kit", "rank", "verdict", "what decides", "margin", "unit", "measure first", "parts to add", "price"
)  # fmt: skip
BLANK = ""
DIGITS = 4  # decimals of a margin in a text


@dataclass(frozen=True)
class Added:
    """What a pair takes that is neither in the box nor on the car. price: of all that has one; whole: whether all have."""

    parts: str
    price: float | None
    whole: bool


class Line(NamedTuple):
    """One pair as it is written down."""

    corner: str
    kit: str
    rank: int
    verdict: str
    decides: str
    margin: float | None
    unit: str
    measure: str
    added: Added | None


def by_merit(block: Block, prices: np.ndarray | None = None) -> Block:
    """Corner by corner the best kit first: by verdict, then price where it is known, then room, then the kits' order."""
    room = np.where(np.isnan(block.margin), -np.inf, block.margin).round(9)  # finer is the rounding of sums
    price = np.zeros(len(block)) if prices is None else np.nan_to_num(prices, nan=np.inf)
    return block.take(np.lexsort((block.kit, -room, price, block.severity, block.corner)))


@cache
def titles() -> tuple[tuple[str, str], ...]:
    """(title, unit) of every finding, places as in `ranks`; the last entry is for none."""
    checks = all_checks()
    known = {name: (check.title, check.unit if check.kind == "range" else "") for name, check in checks.items()}
    known |= {joint_name(name): (f"One {name} shim stack for all it moves", "") for name in STACKS}
    known |= {REST: ("Remedies that change one another", ""), PARTS_LIST: ("Parts complete", ""), NAME: (TITLE, "")}
    return (*(known[name] for name in ranks()[0]), (BLANK, BLANK))


@cache
def asked_label(key: str) -> str:
    """What to measure or look up, as the sheets name it."""
    return fields()[key].label if key in fields() else key.replace("_", " ")


def lines(world: World, block: Block, added: dict[tuple[int, int], Added]) -> Iterator[Line]:
    """The pairs of a block, which stands in order of merit, as lines."""
    named, corners, kits = titles(), world.corners.names, world.kits.names
    words = [asked_label(word) if word else "" for word in block.words]
    columns = (block.corner, block.kit, ranked(block.corner), block.severity, block.place, block.margin, block.measure)
    verdicts = {severity: str(verdict) for severity, verdict in BY_SEVERITY.items()}
    for corner, kit, rank, severity, place, margin, measure in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        title, unit = named[place]
        room = margin if margin == margin else None
        yield Line(
            corners[corner], kits[kit], rank, verdicts[severity], title, room, unit if room is not None else "",
            words[measure], added.get((corner, kit)) if added else None,
        )  # fmt: skip


def ranked(corner: Index) -> Index:
    """1, 2, 3 for the kits of each corner, which stand together."""
    count = np.arange(len(corner))
    starts = np.flatnonzero(np.diff(corner, prepend=-1))
    return count - np.repeat(starts, np.diff(starts, append=len(corner))) + 1
