"""Numbers as people type them: 12.5, .81, 3,5, 1.524,0, 1-3/4, 1 3/4, 1/32."""

import math
import re

NUMBER = r"(?:\d+(?:[.,]\d+)*|[.,]\d+)\.?"
_PLAIN = re.compile(r"([+-]?)\s*(\d[\d.,' ]*|[.,]\d+)(?:[eE]([+-]?\d{1,3}))?")
_FRACTION = re.compile(r"([+-]?)\s*(?:(\d{1,4})(?:\s*-\s*|\s+|\s*\+\s*))?(\d{1,3})\s*/\s*(\d{1,3})")
_PARTS_OF_INCH = (2, 4, 8, 16, 32, 64, 128)


def fraction(text: str) -> float | None:
    """The value of "1-3/4", "1 3/4" or "1/32", None if it is no such fraction.

    Only halves, quarters ... 128ths that are smaller than one count: "330/28" is a pair of sizes.
    """
    found = _FRACTION.fullmatch(text)
    if not found:
        return None
    sign, whole, above, below = found[1], int(found[2] or 0), int(found[3]), int(found[4])
    if below not in _PARTS_OF_INCH or not 0 < above < below:
        return None
    return (-1.0 if sign == "-" else 1.0) * (whole + above / below)


def decimal(text: str) -> float | None:
    """The value of "12.5", ".81", "3,5", "1.524,0" or "1 524.0", None if it is no such number.

    A single comma is a decimal comma. Where comma and dot both stand, the last one is the decimal mark and the other
    must divide groups of three, as must a mark that stands more than once.
    """
    found = _PLAIN.fullmatch(text)
    if not found:
        return None
    digits = _one_mark(found[2].rstrip())
    if digits is None:
        return None
    value = float(f"{found[1]}{digits}e{found[3] or 0}")
    return value if math.isfinite(value) else None


def _one_mark(digits: str) -> str | None:
    """The digits with at most one decimal point, without marks between groups of three; None if they are no groups."""
    marks = [sign for sign in digits if not sign.isdigit()]
    last = marks[-1] if marks else ""
    is_decimal = last in (".", ",") and marks.count(last) == 1
    whole, _, part = digits.rpartition(last) if is_decimal else (digits, "", "")
    groups = re.split(r"[.,' ]", whole)
    same_mark = len(set(marks) - ({last} if is_decimal else set())) <= 1
    if len(groups) > 1 and not (same_mark and 0 < len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])):
        return None
    return f"{''.join(groups) or '0'}.{part or '0'}"


def number(text: str) -> float | None:
    """The value of a fraction or a decimal number, None for anything else."""
    value = fraction(text)
    return decimal(text) if value is None else value
