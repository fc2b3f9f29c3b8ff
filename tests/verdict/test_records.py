"""Our quicker `dataclass` does what the standard library's does."""

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from bomcheck.model import records

WAYS = [{}, {"frozen": True}, {"slots": True}, {"frozen": True, "slots": True}]


def made(make: Callable[..., Any], **how: bool) -> Any:
    """A class with every kind of field: needed, with a default, with one made anew, hidden, left out of what is compared."""

    class Thing:
        """A thing."""

        __qualname__ = "Thing"
        name: str
        size: float = 1.0
        marks: tuple[str, ...] = dataclasses.field(default_factory=tuple)
        secret: int = dataclasses.field(default=3, repr=False, compare=False)
        twice: float = dataclasses.field(init=False, default=0.0)

        def __post_init__(self) -> None:
            object.__setattr__(self, "twice", 2 * self.size)

    return make(**how)(Thing)


@pytest.mark.parametrize("how", WAYS, ids=str)
def test_as_the_standard_library(how: dict[str, bool]) -> None:
    """What one shows, equals, hashes, holds and may be changed in is the same for both."""
    mine, theirs = made(records.dataclass, **how), made(dataclasses.dataclass, **how)
    for one in (mine, theirs):
        first, same, other = one("a", 2.0), one(name="a", size=2.0, secret=9), one("b", marks=("x",))
        assert (first == same, first == other, first == "a") == (True, False, False)
        assert (first.twice, other.marks, same.secret) == (4.0, ("x",), 9)
        assert repr(first) == "Thing(name='a', size=2.0, marks=(), twice=4.0)"
        for replace in (dataclasses.replace, records.replace):
            changed = replace(first, size=3.0)
            assert (changed.name, changed.twice, first.twice, changed.__class__) == ("a", 6.0, 4.0, one)
            assert replace(first) == first
            with pytest.raises(TypeError):
                replace(first, colour=1)
        assert copy.copy(first) == first
        with pytest.raises(TypeError):
            one()
        with pytest.raises(TypeError):
            one("a", colour=1)
        if how.get("frozen"):
            assert hash(first) == hash(same)
            with pytest.raises(dataclasses.FrozenInstanceError):
                first.name = "c"
        else:
            with pytest.raises(TypeError):
                hash(first)
        assert hasattr(first, "__dict__") is not how.get("slots", False)
    assert hash(mine("a")) == hash(theirs("a")) if how.get("frozen") else mine.__hash__ is None


@records.dataclass(frozen=True, slots=True)
class Kept:
    """Pickles as tables do on their way to other processes."""

    name: str
    sizes: dict[str, float] = dataclasses.field(default_factory=dict)


@records.dataclass
class Below(records.dataclass(made(lambda: lambda cls: cls))):  # type: ignore[misc]
    """One that goes on from another."""

    colour: str = "grey"


def test_pickles_and_classes_that_go_on_from_others() -> None:
    """What is pickled comes back; a class takes the fields of the one that it goes on from, and makes no list twice."""
    assert pickle.loads(pickle.dumps(Kept("a", {"x": 1.0}))) == Kept("a", {"x": 1.0})
    assert Kept("a").sizes is not Kept("a").sizes
    assert (Below("a", colour="red").colour, Below("a").twice) == ("red", 2.0)
