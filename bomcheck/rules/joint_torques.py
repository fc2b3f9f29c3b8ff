"""Torque, friction and locking of every joint whose screws the kit describes. Torques in N·m.

A torque that cannot be right is a question, never a reason to refuse the kit; it is never used. Where none is printed there is
nothing to judge.
"""

from math import pi
from typing import Any

from bomcheck.model.box import Range
from bomcheck.model.finding import INCH, in_inches, mm
from bomcheck.model.limits import house_limits
from bomcheck.model.rule import Check, Match, write_down
from bomcheck.model.types import Thread
from bomcheck.rules.joint_table import screw_count
from bomcheck.rules.joints import manual
from bomcheck.rules.screw_strength import PSI, both_units, force, nut_factor, preload, proof_load, proof_use, slips
from bomcheck.tables import rows

LOW, HIGH = house_limits()["proof_use"].low or 0.0, house_limits()["proof_use"].high or 1.0
JOINTS = {"hat": "hat's screws", "bracket": "bracket's screws", "caliper": "caliper's screws or stud nuts"}
GRIP_FRICTION = 0.12  # between clamped faces: VDI 2230 part 1, table A5, lower end for steel and iron, from memory
PAD_FRICTION, HARD_STOP = 0.45, 10.0  # [-], MPa: a gripping pad at 100 bar; common practice, no source
WHAT = ("torque", "thread", "class", "condition")


def plausible(joint: str, **sizes: Any) -> Match:
    """Whether the printed torque is one that the screw can have.

    >>> from bomcheck.notation import read_thread
    >>> plausible("hat", hat_screw_torque=28.0, hat_screw_thread=read_thread("M8x1.25"), hat_screw_class="10.9",
    ...     hat_screw_condition="oiled").same
    True
    """
    torque, thread, grade, condition = (sizes.get(f"{joint}_screw_{what}") for what in WHAT)
    torque_key, thread_key, class_key, condition_key = (f"{joint}_screw_{what}" for what in WHAT)
    assert torque is not None
    assert thread is not None
    assert grade is not None
    shown = both_units(torque)
    if thread.pitch is None:
        return Match(None, f"{shown} on {thread.name}: the pitch is not stated", (thread_key,))
    use = proof_use(torque, thread, grade, condition)
    if use is None:
        said = f"{shown} on {thread.name}: the strength of class {grade} is not known, so the torque cannot be tested"
        return Match(None, said, (class_key,))
    low, high = sizes.get("proof_use_low", LOW), sizes.get("proof_use_high", HIGH)
    said = _arithmetic(torque, thread, grade, condition, use)
    if low <= use.low and use.high <= high:
        return Match(True, said)
    if use.low > high or use.high < low:
        return Match(None, f"{said}{_doubt(torque, use, low)}", (torque_key, class_key))
    told = "the thread being dry or lubricated" if condition is None else "what else is on the threads"
    return Match(None, f"{said}. Whether that is {low:g} to {high:g} depends on {told}", (condition_key,))


def _arithmetic(torque: float, thread: Thread, grade: str, condition: str | None, use: Range) -> str:
    """ "70 N·m (52 lb·ft) ÷ (0.15 × 12 mm) = 38.9 kN, 0.53 of the proof load 73.1 kN of M12x1.5 10.9"."""
    slick, rough = nut_factor(condition)
    load = proof_load(thread, grade) or 0.0
    tension = force(preload(torque, thread.diameter, rough), preload(torque, thread.diameter, slick))
    return (
        f"{both_units(torque)} ÷ ({_span(slick, rough, 2)} × {mm(thread.diameter)}) = {tension}, "
        f"{_span(use.low, use.high, 2)} of the proof load {force(load)} of {thread.name} {grade}"
    )


def _span(low: float, high: float, digits: int) -> str:
    first, last = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return first if first == last else f"{first} to {last}"


def _doubt(torque: float, use: Range, low: float) -> str:
    """The question that an implausible torque leads to."""
    found = slips(torque, use)
    if use.high < low:
        too = "too little to hold"
    else:
        too = (
            "more than the screw can bear, never tighten to it"
            if use.low > 1.0
            else "close to all that the screw can bear"
        )
    if found:
        return f": {too}. Which unit does the kit's sheet print? {' or '.join(str(slip) for slip in found[:2])}"
    return f": {too}. Read the figure, its unit, the class and the condition again"


def slip(joint: str, **sizes: Any) -> Match:
    """What the screws of a joint hold by friction against the pull of the pads; stated, not judged, as the figures are rough.

    >>> from bomcheck.notation import read_thread
    >>> slip("bracket", bracket_screw_torque=70.0, bracket_screw_thread=read_thread("M12x1.5"), bracket_screw_condition="oiled",
    ...     caliper_bores=(38.0, 42.0), caliper_build="fixed").said
    '2 screws hold 2 × 38.9 kN × 0.12 = 9.3 kN by friction; the pads pull with up to 22.7 kN (0.45 × 2 × 2520 mm² at 10 MPa)'
    """
    torque, thread, condition = (sizes.get(f"{joint}_screw_{what}") for what in ("torque", "thread", "condition"))
    assert torque is not None
    assert thread is not None
    area = sum(pi / 4 * bore**2 for bore in sizes["caliper_bores"])
    tension, count = preload(torque, thread.diameter, nut_factor(condition)[1]), screw_count(joint, sizes.get) or 0
    held, pull = count * tension * GRIP_FRICTION, PAD_FRICTION * 2 * area * HARD_STOP
    pistons = (
        f"{area / INCH**2:.2f} in² at {HARD_STOP / PSI:.0f} psi"
        if in_inches()
        else f"{area:.0f} mm² at {HARD_STOP:g} MPa"
    )
    said = (
        f"{count} screws hold {count} × {force(tension)} × {GRIP_FRICTION} = {force(held)} by friction; the pads pull with up to "
        f"{force(pull)} ({PAD_FRICTION} × 2 × {pistons})"
    )
    do = "Friction alone may not hold the hardest stop: the joint then bears on its screws; ask the kit maker whether it is made for that"
    return Match(True, said, do="" if held >= pull else do)


HOLDS_HAT = ("hat_nut_height", "hat_thread_depth")


def locked(joint: str, **sizes: Any) -> Match:
    """What keeps the joint from coming loose.

    >>> locked("bracket", bracket_screw_condition="threadlocker", bracket_nut_kind="nylon lock", bracket_screw_into="nut").same
    """
    condition, kind = sizes[f"{joint}_screw_condition"], sizes.get(f"{joint}_nut_kind")
    into = {"bracket": sizes.get("bracket_screw_into"), "caliper": sizes.get("caliper_fastening")}.get(joint)
    nut = into in (None, "nut", "screw and nut", "stud in bracket")
    held = [key for key in HOLDS_HAT if sizes.get(key) is not None] or sizes.get("hat_joint") == "bobbins and circlips"
    if joint == "hat" and not held and "joined rotor" not in (sizes.get("kit_comes_fitted") or ()):
        return Match(None, "neither nuts nor threads are stated for the hat's screws", HOLDS_HAT)
    if condition == "threadlocker" and kind == "nylon lock" and nut:
        said = "threadlocker is stated, and it is never used with a nylon lock nut"
        return Match(None, said, (f"{joint}_screw_condition", f"{joint}_nut_kind"))
    if condition == "threadlocker":
        return Match(True, "locked by threadlocker")
    if kind in ("all-metal lock", "nylon lock") and nut:
        return Match(True, f"locked by {kind} nuts")
    if joint == "hat" and (sizes.get("hat_nut_height") or 0.0) > 0:
        return Match(True, "locked by lock nuts: see the parts list")
    if sizes.get("hat_screw_drilled") == "yes" and joint == "hat":
        return Match(True, "locked by wire through the heads")
    do = "Nothing but the torque keeps the screws tight: mark them with paint, look again after the first drive, ask the kit maker"
    return Match(True, f"threads {condition}, no lock nut", do=do)


def _write(
    joint: str,
    kind: str,
    function: Any,
    parameters: tuple[str, ...],
    defaults: dict[str, Any],
    requires: tuple[str, ...],
) -> None:
    def check(**sizes: Any) -> Any:
        return function(joint, **sizes)

    page = next(row for row in rows("joint_pages") if row["kind"] == kind)
    check.__doc__ = manual(kind, {"what": JOINTS[joint]}, page["example"])
    title = check.__doc__.splitlines()[0]
    check.__name__ = name = f"{joint}_screw_torque_plausible" if kind == "torque_plausible" else f"{joint}_{kind}"
    when = {"rotor_build": ("two-piece",)} if joint == "hat" else {}
    write_down(Check(name, title, "screws", check, "match", when=when, requires=requires, parameters=(*parameters, *defaults), defaults=defaults))  # fmt: skip


for _joint in JOINTS:
    _keys = {what: f"{_joint}_screw_{what}" for what in WHAT}
    _open = {_keys["condition"]: None}
    _write(_joint, "torque_plausible", plausible, (_keys["torque"], _keys["thread"], _keys["class"]),
           {**_open, "proof_use_low": LOW, "proof_use_high": HIGH}, (_keys["torque"],))  # fmt: skip
    if _joint != "hat":
        _count = {"bracket_screw_count": None} if _joint == "bracket" else {}
        _write(_joint, "slip", slip, (_keys["torque"], _keys["thread"], "caliper_bores"), {**_open, **_count}, (_keys["torque"], "caliper_bores"))  # fmt: skip
    _into = {"hat": "hat_screw_drilled", "bracket": "bracket_screw_into", "caliper": "caliper_fastening"}[_joint]
    _of_hat = (*HOLDS_HAT, "hat_joint", "kit_comes_fitted")
    _kind: dict[str, None] = dict.fromkeys(_of_hat) if _joint == "hat" else {f"{_joint}_nut_kind": None}
    _write(_joint, "locked", locked, (_keys["condition"],), {**_kind, _into: None}, (_keys["condition"],))
