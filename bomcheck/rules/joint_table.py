"""The corner's screwed joints as data, from `tables/joints.txt`, `joint_grips.txt` and `joint_holes.txt`, and the sizes that every joint has.

A screw passes members (washers, spacer, lug, ear, bracket, shims); what is left of it stands in a tapped part or in a nut. Lengths in mm.
"""

from collections.abc import Callable, Mapping
from functools import cache, cached_property
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.model.sizes import Derivation, Sizes
from bomcheck.model.types import Thread
from bomcheck.rules.derived import DERIVATIONS, TITLES
from bomcheck.tables import rows

When = dict[str, tuple[str, ...]]
STACK = {"": ("", ""), "radial": ("radial", ""), "axial ear": ("axial", "shims_in_ear_joint"), "axial lug": ("axial", "shims_in_lug_joint")}  # fmt: skip
CLAMPED = {"bracket": "parts under the bracket screw's head", "caliper": "parts clamped by the caliper screw"}
OWN_THREAD = {"thread_at_ear": "bracket_ear_thread", "thread_at_caliper": "bracket_caliper_thread"}
BANDS = {"small": "ear_hole_small", "medium": "ear_hole_medium", "usual": "ear_hole", "large": "ear_hole_large"}
# Size of the joint, its title, and the fields to take it from, the joint's own before the one that serves both joints.
EITHER = (
    ("thread_at_ear", "bracket thread at the ear", "bracket_ear_thread", "bracket_thread"),
    ("thread_at_caliper", "bracket thread at the caliper", "bracket_caliper_thread", "bracket_thread"),
    ("depth_at_ear", "bracket thread depth at the ear", "bracket_ear_thread_depth", "bracket_thread_depth"),
    ("depth_at_caliper", "bracket thread depth at the caliper", "bracket_caliper_thread_depth", "bracket_thread_depth"),
    ("spacer_at_ear", "spacer between ear and bracket", "bracket_spacer_thickness", ""),
    ("spacer_at_caliper", "spacer under the caliper", "caliper_spacer_thickness", ""),
)


def condition(text: str) -> When:
    """Read "field=value or value; field=value".

    >>> condition("ear_hole=tapped through or tapped blind")
    {'ear_hole': ('tapped through', 'tapped blind')}
    """
    pairs = (one.split("=") for one in text.split("; ") if one)
    return {key: tuple(values.split(" or ")) for key, values in pairs}


@dataclass(frozen=True)
class Grip:
    """One row of `joint_grips.txt`; its columns, lists and conditions read."""

    row: Mapping[str, str]

    @property
    def joint(self) -> str:
        """Row of `joints.txt`."""
        return self.row["joint"]

    @property
    def length(self) -> str:
        """Field of the screw's length."""
        return self.row["length"]

    @cached_property
    def members(self) -> tuple[str, ...]:
        """What the screw passes, in order from its head, shims apart."""
        return tuple(one for one in self.row["members"].split("; ") if one)

    @cached_property
    def holds(self) -> tuple[str, ...]:
        """Sizes that bound the thread in the holder; of a nut its height."""
        return tuple(one for one in self.row["holds"].split("; ") if one)

    @cached_property
    def when(self) -> When:
        """Arrangement in which the row counts."""
        return {**condition(self.row["into"]), **condition(self.row["kind"])}

    @property
    def stack(self) -> str:
        """Shim stack that lengthens the grip, "axial", "radial" or ""."""
        return STACK[self.row["shims"]][0]

    @property
    def diameter(self) -> str:
        """Size by which engagement counts."""
        return {"wheel": "stud_diameter", "banjo": "banjo_diameter"}.get(self.joint, f"{self.joint}_screw_diameter")

    @property
    def pitch(self) -> str:
        """Size by which turns of thread count."""
        return f"{self.joint}_screw_pitch"

    @cached_property
    def reach_sizes(self) -> tuple[str, ...]:
        """Everything that says how far the screw comes through its members."""
        shims = (f"{self.stack}_shim_stack", STACK[self.row["shims"]][1]) if self.stack else ()
        return (self.length, *self.members, *(one for one in shims if one))

    def reach(self, sizes: Mapping[str, Any]) -> Any:
        """Length of screw beyond what it passes, shims included [mm]."""
        found = sizes[self.length]
        for member in self.members:
            found = found - sizes[member]
        if not self.stack:
            return found
        shims, share = sizes[f"{self.stack}_shim_stack"], STACK[self.row["shims"]][1]
        return found - (shims * sizes[share] if share else shims)


@cache
def grips() -> tuple[Grip, ...]:
    """How the joints are stacked, in the order of the table."""
    return tuple(Grip(row) for row in rows("joint_grips"))


def hole_row(diameter: float) -> Mapping[str, str]:
    """The row of `screw_holes.txt` nearest to a screw's diameter [mm]."""
    return min(rows("screw_holes"), key=lambda row: abs(float(row["diameter"]) - diameter))


def _band(thread: Thread) -> str:
    size = thread.diameter
    return "small" if size <= 7 else "medium" if size <= 11.5 else "usual" if size <= 17 else "large"


def _bearing(thread: Thread, washers: float) -> float:
    return float(hole_row(thread.diameter)["washer" if washers else "head"])


def _derive(
    key: str, title: str, parameters: tuple[str, ...], act: Callable[..., Any], when: When | None = None, decide: Callable[[Sizes], bool] | None = None,
) -> None:  # fmt: skip
    """One way to a size, from the sizes named."""

    def size(**sizes: Any) -> Any:
        return act(*(sizes[name] for name in parameters))

    DERIVATIONS.setdefault(key, []).append(Derivation(key, title, size, parameters, {}, when or {}, decide, False))
    TITLES[key] = title


def _as_it_is(size: Any) -> Any:
    return size


def _sizes_of_a_screw(joint: str) -> None:
    """Diameter, pitch (never assumed), size of hole and bearing of the screws of bracket, caliper and hat."""
    thread, screw = f"{joint}_screw_thread", f"{joint} screw"
    _derive(f"{joint}_screw_diameter", f"{screw} diameter", (thread,), lambda one: one.diameter)
    stated = lambda sizes: sizes[thread].pitch is not None  # noqa: E731
    _derive(f"{joint}_screw_pitch", f"{screw} pitch", (thread,), lambda one: float(one.pitch or 0.0), decide=stated)
    _derive(f"{joint}_band", f"{screw} size", (thread,), _band)
    _derive(f"{joint}_bearing", f"width of the {screw}'s head or washer", (thread, f"{joint}_washer_count"), _bearing)


def _sizes_of_joints() -> None:
    for key, title, *fields in EITHER:
        for field in fields:
            _derive(key, title, (field,) if field else (), _as_it_is if field else lambda: 0.0)
    for joint in ("bracket", "caliper", "hat"):
        _sizes_of_a_screw(joint)
    stacked = {(grip.joint, grip.row["into"]): grip for grip in grips() if grip.members and grip.row["into"]}
    for (joint, into), grip in stacked.items():
        if joint in CLAMPED:
            _derive(f"{joint}_clamped", CLAMPED[joint], grip.members, lambda *parts: sum(parts[1:], parts[0]), condition(into))  # fmt: skip
    _derive("banjo_washers", "both sealing washers of the banjo", ("sealing_washer_thickness",), lambda one: one * 2.0)
    _derive("banjo_diameter", "banjo screw diameter", ("caliper_inlet",), lambda end: end.thread.diameter if end.thread else 10.0)  # fmt: skip
    screw, own, flange = "caliper_screw_diameter", "caliper_hole_diameter", "bracket_caliper_hole_diameter"
    floats = (
        ((own,), "stud in bracket or screw into bracket"),
        ((flange,), "screw into caliper"),
        ((own, flange), "screw and nut"),
    )
    for holes, how in floats:
        _derive("caliper_float", "float of the screws at the caliper", (*holes, screw), _float, condition(f"caliper_fastening={how}"))  # fmt: skip


def _float(*sizes: Any) -> Any:
    """Play of a screw, the last of the sizes, in all its plain holes together [mm]."""
    *holes, screw = sizes
    return sum(holes[1:], holes[0]) - screw * float(len(holes))


_sizes_of_joints()
