"""Whether two threads are the same, in words; look-alikes are named."""

from bomcheck.model.rule import Match
from bomcheck.model.types import Thread


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
