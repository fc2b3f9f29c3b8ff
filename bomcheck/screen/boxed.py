"""One lane's box, as much of it as the naming of the size that decides looks at."""

import numpy as np

from bomcheck.model.box import Box
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.view import View


class Boxed:
    """As much of a lane's sizes as the naming of the deciding one looks at."""

    def __init__(self, box: Box, sizes: Sizes, lane: int) -> None:
        self.box = Box(box.middle, {key: half for key, half in box.half.items() if half > 0})
        self.job = View(sizes, np.array([lane])).job
        self.trail = {key: source_of(key, sizes) for key in self.box.half}


def source_of(key: str, sizes: Sizes) -> tuple[str, ...]:
    """The typed fields behind a size, the first that matters first."""
    column = sizes.typed(key)
    if column is not None:
        return (column.source or key,)
    found: list[str] = []
    for way in DERIVATIONS.get(key, ())[:1]:
        for name in way.parameters:
            found.extend(source_of(name, sizes) if name in DERIVATIONS or sizes.typed(name) is not None else ())
    return tuple(dict.fromkeys(found)) or (key,)
