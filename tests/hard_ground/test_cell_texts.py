"""Many texts that might stand in a size's cell: what is accepted is listed by kind, and nothing with a mark of doubt is.

BOMCHECK_TEXTS says how many; with BOMCHECK_LIST the kinds are written to that file, to be looked over.
"""

import os
import random
import re
from collections import Counter
from pathlib import Path

import pytest

from bomcheck import notation
from bomcheck.model.errors import Unreadable

TEXTS = int(os.environ.get("BOMCHECK_TEXTS", "20000"))
FIGURES = ("66.5", "66,5", "8", "1-3/4", "13", ".81", "1 524.0", "330", "0.0", "1e3", "６６", "½", "1¾", "٦٦")
UNITS = ("", "mm", " mm", "in", '"', "″", " cm", "'", " thou", " N·m", "㎜")
DOUBT = ("?", "²", "³", "¹", "⁴", "₂", "①", "~", "≈", "about ", "approx ", "ca. ", "*", "†", "‡", "§", "(1)", "[2]", "!", "<", ">", "≤",
         "max ", "min ", "±", "+/-", "…", "...", "\u0336", "or 7", " / 7", "#", "^2", "ª", "⒈")  # fmt: skip
CLEAN = ("", " ", "\u00a0", "\u200b", "Ø", "dia ", "+")
SIGNS = "0123456789.,-+/ xX²³'\"mincØ°±?~*"


def made(how: random.Random) -> tuple[str, bool]:
    """(a text, whether a mark of doubt was put in on purpose)."""
    if how.random() < 0.15:
        return "".join(how.choice(SIGNS) for _ in range(how.randrange(1, 9))), False
    figure, unit = how.choice(FIGURES), how.choice(UNITS)
    if how.random() < 0.5:
        return how.choice(CLEAN) + figure + how.choice(CLEAN) + unit, False
    mark = how.choice(DOUBT)
    return how.choice(
        (mark + figure + unit, figure + mark + unit, figure + unit + mark, figure + unit + " " + mark)
    ), True


def kind(text: str) -> str:
    """The text with every run of plain figures as 9, by which texts of a kind are counted together."""
    return re.sub(r"[0-9]+", "9", text)


def test_no_text_with_a_mark_of_doubt_is_exact() -> None:
    """Accepted texts have no such mark, and are finite and no larger than what was typed can say."""
    how, kinds = random.Random(3), Counter[tuple[str, float]]()
    for _ in range(TEXTS):
        text, doubtful = made(how)
        try:
            value = notation.read_quantity(text, "mm", "mm")
        except Unreadable as bad:
            assert "\n" not in str(bad)
            continue
        if value is None:
            continue
        assert abs(value) < 1e12, text
        assert not doubtful or is_plain(text), (text, value)
        kinds[kind(text), value] += 1
    assert len(kinds) > 50
    if os.environ.get("BOMCHECK_LIST"):
        lines = [f"{count}\t{text!r}\t{value:g}" for (text, value), count in sorted(kinds.items())]
        Path(os.environ["BOMCHECK_LIST"]).write_text("\n".join(lines), "utf-8")


def is_plain(text: str) -> bool:
    """A mark that came to mean something else where it stands: a fraction, feet and inches, a decimal mark."""
    return re.fullmatch(r"[\s\d.,/'\"½¾⅓-]*(?:mm|in|cm|thou)?", text) is not None


@pytest.mark.parametrize("text", ["1e308 in", "9" * 300, "1e999", "9" * 320 + " in", "1e400 mm"])
def test_figures_beyond_all_measure(text: str) -> None:
    """Never infinite, and what is said of them is short."""
    try:
        value = notation.read_quantity(text, "mm", "mm")
    except Unreadable as bad:
        assert len(str(bad)) < 400
        assert "inf" not in str(bad)
        return
    assert value is None or abs(value) < 1e300
