"""The same few checks for every screwed joint of the table: thread, hole, engagement, tip, shank, nut, bearing. Lengths in mm."""

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from bomcheck.model.affine import least
from bomcheck.model.rule import Check, Match, write_down
from bomcheck.rules import joint_cures as cures
from bomcheck.rules.joint_table import BANDS, OWN_THREAD, Grip, condition, grips
from bomcheck.rules.threads import compare_threads
from bomcheck.tables import rows

METALS = ("steel", "iron", "aluminium")


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
    own = OWN_THREAD.get(tapped, tapped)
    found = compare_threads(sizes[tapped], sizes[screw], grip.row["holder"], grip.row["screw"], (own, screw))
    if tapped in OWN_THREAD and sizes.get(own) is None:
        return Match(found.same, f"{found.said}; one bracket thread is typed, it counts for both joints", found.ask)
    return found


def manual(kind: str, words: Mapping[str, str], example: str) -> str:
    """The manual page of a check made from a row, by `tables/joint_pages.txt`."""
    page = next(row for row in rows("joint_pages") if row["kind"] == kind)
    heads = (("Must be true", "true"), ("Why", "why"), ("Example", ""), ("Remedy", "remedy"), ("Source", "source"))
    texts = (f"{head}:\n    {page[column].format(**words) if column else example}" for head, column in heads)
    return f"{page['title'].format(**words)}\n\n" + "\n".join(texts)


def _example(name: str, check: Any, parameters: tuple[str, ...]) -> str:
    """The check on usual sizes, as a call and its outcome; of a match check two threads."""
    if check.func is same_thread:
        return f'>>> {name}(read_thread("M12x1.5"), read_thread("M12x1.75")).same\n    False'
    usual = {row["key"]: float(row["size"]) for row in rows("joint_examples")}
    sizes = {key: usual.get(key, 1.0) for key in parameters}
    return f">>> {name}({', '.join(map(str, sizes.values()))})\n    {check(**sizes)}"


def _write(
    kind: str, name: str, function: Any, parameters: tuple[str, ...], words: dict[str, str], **rest: Any
) -> None:
    """Take in one check. function: a partial whose open arguments are sizes."""

    def check(**sizes: Any) -> Any:
        return function(**sizes)

    words = {"mount": "", "Screw": words["screw"][:1].upper() + words["screw"][1:], **words}
    check.__doc__, check.__name__ = manual(kind, words, _example(name, function, parameters)), name
    interface = {"wheel": "wheel", "banjo": "line"}.get(words["joint"], "mount")
    form = "match" if kind == "thread" else "range"
    write_down(Check(name, check.__doc__.splitlines()[0], interface, check, form, parameters=parameters, **rest))


def _limits(text: str) -> tuple[str | dict[str, str], str]:
    """(limit or limits, field that chooses) of "screw_engagement ear_material", or of one limit's name."""
    family, _, chooses = text.partition(" ")
    metals = ("steel", "aluminium") if chooses == "nut_material" else METALS
    return ({metal: f"{family}_{metal}" for metal in metals}, chooses) if chooses else (family, "")


def _of_grip(grip: Grip) -> Iterator[tuple[str, Any, tuple[str, ...], dict[str, Any]]]:
    """(kind, function, parameters, rest) of each range check that the row names."""
    row, reach = grip.row, grip.reach_sizes
    if row["engaged"]:
        limit, by = _limits(row["limit"])
        yield (
            "engaged", engaged, (*reach, *grip.holds, grip.diameter),
            {"limit": limit, "limit_by": by, "unit": "x diameter"},
        )  # fmt: skip
    if row["bottoms"]:
        blind = {"limit": row["bottom"], "when": {**grip.when, **condition(row["blind"])}}
        yield "bottoms", bottoms, (grip.holds[0], *reach), blind
    if row["nut"]:
        yield "nut", shows, (*reach, grip.holds[0], grip.pitch), {"limit": "lock_nut_protrusion", "unit": "pitches"}
    if row["shank"]:
        yield "shank", shank, (*reach, row["needs"], grip.pitch), {"limit": "thread_in_grip", "unit": "pitches"}


def _write_grip(grip: Grip) -> None:
    words = {**grip.row, "mount": ", axial lug" if "caliper_mount=axial lug" in grip.row["kind"] else ""}
    basis = {"when": grip.when, "requires": (grip.row["needs"],) if grip.row["needs"] else ()}
    for kind, function, parameters, rest in _of_grip(grip):
        rest = {**basis, "stack": grip.stack, "remedy": cures.remedy(kind, grip), **rest}
        _write(kind, grip.row[kind], partial(function, grip), parameters, words, **rest)
    if grip.row["thread"]:
        name, tapped = grip.row["thread"].split(": ")
        screw, own = f"{grip.joint}_screw_thread", OWN_THREAD.get(tapped)
        rest = {**basis, "remedy": cures.thread_remedy(grip, tapped), "defaults": {own: None} if own else {}}
        parameters = (tapped, screw, own) if own else (tapped, screw)
        _write("thread", name, partial(same_thread, grip, tapped, screw), parameters, words, **rest)


def _write_hole(row: Mapping[str, str]) -> None:
    joint, hole = row["joint"], row["hole"]
    words = {"joint": joint, "screw": f"{joint} screw", "holder": row["holder"]}
    diameter, bearing, when = f"{joint}_screw_diameter", f"{joint}_bearing", condition(row["when"])
    fit: dict[str, Any] = {
        "limit": BANDS, "limit_by": f"{joint}_band", "remedy": cures.hole_remedy(joint, hole), "when": when,
    }  # fmt: skip
    _write("hole", row["check"], partial(hole_over_screw, hole, diameter), (hole, diameter), words, **fit)
    flat = {"limit": "head_bearing", "remedy": cures.washer_remedy(joint, hole), "when": when}
    _write("bears", f"{row['check']}_covered", partial(bears, hole, bearing), (bearing, hole), words, **flat)


for _grip in grips():
    _write_grip(_grip)
for _row in rows("joint_holes"):
    _write_hole(_row)
