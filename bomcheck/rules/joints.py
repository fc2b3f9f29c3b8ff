"""The same few checks for every screwed joint of the table: thread, hole, engagement, tip, shank, nut, bearing. Lengths in mm."""

from collections.abc import Callable, Mapping
from functools import partial
from operator import sub
from typing import Any

from bomcheck.model.affine import least, most
from bomcheck.model.rule import Check, Match, arguments_of, match, never, write_down
from bomcheck.model.types import Thread
from bomcheck.rules import joint_cures as cures
from bomcheck.rules import wheel_nuts as wheel
from bomcheck.rules.joint_table import BANDS, OWN_THREAD, Grip, condition, grips, listed
from bomcheck.tables import rows


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
    return (sizes[grip.row["needs"]] - grip.reach(sizes)) / sizes[grip.pitch]


def compare_threads(first: Thread, second: Thread, one: str, other: str, keys: tuple[str, str]) -> Match:
    """Same form, diameter and pitch. one, other: what the threads are on. keys: their fields, to ask for a pitch."""
    said = f"{one}: {first.name}, {other}: {second.name}"
    if first.form != second.form or abs(first.diameter - second.diameter) > 1e-6:
        return Match(False, _with_reason(said, first, second))
    blank = tuple(key for key, thread in zip(keys, (first, second), strict=True) if thread.pitch is None)
    if blank:
        return Match(None, f"{said}: the pitch is not stated", blank)
    same = first.name == second.name or abs((first.pitch or 0.0) - (second.pitch or 0.0)) < 1e-6
    return Match(same, said if same else _with_reason(said, first, second))


def _with_reason(said: str, first: Thread, second: Thread) -> str:
    from bomcheck.notation.thread_sizes import look_alike

    reason = look_alike(first, second)
    return f"{said}. {reason}" if reason else said


def same_thread(grip: Grip, **sizes: Any) -> Match:
    """Thread of the screw against the one that holds it; a look-alike is named.

    One bracket thread typed for both joints counts for both, and that is said.
    """
    tapped, screw = grip.row["tapped"], grip.row["fitted"]
    own = OWN_THREAD.get(tapped, tapped)
    found = compare_threads(sizes[tapped], sizes[screw], grip.row["holder"], grip.row["screw"], (own, screw))
    if tapped in OWN_THREAD and sizes.get(own) is None:
        return Match(found.same, f"{found.said}; one bracket thread is typed, it counts for both joints", found.ask)
    return found


# How the sizes of a row of `joint_holes.txt` are compared, by its page: play in diameter; flat metal round the hole; spacing.
COMPARED: dict[str, Callable[..., Any]] = {
    **dict.fromkeys(("hole", "over", "enters", "centres"), sub),
    "bears": lambda bearing, hole: (bearing - hole) / 2,
    "spacing": lambda bracket, other, play: most(bracket - other, other - bracket) - play,
}


def manual(kind: str, words: Mapping[str, str], example: str) -> str:
    """The manual page of a check made from a row, by `tables/joint_pages.txt`."""
    page = next(row for row in rows("joint_pages") if row["kind"] == kind)
    heads = (("Must be true", "true"), ("Why", "why"), ("Example", ""), ("Remedy", "remedy"), ("Source", "source"))
    texts = (f"{head}:\n    {page[column].format(**words) if column else example}" for head, column in heads)
    return f"{page['title'].format(**words)}\n\n" + "\n".join(texts)


def _example(kind: str, name: str, check: Any, parameters: tuple[str, ...]) -> str:
    """The page's own example, or the check on usual sizes, as a call and its outcome; of threads two look-alikes."""
    if kind == "thread":
        return f'>>> {name}(read_thread("M12x1.5"), read_thread("M12x1.75")).same\n    False'
    own = next(row for row in rows("joint_pages") if row["kind"] == kind)["example"]
    usual = {row["key"]: float(row["size"]) for row in rows("joint_examples")}
    sizes = {key: usual.get(key, 1.0) for key in parameters}
    return own or f">>> {name}({', '.join(map(str, sizes.values()))})\n    {round(check(**sizes), 9)}"


def _write(kind: str, row: Mapping[str, str], function: Any, parameters: tuple[str, ...], **rest: Any) -> None:
    """Take in one check of a row. function: a partial whose open arguments are sizes."""

    def check(**sizes: Any) -> Any:
        return function(**sizes)

    name, mount = row.get("check") or row[kind], ", axial lug" if "=axial lug" in row.get("kind", "") else ""
    words = {**row, "mount": mount, "Screw": row["screw"][:1].upper() + row["screw"][1:]}
    check.__doc__, check.__name__ = manual(kind, words, _example(kind, name, function, parameters)), name
    interface = {"wheel": "wheel", "banjo": "line"}.get(row["joint"], "mount")
    form = "match" if kind in ("thread", "seat", "centred") else "range"
    write_down(Check(name, check.__doc__.splitlines()[0], interface, check, form, parameters=parameters, **rest))


def _write_hole(row: Mapping[str, str]) -> None:
    sizes, kind = listed(row["sizes"]), row["page"]
    limit = {"limit": row["limit"]} if row["limit"] else {"limit": BANDS, "limit_by": f"{row['joint']}_band"}
    remedy = (wheel.HOLES if row["joint"] == "wheel" else cures.HOLES)[kind](row["joint"], *sizes)
    rest: dict[str, Any] = {"when": condition(row["when"]), "requires": listed(row["requires"]), "remedy": remedy}
    _write(kind, row, lambda **known: COMPARED[kind](*(known[name] for name in sizes)), sizes, **limit, **rest)


def _write_grip(grip: Grip) -> None:
    row, reach, held = grip.row, grip.reach_sizes, grip.holds[:1]
    family, _, by = row["limit"].partition(" ")
    metals = cures.METALS[::2] if by == "nut_material" else cures.METALS
    limit = {metal: f"{family}_{metal}" for metal in metals} if by else family
    own = (OWN_THREAD[row["tapped"]],) if row["tapped"] in OWN_THREAD else ()
    blind = {**grip.when, **condition(row["blind"])}
    kinds: dict[str, tuple[Any, tuple[str, ...], dict[str, Any]]] = {
        "engaged": (engaged, (*reach, *grip.holds, grip.diameter), {"limit": limit, "limit_by": by, "unit": "x diameter"}),
        "bottoms": (bottoms, (*held, *reach), {"limit": row["bottom"], "when": blind}),
        "nut": (shows, (*reach, *held, grip.pitch), {"limit": "lock_nut_protrusion", "unit": "pitches"}),
        "shank": (shank, (*reach, row["needs"], grip.pitch), {"limit": "thread_in_grip", "unit": "pitches"}),
        "thread": (same_thread, (row["tapped"], row["fitted"], *own), {"defaults": dict.fromkeys(own), "stack": ""}),
    }  # fmt: skip
    for kind, (function, parameters, rest) in kinds.items():
        if row[kind]:
            rest = {"when": grip.when, "requires": listed(row["needs"]), "stack": grip.stack, **rest}
            remedy = wheel.STUDS.get(row[kind], cures.remedy)(kind, grip)
            _write(kind, row, partial(function, grip), parameters, remedy=remedy, **rest)


@match(
    remedy=never(
        "Nothing holds the bracket like this: ask the kit maker for the screws, nuts or bracket that this knuckle takes"
    )
)
def bracket_screw_held(bracket_screw_into: str, ear_hole: str) -> Match:
    """What holds the bracket's screws

    Must be true:
        Screws that go into the ear find a thread there; screws that go into the bracket or a nut pass the ear without one.
    Why:
        A screw in a plain hole holds nothing, and one that turns in two threads clamps nothing.
    Example:
        >>> bracket_screw_held("ear", "plain through").same
        False

    Remedy:
        None: the kit maker's screws or bracket for this knuckle.
    Source:
        common practice, no source
    """
    tapped = ear_hole.startswith("tapped")
    return Match(
        tapped is (bracket_screw_into == "ear"), f"ear: {ear_hole}, the bracket's screws go into: {bracket_screw_into}"
    )


for _row in rows("joint_holes"):
    _write_hole(_row)
for _grip in grips():
    _write_grip(_grip)
for _kind, _name, _function, _rest in wheel.MATCHES:
    _sizes, _blank = arguments_of(_function)
    _write(_kind, {"joint": "wheel", "screw": "", "check": _name}, _function, _sizes, defaults=_blank, **_rest)
