"""Bodies in one space, as data: boxes along the axle and away from it, and which of them must stand apart.

Coordinates: x [mm] along the axle from the bare hub face, + inboard; r [mm] from the hub axis. A turning body sweeps all
angles, so only x and r count; a fixed body counts with the radii that it reaches.
"""

from collections.abc import Mapping
from dataclasses import field
from functools import cache, cached_property

from bomcheck.model.records import dataclass

ANY = "any_"  # before a key: the size where it is known, else its whole plausible range
Terms = tuple[float, tuple[tuple[str, float], ...]]
"""(constant, ((key, factor), ...)): an edge as a straight line in sizes [mm]."""


@cache
def terms(text: str) -> Terms:
    """An edge written out, "rotor_plane - 0.5*rotor_thickness + 2", as constant and factors; each size may be blank.

    >>> terms("rotor_plane - 0.5*rotor_thickness + 2")
    (2.0, (('any_rotor_plane', 1.0), ('any_rotor_thickness', -0.5)))
    """
    constant, factors, sign = 0.0, dict[str, float](), 1.0
    for word in text.split():
        if word in ("+", "-"):
            sign = 1.0 if word == "+" else -1.0
            continue
        factor, _, key = word.rpartition("*")
        size = sign * float(factor or 1.0)
        if key.lstrip("-")[0].isdigit():
            constant += size * float(key)
        else:
            name = ANY + key.lstrip("-")
            factors[name] = factors.get(name, 0.0) + (-size if key.startswith("-") else size)
        sign = 1.0
    return constant, tuple(factors.items())


@dataclass(frozen=True)
class Part:
    """A box of a body: its edges as `terms` reads them. when: arrangement in which it is there, {key: values}. also: sizes along
    the axle that say the same in another way, {key: key}."""

    body: str
    x0: str
    x1: str
    r0: str
    r1: str
    when: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    also: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def along(self) -> tuple[tuple[str, str], ...]:
        """Its ends along the axle, in each way in which they are known."""
        other = [self.x0, self.x1]
        for key, same in self.also.items():
            other = [text.replace(key, same) for text in other]
        own = (self.x0, self.x1)
        return (own,) if tuple(other) == own else (own, (other[0], other[1]))


@dataclass(frozen=True)
class Pair:
    """A turning body that a fixed one must clear. limit: name of the air between them. gap: the distance itself, as
    `terms` reads it, where a table describes one of the two; else the boxes of both say it."""

    turning: str
    limit: str
    gap: str = ""


@dataclass(frozen=True)
class Body:
    """A fixed body and all that turns past it.

    pairs: what it must clear. boxes: names of its boxes among the fixed ones; none where its pairs say their gaps. when:
    arrangement in which it is there at all. requires: fields without which nothing is known to be there.
    """

    name: str
    title: str
    pairs: tuple[Pair, ...]
    boxes: tuple[str, ...]
    when: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    requires: tuple[str, ...] = ()

    def parts(self, fixed: tuple[Part, ...]) -> tuple[Part, ...]:
        """Its own boxes."""
        return tuple(part for part in fixed if part.body in self.boxes)

    def past(self, turning: tuple[Part, ...]) -> tuple[Part, ...]:
        """The boxes that turn past it."""
        names = {pair.turning for pair in self.pairs if not pair.gap}
        return tuple(part for part in turning if part.body in names)

    def sizes(self, fixed: tuple[Part, ...], turning: tuple[Part, ...]) -> tuple[str, ...]:
        """Every size that its edges read, under the key by which it may be blank."""
        boxes = (*self.parts(fixed), *self.past(turning))
        texts = [text for part in boxes for ends in (*part.along, (part.r0, part.r1)) for text in ends]
        texts += [pair.gap for pair in self.pairs if pair.gap]
        return tuple(dict.fromkeys(key for text in texts for key, _ in terms(text)[1]))

    def words(self, fixed: tuple[Part, ...], turning: tuple[Part, ...]) -> tuple[str, ...]:
        """Every arrangement that its boxes hang on."""
        return tuple(dict.fromkeys(key for part in (*self.parts(fixed), *self.past(turning)) for key in part.when))


@dataclass(frozen=True)
class Space:
    """A fixed body with its boxes, and the boxes that turn past it."""

    body: Body
    parts: tuple[Part, ...]
    turning: tuple[Part, ...]
