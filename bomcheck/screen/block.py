"""Pairs and what became of them, as arrays."""

from dataclasses import dataclass, replace

import numpy as np

from bomcheck.screen.lanes import Array, Index


@dataclass
class Block:
    """Pairs and what became of them, one entry each. place: of the deciding finding in `ranks`, -1 for none. margin: NaN
    for none. measure: field to measure first by its place in `words`, 0 for none."""

    corner: Index
    kit: Index
    severity: Array
    place: Array
    margin: Array
    measure: Array
    words: list[str]

    def __len__(self) -> int:
        return len(self.corner)

    def take(self, at: Index) -> "Block":
        """Some of the pairs."""
        corner, kit, severity, place, margin, measure = (column[at] for column in self.columns)
        return Block(corner, kit, severity, place, margin, measure, self.words)

    @property
    def columns(self) -> tuple[Array, ...]:
        """What is known of every pair, in the order of the fields."""
        return self.corner, self.kit, self.severity, self.place, self.margin, self.measure


def joined(parts: list[Block]) -> Block:
    """Several blocks as one."""
    words = list(dict.fromkeys(["", *(word for part in parts for word in part.words)]))
    places = {word: place for place, word in enumerate(words)}
    renamed = [
        replace(part, measure=np.array([places[word] for word in part.words], dtype=np.int32)[part.measure])
        for part in parts or [nothing()]
    ]
    columns = (np.concatenate(column) for column in zip(*(part.columns for part in renamed), strict=True))
    corner, kit, severity, place, margin, measure = columns
    return Block(corner, kit, severity, place, margin, measure, words)


def nothing() -> Block:
    """No pairs."""
    rows, small = np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.int8)
    return Block(rows, rows, small, small.astype(np.int16), np.zeros(0), small.astype(np.int32), [""])
