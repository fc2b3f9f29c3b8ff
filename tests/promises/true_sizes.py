"""True corners inside the ± of a job: corners of the box, anywhere inside, and the worst and best for one rule."""

from collections.abc import Callable, Iterator
from random import Random
from typing import Any

from bomcheck.model.job import Job, Value
from bomcheck.model.types import BoltCircle
from bomcheck.notation.bolt_circle import named_circles


class Read(dict[str, Any]):
    """Sizes that remember which of them were looked at."""

    def __init__(self, *args: Any) -> None:
        super().__init__(*args)
        self.seen: set[str] = set()

    def __getitem__(self, key: str) -> Any:
        self.seen.add(key)
        return super().__getitem__(key)

    def get(self, key: str, default: Any = None) -> Any:
        self.seen.add(key)
        return super().get(key, default)


class Truths:
    """All true corners that a job allows."""

    def __init__(self, job: Job) -> None:
        self.fixed: dict[str, Any] = {}
        self.free: dict[str, Value] = {}
        for key, value in job.values.items():
            nothing = key == "hub_stud_shoulder_height" and value.value == 0  # a typed 0: no knurl is there
            open_size = value.plus_minus > 0 and isinstance(value.value, float | int | tuple) and not nothing
            (self.free if open_size else self.fixed)[key] = value if open_size else value.value
        self._circles(job)
        allowed = {"fixed": 0.5, "sliding": 2.0}.get(job.get("caliper_build", ""), 0.0)
        self._put("centre_error", 0.0, job.get("axial_tolerance", allowed))
        self._put("flush_error", -0.75, 0.75)

    def _put(self, key: str, middle: float, half: float) -> None:
        self.fixed.pop(key, None)
        self.free[key] = Value(key, middle, half)

    def _circles(self, job: Job) -> None:
        """A measured circle is the one named circle within its ±, else any inside the ±; a named one is exact."""
        for typed_key, key in (("hub_bolt_circle", "hub_circle"), ("wheel_bolt_circle", "wheel_circle")):
            typed = job.values.get(typed_key)
            self.free.pop(typed_key, None)
            if typed is None:
                continue
            circle: BoltCircle = typed.value
            self.fixed["hub_count" if key == "hub_circle" else "wheel_count"] = circle.count
            assert circle.low is not None
            names = named_circles().get(circle.count, ())
            basis = job.get("hub_bolt_circle_basis", "nominal" if circle.low in names else "measured")
            half = typed.plus_minus if key == "hub_circle" and basis == "measured" else 0.0
            near = [d for d in names if abs(d - circle.low) <= half + 1e-9]
            if half and len(near) != 1:
                self._put(key, circle.low, half)
            else:
                self.fixed[key] = near[0] if half else circle.low

    def at(self, place: Callable[[str], float]) -> dict[str, Any]:
        """The true corner where each size stands at `place(key)` of its ±, -1 to 1; tables move as a whole."""
        sizes = dict(self.fixed)
        for key, value in self.free.items():
            sizes[key] = self._size(value, lambda key=key: place(key))  # type: ignore[misc]
        return sizes

    def _size(self, value: Value, place: Callable[[], float]) -> Any:
        if isinstance(value.value, tuple):
            return tuple((x, y + place() * value.plus_minus) for x, y in value.value)
        return value.value + place() * value.plus_minus

    def random(self, dice: Random) -> dict[str, Any]:
        """A corner of the box, a point inside it, or a mixture."""
        share = dice.choice((0.0, 0.5, 1.0))

        def place(key: str) -> float:
            return dice.choice((-1.0, 1.0)) if dice.random() < share else dice.uniform(-1, 1)

        return self.at(place)

    def extremes(self, measure: Callable[[dict[str, Any]], float]) -> Iterator[tuple[float, dict[str, float]]]:
        """The least and greatest of a measure found by moving one size after another; with where they stand.

        From the middle and from a few random corners, so that a smallest of two is not mistaken for an end.
        """
        middle = Read(self.at(standing({})))
        measure(middle)
        keys = [key for key in self.free if key in middle.seen]
        dice = Random(len(keys))
        starts = [dict.fromkeys(keys, 0.0)] + [{key: dice.choice((-1.0, 1.0)) for key in keys} for _ in range(3)]
        for sign in (-1.0, 1.0):
            found = [self._climb(lambda sizes, sign=sign: sign * measure(sizes), start) for start in starts]  # type: ignore[misc]
            best, places = max(found, key=lambda one: one[0])
            yield sign * best, places

    def _climb(
        self, measure: Callable[[dict[str, Any]], float], start: dict[str, float]
    ) -> tuple[float, dict[str, float]]:
        here, places = self.at(standing(start)), dict(start)
        best = measure(here)
        for key in [*start, *start]:
            for place in (-1.0, 1.0):
                before = here[key]
                here[key] = self._size(self.free[key], lambda at=place: at)  # type: ignore[misc]
                tried = measure(here)
                if tried > best:
                    best, places[key] = tried, place
                else:
                    here[key] = before
        return best, places


def standing(places: dict[str, float]) -> Callable[[str], float]:
    """Where each size stands in its ±; in the middle unless said."""
    return lambda key: places.get(key, 0.0)
