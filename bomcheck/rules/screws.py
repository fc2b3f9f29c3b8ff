"""Is the printed torque one that the screw can have? Outside what its strength allows, a unit or a class was misread.

A torque that cannot be right is a question, never a reason to refuse the kit. Where none is printed there is nothing to
judge. Torques in N·m.
"""

from bomcheck.model.box import Range
from bomcheck.model.finding import mm
from bomcheck.model.limits import house_limits
from bomcheck.model.rule import Match, match
from bomcheck.model.types import Thread
from bomcheck.rules.screw_strength import both_units, nut_factor, preload, proof_load, proof_use, slips

LOW, HIGH = house_limits()["proof_use"].low or 0.0, house_limits()["proof_use"].high or 1.0


@match(when={"rotor_build": "two-piece"}, requires=("hat_screw_torque",))
def hat_screw_torque_plausible(
    hat_screw_torque: float, hat_screw_thread: Thread, hat_screw_class: str, hat_screw_condition: str | None = None,
    proof_use_low: float = LOW, proof_use_high: float = HIGH,
) -> Match:  # fmt: skip
    """Torque of the hat's screws

    Must be true:
        The printed torque loads the screws to a quarter of their proof strength at least, and never beyond it.
    Why:
        A figure in lb·in that is read as lb·ft tears a small screw off; the other way round it stays loose.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> hat_screw_torque_plausible(28.0, read_thread("M8x1.25"), "10.9", "oiled").same
        True

    Remedy:
        None: the figure, its unit and the class are read again on the kit's sheet.
    Source:
        T = K d F; stress areas of ISO 898-1 and ASME B1.1, proof strengths of ISO 898-1 and SAE J429, nut factors:
        common practice, no source
    """
    keys = ("hat_screw_torque", "hat_screw_class", "hat_screw_condition", "hat_screw_thread")
    return _judged(
        hat_screw_torque, hat_screw_thread, hat_screw_class, hat_screw_condition, (proof_use_low, proof_use_high), keys
    )


@match(requires=("bracket_screw_torque",))
def bracket_screw_torque_plausible(
    bracket_screw_torque: float, bracket_screw_thread: Thread, bracket_screw_class: str, bracket_screw_condition: str | None = None,
    proof_use_low: float = LOW, proof_use_high: float = HIGH,
) -> Match:  # fmt: skip
    """Torque of the bracket's screws

    Must be true:
        The printed torque loads the screws to a quarter of their proof strength at least, and never beyond it.
    Why:
        These screws carry the whole braking force; a wrong unit leaves them loose or broken.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> bracket_screw_torque_plausible(70.0, read_thread("M12x1.5"), "10.9", "oiled").same
        True

    Remedy:
        None: the figure, its unit and the class are read again on the kit's sheet.
    Source:
        T = K d F; stress areas of ISO 898-1 and ASME B1.1, proof strengths of ISO 898-1 and SAE J429, nut factors:
        common practice, no source
    """
    keys = ("bracket_screw_torque", "bracket_screw_class", "bracket_screw_condition", "bracket_screw_thread")
    return _judged(
        bracket_screw_torque,
        bracket_screw_thread,
        bracket_screw_class,
        bracket_screw_condition,
        (proof_use_low, proof_use_high),
        keys,
    )


@match(requires=("caliper_screw_torque",))
def caliper_screw_torque_plausible(
    caliper_screw_torque: float, caliper_screw_thread: Thread, caliper_screw_class: str, caliper_screw_condition: str | None = None,
    proof_use_low: float = LOW, proof_use_high: float = HIGH,
) -> Match:  # fmt: skip
    """Torque of the caliper's screws or stud nuts

    Must be true:
        The printed torque loads the screws to a quarter of their proof strength at least, and never beyond it.
    Why:
        These screws carry the whole braking force; a wrong unit leaves them loose or broken.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> caliper_screw_torque_plausible(35.0, read_thread("3/8-24"), "grade 8", "oiled").same
        True

    Remedy:
        None: the figure, its unit and the class are read again on the kit's sheet.
    Source:
        T = K d F; stress areas of ISO 898-1 and ASME B1.1, proof strengths of ISO 898-1 and SAE J429, nut factors:
        common practice, no source
    """
    keys = ("caliper_screw_torque", "caliper_screw_class", "caliper_screw_condition", "caliper_screw_thread")
    return _judged(
        caliper_screw_torque,
        caliper_screw_thread,
        caliper_screw_class,
        caliper_screw_condition,
        (proof_use_low, proof_use_high),
        keys,
    )


def _judged(
    torque: float,
    thread: Thread,
    grade: str,
    condition: str | None,
    limits: tuple[float, float],
    keys: tuple[str, str, str, str],
) -> Match:
    """keys: fields of torque, class, condition and thread, in this order."""
    torque_key, class_key, condition_key, thread_key = keys
    shown = both_units(torque)
    if thread.pitch is None:
        return Match(None, f"{shown} on {thread.name}: the pitch is not stated", (thread_key,))
    use = proof_use(torque, thread, grade, condition)
    if use is None:
        said = f"{shown} on {thread.name}: the strength of class {grade!r} is not known, so the torque cannot be tested"
        return Match(None, said.replace("'", ""), (class_key,))
    said = _arithmetic(torque, thread, grade, condition, use)
    low, high = limits
    if low <= use.low and use.high <= high:
        return Match(True, said)
    if use.low > high or use.high < low:
        return Match(None, f"{said}{_other_unit(torque, use, low)}", (torque_key, class_key))
    return Match(
        None,
        f"{said}. Whether that is {low:g} to {high:g} depends on the thread being dry or lubricated",
        (condition_key,),
    )


def _arithmetic(torque: float, thread: Thread, grade: str, condition: str | None, use: Range) -> str:
    """ "70 N·m (52 lb·ft) ÷ (0.15 × 12 mm) = 38.9 kN, 0.53 of the proof load 73.1 kN of M12x1.5 10.9"."""
    slick, rough = nut_factor(condition)
    load = proof_load(thread, grade) or 0.0
    tension = _span(preload(torque, thread.diameter, rough) / 1000, preload(torque, thread.diameter, slick) / 1000, 1)
    size = mm(thread.diameter)
    return (
        f"{both_units(torque)} ÷ ({_span(slick, rough, 2)} × {size}) = {tension} kN, {_span(use.low, use.high, 2)} of the proof load "
        f"{load / 1000:.1f} kN of {thread.name} {grade}"
    )


def _span(low: float, high: float, digits: int) -> str:
    first, last = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return first if first == last else f"{first} to {last}"


def _other_unit(torque: float, use: Range, low: float) -> str:
    """The question that an impossible torque leads to."""
    found = slips(torque, use)
    too = "too little to hold" if use.high < low else "more than the screw can bear"
    if found:
        return f": {too}. Which unit does the kit's sheet print? {' or '.join(str(slip) for slip in found[:2])}"
    return f": {too}. Read the figure, its unit and the class again"
