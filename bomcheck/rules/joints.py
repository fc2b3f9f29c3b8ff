"""The corner's screwed joints: one row of data each, the same few checks for all of them. Lengths in mm.

`tables/joints.txt` lists the joints, `tables/joint_grips.txt` how each is stacked. A screw passes members (washers, spacer, lug, ear,
bracket, shims) and what is left of it stands in a tapped part or in a nut. Whatever lengthens the grip does so in every check.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from bomcheck.model.affine import least
from bomcheck.model.rule import Check, Match, write_down
from bomcheck.model.sizes import Derivation
from bomcheck.model.types import Thread
from bomcheck.rules import joint_cures as cures
from bomcheck.rules.derived import DERIVATIONS, TITLES
from bomcheck.rules.threads import compare_threads
from bomcheck.tables import rows

When = dict[str, tuple[str, ...]]
STACK = {"": ("", ""), "radial": ("radial", ""), "axial ear": ("axial", "shims_in_ear_joint"), "axial lug": ("axial", "shims_in_lug_joint")}  # fmt: skip
PRACTICE = "common practice, no source"
BY_METAL = f"{PRACTICE}: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28"
METALS = ("steel", "iron", "aluminium")
CLAMPED = {"bracket": "parts under the bracket screw's head", "caliper": "parts clamped by the caliper screw"}
# Sizes of the worked examples, mm; everything else counts as 1.
USUAL = {
    "bracket_screw_length": 45.0, "caliper_screw_length": 60.0, "hat_screw_length": 30.0, "hub_stud_length": 45.0, "wheel_bolt_length": 40.0,
    "banjo_screw_length": 24.0, "caliper_stud_root_length": 14.0, "bracket_washers": 2.5, "caliper_washers": 2.0, "spacer_at_ear": 0.0,
    "spacer_at_caliper": 0.0, "bracket_ear_thickness": 15.0, "ear_thickness": 18.0, "bracket_caliper_thickness": 14.0, "caliper_lug_thickness": 20.0,
    "bracket_clamped": 28.0, "caliper_clamped": 38.0, "hat_clamped_thickness": 20.0, "ear_thread_depth": 20.0, "depth_at_ear": 20.0,
    "depth_at_caliper": 22.0, "caliper_thread_depth": 25.0, "hat_thread_depth": 12.0, "nut_thread_depth": 22.0, "hub_thread_depth": 18.0,
    "caliper_inlet_depth": 15.0, "bracket_nut_height": 12.0, "caliper_nut_height": 10.0, "hat_nut_height": 8.0, "hat_flange_thickness": 8.0,
    "wheel_spacer_thickness_now": 0.0, "wheel_seat_depth": 12.0, "banjo_thickness": 10.0, "banjo_washers": 2.0, "bracket_screw_diameter": 12.0,
    "caliper_screw_diameter": 10.0, "hat_screw_diameter": 8.0, "stud_diameter": 12.0, "banjo_diameter": 10.0, "bracket_screw_thread_length": 30.0,
    "caliper_screw_thread_length": 26.0, "hat_screw_thread_length": 18.0, "ear_hole_diameter": 13.5, "bracket_ear_hole_diameter": 13.5,
    "caliper_hole_diameter": 11.0, "bracket_caliper_hole_diameter": 11.0, "bracket_bearing": 24.0, "caliper_bearing": 20.0,
}  # fmt: skip


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

    @cached_property
    def joint(self) -> str:
        """Row of `joints.txt`."""
        return self.row["joint"]

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
    def length(self) -> str:
        """Field of the screw's length."""
        return self.row["length"]

    @property
    def stack(self) -> str:
        """Shim stack that lengthens the grip, "axial", "radial" or ""."""
        return STACK[self.row["shims"]][0]

    @property
    def diameter(self) -> str:
        """Size by which engagement counts."""
        return {"wheel": "stud_diameter"}.get(self.joint, f"{self._screw}_diameter")

    @property
    def pitch(self) -> str:
        """Size by which turns of thread count."""
        return f"{self._screw}_pitch"

    @property
    def _screw(self) -> str:
        return "banjo" if self.joint == "banjo" else f"{self.joint}_screw"

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


def engaged(grip: Grip, **sizes: Any) -> Any:
    """Thread held by its tapped part, in screw diameters: what comes through, at most what is tapped.

    >>> grip = next(one for one in grips() if one.row["engaged"] == "bolt_engagement")
    >>> engaged(grip, wheel_bolt_length=40.0, hat_flange_thickness=8.0, wheel_spacer_thickness_now=0.0, wheel_seat_depth=12.0,
    ...     hub_thread_depth=18.0, stud_diameter=12.0)
    1.5
    """
    return least(grip.reach(sizes), *(sizes[key] for key in grip.holds)) / sizes[grip.diameter]


def bottoms(grip: Grip, **sizes: Any) -> Any:
    """Thread left below the tip of a screw in a blind hole, or above a stud in a closed nut [mm]."""
    return sizes[grip.holds[0]] - grip.reach(sizes)


def shows(grip: Grip, **sizes: Any) -> Any:
    """Turns of thread that show beyond the nut, in pitches."""
    return (grip.reach(sizes) - sizes[grip.holds[0]]) / sizes[grip.pitch]


def shank(grip: Grip, **sizes: Any) -> Any:
    """Clamped parts beyond the end of the plain shank, in pitches; a screw is threaded from its tip."""
    return (sizes[f"{grip.length.removesuffix('_length')}_thread_length"] - grip.reach(sizes)) / sizes[grip.pitch]


def hole_over_screw(hole: str, diameter: str, **sizes: Any) -> Any:
    """Hole less screw, in diameter [mm]."""
    return sizes[hole] - sizes[diameter]


def bears(hole: str, bearing: str, **sizes: Any) -> Any:
    """Width of flat metal under head or washer, round the hole [mm]."""
    return (sizes[bearing] - sizes[hole]) / 2


def same_thread(grip: Grip, tapped: str, screw: str, **sizes: Any) -> Match:
    """Thread of the screw against the one that holds it; a look-alike is named.

    One bracket thread typed for both joints counts for both, and that is said.
    """
    keys = {"thread_at_ear": "bracket_ear_thread", "thread_at_caliper": "bracket_caliper_thread"}
    own = keys.get(tapped, tapped)
    found = compare_threads(sizes[tapped], sizes[screw], grip.row["holder"], grip.row["screw"], (own, screw))
    if tapped in keys and sizes.get(own) is None:
        return Match(found.same, f"{found.said}; one bracket thread is typed, it counts for both joints", found.ask)
    return found


def grips() -> list[Grip]:
    """How the joints are stacked, in the order of the table."""
    return [Grip(row) for row in rows("joint_grips")]


# What each check must say of itself: title, must be true, why, remedy, source. {screw}, {holder}, {mount}: of the row.
WORDS = {
    "engaged": ("{Screw} engaged in {holder}{mount}", "Enough of the {screw}'s thread stands in {holder} behind all that it passes, shims and spacers included.",
                "A screw on too few turns strips its thread, or comes out.", "Screws of another length, as far as the thread is deep.", BY_METAL),
    "bottoms": ("{Screw} before the bottom of {holder}{mount}", "The {screw} clamps before it meets the bottom of {holder}, with the thinnest shims.",
                "A screw that bottoms feels tight and leaves the joint loose.", "Another length.", PRACTICE),
    "nut": ("{Screw}'s nut on full thread{mount}", "The {screw} shows at least two turns beyond its nut, behind all that it passes, shims and spacers included.",
            "A lock nut holds by its last turns.", "Longer screws or studs, or lower nuts.", PRACTICE),
    "shank": ("{Screw}'s shank inside the grip{mount}", "The plain shank of the {screw} ends at least half a pitch inside what it clamps.",
              "A longer shank meets the nut or the tapped thread: the torque is reached and nothing is clamped.", "Screws with more thread, or threaded throughout.", PRACTICE),
    "thread": ("{Screw} thread in {holder}", "The {screw} has the thread and pitch that {holder} is tapped with.",
               "A screw of nearly the right thread takes the other thread with it.", "Screws or studs of the tapped thread.", f"{PRACTICE}; threads of ISO 261 and ASME B1.1"),
    "hole": ("{Screw} in the hole of {holder}", "The {screw} passes the plain hole of {holder}, and the hole is no larger than ISO 273 has it.",
             "Too tight does not go in; too loose lets the joint shift.", "Stepped sleeves where the hole is too large, drilling where it is too small.", "ISO 273, medium series"),
    "bears": ("{Screw}'s head or washer on {holder}", "Flat metal carries the head, or the washer where there is one, all round the hole of {holder}.",
              "A head that sinks into its hole loses its clamping.", "Larger hardened washers.", f"{PRACTICE}; heads of ISO 4014, washers of ISO 7089"),
}  # fmt: skip


def manual(kind: str, words: Mapping[str, str], example: str) -> str:
    """The manual page of a check made from a row."""
    title, true, why, remedy, source = (text.format(**words) for text in WORDS[kind])
    parts = (("Must be true", true), ("Why", why), ("Example", example), ("Remedy", remedy), ("Source", source))
    return f"{title}\n\n" + "\n".join(f"{heading}:\n    {text}" for heading, text in parts)


def _example(name: str, check: Any, parameters: tuple[str, ...]) -> str:
    """The check on usual sizes, as a call and its outcome; of a match check two threads."""
    if check.func is same_thread:
        return f'>>> {name}(read_thread("M12x1.5"), read_thread("M12x1.75")).same\n    False'
    sizes = {key: USUAL.get(key, 1.0) for key in parameters}
    return f">>> {name}({', '.join(map(str, sizes.values()))})\n    {check(**sizes)}"


def _limits(text: str) -> tuple[str | dict[str, str], str]:
    """(limit or limits, field that chooses) of "screw_engagement ear_material", or of one limit's name."""
    family, _, chooses = text.partition(" ")
    metals = ("steel", "aluminium") if chooses == "nut_material" else METALS
    return ({metal: f"{family}_{metal}" for metal in metals}, chooses) if chooses else (family, "")


def _write(
    name: str, kind: str, function: Any, parameters: tuple[str, ...], words: dict[str, str], **rest: Any
) -> None:
    """Take in one check. function: a partial whose open arguments are sizes."""

    def check(**sizes: Any) -> Any:
        return function(**sizes)

    words = {"mount": "", **words}
    page = manual(
        kind, {**words, "Screw": words["screw"][:1].upper() + words["screw"][1:]}, _example(name, function, parameters)
    )
    check.__doc__, check.__name__ = page, name
    of_wheel = words["joint"] == "wheel"
    interface = "wheel" if of_wheel else "line" if words["joint"] == "banjo" else "mount"
    write_down(Check(name, page.splitlines()[0], interface, check, "match" if kind == "thread" else "range", parameters=parameters, **rest))  # fmt: skip


def _of_grip(grip: Grip) -> Iterator[tuple[str, str, Any, tuple[str, ...], dict[str, Any]]]:
    """(kind, name, function, parameters, rest) of each check that the row names."""
    row, reach = grip.row, grip.reach_sizes
    if row["engaged"]:
        limit, by = _limits(row["limit"])
        rest: dict[str, Any] = {"limit": limit, "limit_by": by, "unit": "x diameter", "stack": grip.stack}
        yield "engaged", row["engaged"], engaged, (*reach, *grip.holds, grip.diameter), rest
    if row["bottoms"]:
        rest = {"limit": row["bottom"], "stack": grip.stack, "when": {**grip.when, **condition(row["blind"])}}
        yield "bottoms", row["bottoms"], bottoms, (grip.holds[0], *reach), rest
    if row["nut"]:
        rest = {"limit": "lock_nut_protrusion", "unit": "pitches", "stack": grip.stack}
        yield "nut", row["nut"], shows, (*reach, grip.holds[0], grip.pitch), rest
    if row["shank"]:
        rest = {"limit": "thread_in_grip", "unit": "pitches", "stack": grip.stack}
        yield "shank", row["shank"], shank, (*reach, row["needs"], grip.pitch), rest


def _write_grips() -> None:
    for grip in grips():
        words = {**grip.row, "mount": ", axial lug" if "caliper_mount=axial lug" in grip.row["kind"] else ""}
        requires = (grip.row["needs"],) if grip.row["needs"] else ()
        for kind, name, function, parameters, rest in _of_grip(grip):
            remedy = cures.remedy(kind, grip)
            rest = {"when": grip.when, "requires": requires, "remedy": remedy, **rest}
            _write(name, kind, partial(function, grip), parameters, words, **rest)
        if grip.row["thread"]:
            name, tapped = grip.row["thread"].split(": ")
            screw = f"{grip.joint}_screw_thread"
            own = {"thread_at_ear": "bracket_ear_thread", "thread_at_caliper": "bracket_caliper_thread"}.get(tapped)
            parameters, defaults = ((tapped, screw, own), {own: None}) if own else ((tapped, screw), {})
            rest = {
                "when": grip.when,
                "requires": requires,
                "remedy": cures.thread_remedy(grip, tapped),
                "defaults": defaults,
            }
            _write(name, "thread", partial(same_thread, grip, tapped, screw), parameters, words, **rest)


# (check, joint, plain hole, condition, whose hole): the holes that screws pass.
HOLES = (
    ("screw_in_ear_hole", "bracket", "ear_hole_diameter", "ear_hole=plain through", "the ear"),
    ("screw_in_bracket_hole", "bracket", "bracket_ear_hole_diameter", "bracket_screw_into=ear or nut", "the bracket"),
    ("screw_in_caliper_hole", "caliper", "caliper_hole_diameter",
     "caliper_fastening=stud in bracket or screw and nut or screw into bracket", "the caliper"),
    ("screw_in_bracket_caliper_hole", "caliper", "bracket_caliper_hole_diameter",
     "caliper_fastening=screw and nut or screw into caliper", "the bracket at the caliper"),
)  # fmt: skip
BANDS = {"small": "ear_hole_small", "medium": "ear_hole_medium", "usual": "ear_hole", "large": "ear_hole_large"}


def _write_holes() -> None:
    for name, joint, hole, when, holder in HOLES:
        words = {"joint": joint, "screw": f"{joint} screw", "holder": holder}
        diameter, bearing = f"{joint}_screw_diameter", f"{joint}_bearing"
        rest: dict[str, Any] = {"when": condition(when), "unit": "mm"}
        fit = partial(hole_over_screw, hole, diameter)
        _write(name, "hole", fit, (hole, diameter), words, limit=BANDS, limit_by=f"{joint}_band", remedy=cures.hole_remedy(joint, hole), **rest)  # fmt: skip
        flat = partial(bears, hole, bearing)
        _write(f"{name}_covered", "bears", flat, (bearing, hole), words, limit="head_bearing", remedy=cures.washer_remedy(joint, hole), **rest)  # fmt: skip


def hole_row(diameter: float) -> Mapping[str, str]:
    """The row of `screw_holes.txt` nearest to a screw's diameter [mm]."""
    return min(rows("screw_holes"), key=lambda row: abs(float(row["diameter"]) - diameter))


def _band(thread: Thread) -> str:
    size = thread.diameter
    return "small" if size <= 7 else "medium" if size <= 11.5 else "usual" if size <= 17 else "large"


def _bearing(thread: Thread, washers: float) -> float:
    return float(hole_row(thread.diameter)["washer" if washers else "head"])


def _derive(
    key: str, title: str, parameters: tuple[str, ...], act: Callable[..., Any], when: When | None = None
) -> None:
    """One way to a size that every joint has, from the sizes named."""

    def size(**sizes: Any) -> Any:
        return act(*(sizes[name] for name in parameters))

    way = Derivation(key, title, size, parameters, {}, when or {}, None, False)
    DERIVATIONS.setdefault(key, []).append(way)
    TITLES[key] = title


def _sizes_of_joints() -> None:
    for joint in CLAMPED:
        thread, screw = f"{joint}_screw_thread", f"{joint} screw"
        _derive(f"{joint}_band", f"{screw} size", (thread,), _band)
        _derive(
            f"{joint}_bearing", f"width of the {screw}'s head or washer", (thread, f"{joint}_washer_count"), _bearing
        )
    stacked = {(grip.joint, grip.row["into"]): grip for grip in grips() if grip.members and grip.row["into"]}
    for (joint, into), grip in stacked.items():
        if joint in CLAMPED:
            _derive(
                f"{joint}_clamped",
                CLAMPED[joint],
                grip.members,
                lambda *parts: sum(parts[1:], parts[0]),
                condition(into),
            )


_sizes_of_joints()
_write_grips()
_write_holes()
