"""Several words or notations of every lane as one number: each combination that some lane has is looked at once."""

from typing import Any

import numpy as np

from bomcheck.screen.known import Coded
from bomcheck.screen.lanes import Array, distinct

TABLE = 4096  # combinations of which a table is kept; of more only those that are there


def combined(coded: dict[str, Coded], mask: Array) -> tuple[Array, list[dict[str, Any] | None]]:
    """(number of the combination in every lane, the combinations); None for one that no lane has."""
    codes: Any = np.zeros(1, dtype=np.int64)
    size = 1
    for column in coded.values():
        codes = codes * len(column.objects) + column.codes
        size *= len(column.objects)
    shape = np.broadcast_shapes(codes.shape, mask.shape)
    there = np.broadcast_to(codes, shape)[np.broadcast_to(mask, shape)]
    if size > TABLE:
        seen = distinct(there)
        codes = np.minimum(np.searchsorted(seen, codes), max(len(seen) - 1, 0))
        return codes, [_unfold(int(one), coded) for one in seen] or [None]
    used = np.zeros(size, dtype=bool)
    used[there] = True
    return codes, [_unfold(one, coded) if used[one] else None for one in range(size)]


def _unfold(code: int, coded: dict[str, Coded]) -> dict[str, Any]:
    found = {}
    for name, column in reversed(coded.items()):
        code, place = divmod(code, len(column.objects))
        found[name] = column.objects[place]
    return {name: found[name] for name in coded}
