"""The corner's screwed joints as data, from `tables/joints.txt`, `joint_grips.txt` and `joint_holes.txt`, and the sizes that every joint has.

A screw passes members (washers, spacer, lug, ear, bracket, shims); what is left of it stands in a tapped part or in a nut. Lengths in mm.
"""

from collections.abc import Callable, Mapping
from functools import cache, reduce
from operator import sub
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.model.sizes import Derivation, Sizes
from bomcheck.model.types import Thread
from bomcheck.rules.derived import DERIVATIONS, TITLES
from bomcheck.tables import rows

When = dict[str, tuple[str, ...]]
JOINTS = {row["joint"]: row for row in rows("joints")}
STACK = {"": ("", ""), "radial": ("radial", ""), "axial ear": ("axial", "shims_in_ear_joint"), "axial lug": ("axial", "shims_in_lug_joint")}  # fmt: skip
CLAMPED = {"bracket": "parts under the bracket screw's head", "caliper": "parts clamped by the caliper screw"}
OWN_THREAD = {"thread_at_ear": "bracket_ear_thread", "thread_at_caliper": "bracket_caliper_thread"}
BANDS = {"small": "ear_hole_small", "medium": "ear_hole_medium", "usual": "ear_hole", "large": "ear_hole_large"}


def condition(text: str) -> When:
    """Read "field=value or value; field=value".

    >>> condition("ear_hole=tapped through or tapped blind")
    {'ear_hole': ('tapped through', 'tapped blind')}
    """
    pairs = (one.split("=") for one in text.split("; ") if one)
    return {key: tuple(values.split(" or ")) for key, values in pairs}


def listed(text: str) -> tuple[str, ...]:
    """Read "one; other"."""
    return tuple(one for one in text.split("; ") if one)


@dataclass(frozen=True)
class Grip:
    """One row of `joint_grips.txt`, read. joint: row of `joints.txt`. length: field of the screw's length. members: what it passes from
    its head, shims apart. holds: sizes that bound the thread in the holder; of a nut its height. when: arrangement in which the row
    counts. stack: shims that lengthen the grip, "axial", "radial" or ""; share: size that says whether they lie here. diameter, pitch:
    sizes by which engagement and turns count."""

    row: Mapping[str, str]
    joint: str
    length: str
    members: tuple[str, ...]
    holds: tuple[str, ...]
    when: When
    stack: str
    share: str
    diameter: str
    pitch: str

    @property
    def reach_sizes(self) -> tuple[str, ...]:
        """Everything that says how far the screw comes through its members."""
        shims = (f"{self.stack}_shim_stack", self.share) if self.stack else ()
        return (self.length, *self.members, *(one for one in shims if one))

    def reach(self, sizes: Mapping[str, Any]) -> Any:
        """Length of screw beyond what it passes, shims included [mm]."""
        passed = [sizes[member] for member in self.members]
        if self.stack:
            shims = sizes[f"{self.stack}_shim_stack"]
            passed.append(shims * sizes[self.share] if self.share else shims)
        return reduce(sub, passed, sizes[self.length])


@cache
def grips() -> tuple[Grip, ...]:
    """How the joints are stacked, in the order of the table."""
    return tuple(
        Grip(
            row, row["joint"], row["length"], listed(row["members"]), listed(row["holds"]),
            {**condition(row["into"]), **condition(row["kind"])}, *STACK[row["shims"]],
            JOINTS[row["joint"]]["diameter"], f"{row['joint']}_screw_pitch",
        )
        for row in rows("joint_grips")
    )  # fmt: skip


def screw_count(joint: str, known: Callable[[str], Any]) -> int | None:
    """Screws of a joint at one corner, or what is usual; None where nobody said. known: a size, None where it is blank."""
    key, _, usual = JOINTS[joint]["count"].partition(" else ")
    found = key if key.isdigit() else known(key) or usual
    return int(found) if found else None


def shim_joint(name: str, known: Callable[[str], Any]) -> str:
    """The joint in which a shim stack lies, "axial" or "radial"."""
    return "caliper" if name == "radial" or known("axial_shim_joint") == "lug" else "bracket"


def shim_screws(name: str, known: Callable[[str], Any]) -> int:
    """Screws of one corner at which such a stack lies, each with the same pieces."""
    return screw_count(shim_joint(name, known), known) or 1


def hole_row(diameter: float) -> Mapping[str, str]:
    """The row of `screw_holes.txt` nearest to a screw's diameter [mm]."""
    return min(rows("screw_holes"), key=lambda row: abs(float(row["diameter"]) - diameter))


def _band(thread: Thread) -> str:
    size = thread.diameter
    return "small" if size <= 7 else "medium" if size <= 11.5 else "usual" if size <= 17 else "large"


def _bearing(thread: Thread, washers: float) -> float:
    return float(hole_row(thread.diameter)["washer" if washers else "head"])


def _derive(key: str, title: str, parameters: tuple[str, ...], act: Callable[..., Any], when: str = "", decide: Callable[[Sizes], bool] | None = None) -> None:  # fmt: skip
    """One way to a size, from the sizes named."""

    def size(**sizes: Any) -> Any:
        return act(*(sizes[name] for name in parameters))

    way = Derivation(key, title, size, parameters, {}, condition(when), decide, False)
    DERIVATIONS.setdefault(key, []).append(way)
    TITLES[key] = title


def _total(*sizes: Any) -> Any:
    return sum(sizes[1:], sizes[0]) if sizes else 0.0


def _sizes_of_a_screw(joint: str) -> None:
    """Diameter, pitch (never assumed), size of hole and bearing of the screws of bracket, caliper and hat."""
    thread, screw = f"{joint}_screw_thread", f"{joint} screw"
    _derive(f"{joint}_screw_diameter", f"{screw} diameter", (thread,), lambda one: one.diameter)
    stated = lambda sizes: sizes[thread].pitch is not None  # noqa: E731
    _derive(f"{joint}_screw_pitch", f"{screw} pitch", (thread,), lambda one: float(one.pitch or 0.0), decide=stated)
    _derive(f"{joint}_band", f"{screw} size", (thread,), _band)
    _derive(f"{joint}_bearing", f"width of the {screw}'s head or washer", (thread, f"{joint}_washer_count"), _bearing)


def _washers_of_a_screw(joint: str) -> None:
    """All washers on one screw together [mm]; where there are none, their thickness does not matter."""
    count, key, title = f"{joint}_washer_count", f"{joint}_washers", f"washers on a {joint} screw"
    _derive(key, title, (count, f"{joint}_washer_thickness"), lambda number, thick: thick * float(number))
    _derive(key, title, (count,), lambda number: 0.0 * number, decide=lambda sizes: bool(sizes[count] == 0))


def _sizes_of_joints() -> None:
    for row in rows("joint_sizes"):
        parts = listed(f"{row['sum']}; {row['screw']}")
        plays = (lambda *sizes: _total(*sizes[:-1]) - sizes[-1] * float(len(sizes) - 1)) if row["screw"] else _total
        _derive(row["key"], row["title"], parts, plays, row["when"])
    for place in ("ear", "lug"):  # 1 where the axial shims lie there
        key, title = f"shims_in_{place}_joint", f"axial shims in the {place} joint"
        _derive(key, title, ("axial_shim_joint",), lambda at, place=place: float(at == place))
    for joint in CLAMPED:
        _washers_of_a_screw(joint)
    for joint in ("bracket", "caliper", "hat"):
        _sizes_of_a_screw(joint)
    stacked = {(grip.joint, grip.row["into"]): grip for grip in grips() if grip.members and grip.row["into"]}
    for (joint, into), grip in stacked.items():
        if joint in CLAMPED:
            _derive(f"{joint}_clamped", CLAMPED[joint], grip.members, _total, into)
    inlet, threaded = ("caliper_inlet",), lambda sizes: sizes["caliper_inlet"].thread is not None
    _derive("banjo_diameter", "banjo screw diameter", inlet, lambda end: end.thread.diameter, decide=threaded)


_sizes_of_joints()
