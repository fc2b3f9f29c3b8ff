"""The lines of many pairs as CSV at once, the same text that `writing.csv_text` makes of them one by one."""

import csv
import io
import re
from collections.abc import Iterable

import numpy as np

from bomcheck.io.order.csv_file import safe_text
from bomcheck.screen.block import Block
from bomcheck.screen.deciding import BY_SEVERITY
from bomcheck.screen.lanes import Array
from bomcheck.screen.rank import asked_label, ranked, titles
from bomcheck.screen.world import World

UNSAFE = re.compile(r"[^\w \-.]")
"""Signs for which the csv module is asked how it writes them."""


def quick_csv(world: World, block: Block) -> str:
    """The lines of a block without parts; it stands in order of merit. What many lines share is put together once."""
    places = ranked(block.corner)
    heads = _at(_cells(world.corners.names), block.corner)
    kits = _at(_cells(world.kits.names), block.kit)
    ranks = _at([f"{rank}," for rank in range(int(places.max(initial=0)) + 1)], places)
    verdicts = _verdicts()[block.severity, block.place].tolist()
    ends = _ends(block)[np.isnan(block.margin).astype(np.intp), block.place, block.measure].tolist()
    return "".join(
        [
            f"{head}{kit}{rank}{verdict}{margin:.4f}{end}" if margin == margin else f"{head}{kit}{rank}{verdict}{end}"
            for head, kit, rank, verdict, margin, end in zip(
                heads, kits, ranks, verdicts, block.margin.tolist(), ends, strict=True
            )
        ]
    )


def _at(texts: list[str], places: Array) -> list[str]:
    found: list[str] = np.array(texts, dtype=object)[places].tolist()
    return found


def _verdicts() -> Array:
    """Verdict and what decides, by severity and place."""
    decides = _cells(title for title, _ in titles())
    verdicts = [_cell(str(BY_SEVERITY.get(severity, ""))) for severity in range(max(BY_SEVERITY) + 1)]
    return np.array([[verdict + title for title in decides] for verdict in verdicts], dtype=object)


def _ends(block: Block) -> Array:
    """What follows the margin, by whether there is none, place, and what to measure."""
    words = _cells([asked_label(word) if word else "" for word in block.words])
    with_unit = [[f",{unit},{word},\n" for word in words] for _, unit in titles()]
    return np.array([with_unit, [[f",,{word},\n" for word in words] for _ in titles()]], dtype=object)


def _cells(texts: Iterable[str]) -> list[str]:
    return [_cell(text) for text in texts]


def _cell(text: str) -> str:
    """A text as a cell of a CSV table, with the comma behind it."""
    text = safe_text(text)
    if not UNSAFE.search(text):
        return f"{text},"
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(["", text])
    return f"{out.getvalue()[1:-1]},"
