"""What a check is and what cures it. A check is a plain function; the decorators here only write it down.

Three kinds: a range check returns a value to be held against a limit, a match check tells whether two things are the same,
a body in space must stand clear of all that turns past it.
The parameter names are field keys (or keys of `bomcheck.rules.derived`), so a signature says what the check needs."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cached_property
from typing import Any, TypeVar

from bomcheck.model.body import Space
from bomcheck.model.box import Range
from bomcheck.model.demand import Demand
from bomcheck.model.limits import Limit
from bomcheck.model.records import dataclass
from bomcheck.model.sizes import Sizes
from bomcheck.model.verdict import Verdict

Function = TypeVar("Function", bound=Callable[..., Any])
HEADINGS = ("Must be true", "Why", "Example", "Remedy", "Source")
STACKS = {"axial": "axial_shim_stack", "radial": "radial_shim_stack"}


@dataclass(frozen=True, slots=True)
class Match:
    """Answer of a match check: same, and in words what was compared. ask: fields to measure when same is None. do: what to mind though it
    fits, or to do where the fields' own questions do not say it."""

    same: bool | None
    said: str
    ask: tuple[str, ...] = ()
    do: str = ""


@dataclass(frozen=True)
class Check:
    """One rule of the trade.

    name: the function's name, its identity everywhere. title: first line of its docstring. interface: the module it
    lives in. limit: name of the limit, or {value of `limit_by`: name}. when: arrangement in which it applies, field key
    to the values allowed. requires: fields that must be filled in for it to apply at all. stack: the shim stack that moves it, "axial", "radial" or "". target: for the check that a
    stack is there to satisfy, the value that it should come to. remedy: what cures a failure. space: of a body in space, its
    boxes and what turns past it.
    """

    name: str
    title: str
    interface: str
    function: Callable[..., object]
    kind: str
    limit: str | Mapping[str, str] = ""
    limit_by: str = ""
    unit: str = "mm"
    when: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    requires: tuple[str, ...] = ()
    stack: str = ""
    target: float | None = None
    remedy: "Callable[[Reading], Cure] | None" = None
    parameters: tuple[str, ...] = ()
    defaults: Mapping[str, object] = field(default_factory=dict)
    space: Space | None = None

    @cached_property
    def source(self) -> str:
        """Where the rule comes from."""
        return self.section("Source")

    @property
    def plain_title(self) -> str:
        """The title for a page that is of no one job."""
        return self.title

    @property
    def manual(self) -> str:
        """The docstring: the check's manual page."""
        return inspect.cleandoc(self.function.__doc__ or "")

    def section(self, heading: str) -> str:
        """The text under one of HEADINGS of the manual page."""
        return " ".join(self.section_lines(heading))

    def section_lines(self, heading: str) -> list[str]:
        """The same line by line, without blank ones."""
        lines, taking = [], False
        for line in self.manual.splitlines():
            if line.rstrip(":") in HEADINGS and line.endswith(":"):
                taking = line == f"{heading}:"
            elif taking and line.strip():
                lines.append(line.strip())
        return lines


CHECKS: dict[str, Check] = {}
"""What the decorators have written down; `bomcheck.rules.all_checks` makes sure that it is all."""


def check(
    *,
    limit: str | Mapping[str, str],
    unit: str = "mm",
    limit_by: str = "",
    when: Mapping[str, str | tuple[str, ...]] | None = None,
    requires: tuple[str, ...] = (),
    stack: str = "",
    target: float | None = None,
    remedy: "Callable[[Reading], Cure] | None" = None,
) -> Callable[[Function], Function]:
    """Write down a range check. Its value must be affine in every measured size; take a smallest with `least`."""
    rest = {"limit": limit, "limit_by": limit_by, "unit": unit, "requires": requires, "stack": stack, "target": target}
    return _writer("range", when, remedy=remedy, **rest)


def match(
    *,
    when: Mapping[str, str | tuple[str, ...]] | None = None,
    requires: tuple[str, ...] = (),
    remedy: "Callable[[Reading], Cure] | None" = None,
) -> Callable[[Function], Function]:
    """Write down a match check; the function returns a `Match`."""
    return _writer("match", when, requires=requires, remedy=remedy)


def arguments_of(function: Callable[..., object]) -> tuple[tuple[str, ...], dict[str, object]]:
    """Names of a function's arguments, and their defaults; many times quicker than `inspect.signature`."""
    names = function.__code__.co_varnames[: function.__code__.co_argcount]
    given = function.__defaults__ or ()
    return names, dict(zip(names[len(names) - len(given) :], given, strict=True))


def _writer(kind: str, when: Mapping[str, str | tuple[str, ...]] | None, **rest: Any) -> Callable[[Function], Function]:
    allowed = {key: (value,) if isinstance(value, str) else tuple(value) for key, value in (when or {}).items()}

    def write(function: Function) -> Function:
        name = function.__name__
        if name in CHECKS and CHECKS[name].function.__module__ != function.__module__:
            raise ValueError(f"two checks are called {name}")
        parameters, defaults = arguments_of(function)
        title = (function.__doc__ or name).strip().splitlines()[0].rstrip(".")
        known = {"when": allowed, "parameters": parameters, "defaults": defaults, **rest}
        CHECKS[name] = Check(name, title, _interface_of(function.__module__), function, kind, **known)
        return function

    return write


def write_down(check: Check) -> None:
    """Take in a check that is made from a row of a table."""
    if check.name in CHECKS:
        raise ValueError(f"two checks are called {check.name}")
    CHECKS[check.name] = check


WHOLE = ("mount", "wheel")  # interfaces that several files describe


def _interface_of(module: str) -> str:
    """The interface that a check belongs to, by the file of `bomcheck.rules` that it stands in.

    >>> _interface_of("bomcheck.rules.hub"), _interface_of("bomcheck.rules.wheel_shape")
    ('hub', 'wheel')
    """
    name = module.rsplit(".", 1)[-1]
    return next((whole for whole in WHOLE if name.startswith(whole)), name)


@dataclass(frozen=True)
class Cure:
    """verdict: what the check becomes with it. do: one sentence of what to do. demands: parts that it takes.
    changes: field key to (new value, ±) on the job once it is done; checks that read them run again.
    """

    verdict: Verdict
    do: str
    demands: tuple[Demand, ...] = ()
    changes: Mapping[str, tuple[object, float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Remedy:
    """A remedy that is made for one row of a table, with what it can touch beside its check's own fields.

    act: what cures a failure. reads: fields it looks at. changes: fields it may change. verdicts: what it may lead to.
    """

    act: "Callable[[Reading], Cure]"
    reads: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    verdicts: tuple[Verdict, ...] = (Verdict.FITS_WITH_PARTS,)

    def __call__(self, reading: "Reading") -> Cure:
        return self.act(reading)


@dataclass(frozen=True)
class Reading:
    """What a remedy may look at: the sizes, the value found, and the limit it was held against.

    value: range over the box, in the limit's unit. said: what a match check compared. against: the turning body that a
    body in space meets.
    """

    sizes: Sizes
    value: Range | None
    limit: Limit | None
    said: str = ""
    against: str = ""

    def number(self, key: str) -> float:
        """The stated size [mm]."""
        return self.sizes.number(key)

    def known(self, key: str, otherwise: Any = None) -> Any:
        """A typed value of any kind, or `otherwise`."""
        return self.sizes[key] if self.sizes.has(key) else otherwise

    @property
    def short(self) -> float:
        """By how much the worst case stays below the lower limit (positive where it does)."""
        assert self.value is not None
        assert self.limit is not None
        return 0.0 if self.limit.low is None else self.limit.low - self.value.low

    @property
    def over(self) -> float:
        """By how much the worst case passes the upper limit (positive where it does)."""
        assert self.value is not None
        assert self.limit is not None
        return 0.0 if self.limit.high is None else self.value.high - self.limit.high

    @property
    def below(self) -> bool:
        """Whether the value fails at its lower limit."""
        assert self.value is not None
        assert self.limit is not None
        return self.limit.low is not None and self.value.middle < self.limit.low


def no_cure(verdict: Verdict, do: str) -> Cure:
    """Nothing that the trade sells cures it."""
    return Cure(verdict, do)


def never(text: str) -> Callable[[Reading], Cure]:
    """A remedy that is none: it does not fit, whatever was read."""
    return lambda reading: no_cure(Verdict.DOES_NOT_FIT, text)
