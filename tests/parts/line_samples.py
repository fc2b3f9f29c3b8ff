"""Small helpers and random catalogues for the brake-line tests."""

from random import Random
from typing import Any

from bomcheck.model.job import Part
from bomcheck.model.types import LineEnd
from bomcheck.notation.line_end import read_line_end

TEXTS = (
    "3/8-24 inverted flare male",
    "3/8-24 inverted flare female",
    "M10x1.0 bubble male",
    "M10x1.0 bubble female",
    "M10x1.0 inverted flare male",
    "M10x1.0 inverted flare female",
    "-3 37 male",
    "-3 37 female",
    "M10x1.0 banjo eye",
    "M10x1.0 banjo port",
    "1/8-27 NPT male",
    "1/8-27 NPT female",
)


def end(text: str) -> LineEnd:
    """The end that the text names."""
    found = read_line_end(text)
    assert found is not None
    return found


def hose(a: str, b: str, length: float | None = 420, **more: Any) -> Part:
    """A road-marked hose unless it is said otherwise."""
    return Part("hose", end_a=end(a), end_b=end(b), length=length, **{"road_marked": "yes", **more})


def adapter(a: str, b: str, **more: Any) -> Part:
    """An adapter with two ends."""
    return Part("adapter", end_a=end(a), end_b=end(b), **more)


def random_part(random: Random, number: int, texts: tuple[str, ...] = TEXTS) -> Part:
    """A hose or an adapter with whatever ends, price, days, length and side."""
    both = [end(random.choice(texts)) for _ in range(2)]
    common: dict[str, Any] = {
        "part_number": f"P{number:04d}",
        "side": random.choice(["either"] * 6 + ["left", "right"]),
        "quantity": float(random.choice([1, 1, 2])),
        "unit_price": random.randrange(100, 6000, 25) / 100,
        "lead_days": float(random.choice([1, 2, 3, 7, 14])),
    }
    if random.random() < 0.5:
        return Part("adapter", end_a=both[0], end_b=both[1], **common)
    length = float(random.choice([360, 411, 412, 417, 420, 440, 450, 467, 472, 473, 520]))
    marked = random.choice(["yes", "yes", "yes", "no", ""])
    return Part("hose", end_a=both[0], end_b=both[1], length=length, road_marked=marked, **common)


def random_catalogue(random: Random, texts: tuple[str, ...]) -> tuple[list[Part], list[Part], list[Part]]:
    """Box, shelf and price list."""
    counts = (random.randrange(0, 6), random.randrange(0, 4), random.randrange(2, 22))
    number = 0
    lists: list[list[Part]] = []
    for count in counts:
        lists.append([random_part(random, number + i, texts) for i in range(count)])
        number += count
    return lists[0], lists[1], lists[2]
