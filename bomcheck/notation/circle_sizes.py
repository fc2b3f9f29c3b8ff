"""The diameters in the text of a bolt circle, without its count: "100/114.3", "4-1/2", '4.5"'."""

import re

from bomcheck.notation.clean import refuse
from bomcheck.notation.number import decimal, number

INCH = 25.4
TYPE = 'Type count x diameter, for example 5x114.3 or 5x4.5"'


def halves(text: str) -> list[str]:
    """The two sizes of "100-114.3" or '4-1/2-4-3/4"': divided at the dash that leaves a number on both sides."""
    for dash in re.finditer(r"\s*-\s*", text):
        before, after = text[: dash.start()], text[dash.end() :]
        if number(bare_size(before)) is not None and number(bare_size(after)) is not None:
            return [before, after]
    return [text]


def slashed(text: str) -> list[str]:
    """The sizes of "100/114.3" or "4-1/2/4-3/4"; a fraction is not cut."""
    parts = [part.strip() for part in re.split(r"/|\s*,\s+", text)]
    joined: list[str] = []
    for part in parts:
        whole = f"{joined[-1]}/{part}" if joined else part
        if joined and re.search(r"[- ]\d+$", joined[-1]) and number(bare_size(whole)) is not None:
            joined[-1] = whole
        else:
            joined.append(part)
    return joined


def bare_size(text: str) -> str:
    return re.sub(r'\s*(?:mm|inch(?:es)?|ins?\.?|")$', "", text.strip())


def diameters(texts: list[str], whole: str, typed: object) -> list[float]:
    """Diameters [mm]; a size without a unit takes that of the last one, else 2 to 8 is inches."""
    last = whole.strip()
    shared = "mm" if last.endswith("mm") else "in" if re.search(r'(?:"|in\.?|inch(?:es)?)$', last) else ""
    return [_diameter(text, shared, typed) for text in texts]


def _diameter(text: str, shared: str, typed: object) -> float:
    bare = bare_size(text)
    value = number(bare)
    if value is None:
        if re.fullmatch(r"[\d.,]+ ?(?:-|to) ?[\d.,]+", bare) and decimal(bare.split("-")[0].strip()):
            raise refuse(
                typed,
                "two circles or the ends of a slot",
                "Type 5x100/114.3 for two circles, 5x100-114.3 slotted for slots",
            )
        raise refuse(typed, "this cannot be read as a bolt circle", TYPE)
    unit = "mm" if text.strip().endswith("mm") else shared
    in_inches = (
        bool(re.search(r'(?:"|in\.?|inch(?:es)?)$', text.strip())) or unit == "in" or (not unit and 2 <= value <= 8)
    )
    return round(value * INCH if in_inches else value, 3)
