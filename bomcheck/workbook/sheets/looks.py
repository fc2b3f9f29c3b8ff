"""How the sheets of the result look. They share fonts, colours and input cells with the job workbook."""

from functools import cache
from typing import Any

from bomcheck.workbook import palette
from bomcheck.workbook.blank.looks import FONT, STYLES

Properties = dict[str, Any]
RULED: Properties = {"bottom": 1, "bottom_color": palette.RULE}
INPUT: Properties = {**STYLES["table input"], "valign": "top"}
SIGNS = {
    "fits": "✓",
    "fits with parts": "+",
    "needs machining": "▲",
    "does not fit": "×",
    "not known": "?",
    "does not apply": "–",
}
STATUS_COLOURS = {
    "to order": (palette.SKY, palette.BLACK),
    "no source known": (palette.ORANGE, palette.BLACK),
    "ask": (palette.YELLOW, palette.BLACK),
    "work": (palette.PALE_PURPLE, palette.INK),
    "in kit": (palette.PALE_GREEN, palette.INK),
    "on car": (palette.PALE_GREEN, palette.INK),
    "on shelf": (palette.PALE_GREEN, palette.INK),
    "surplus": (palette.PALE_GREY, palette.QUIET),
}


def _word(fill: str, ink: str, sign: str = "") -> Properties:
    """A coloured cell whose word has a sign before it; the sign belongs to the look, so filters see the word alone."""
    shown = {"num_format": f'"{sign} "@'} if sign else {}
    return {**RULED, "bg_color": fill, "font_color": ink, "bold": True, "align": "left", "indent": 1, **shown}


LOOKS: dict[str, Properties] = {
    "title": {**STYLES["title"], "valign": "vcenter"},
    "subtitle": {**STYLES["subtitle"], "valign": "vcenter"},
    "heading": {**STYLES["table heading"], "valign": "vcenter"},
    "heading right": {"align": "right", "indent": 1},
    "group": {"bold": True, "font_color": palette.BLUE, "bg_color": palette.PALE_SKY, "valign": "vcenter"},
    "cell": {**RULED, "text_wrap": True, "valign": "top"},
    "bold": {"bold": True},
    "small": {"font_size": 9},
    "quiet": {"font_color": palette.QUIET, "font_size": 9},
    "grey": {"font_color": palette.QUIET, "bg_color": palette.PALE_GREY},
    "right": {"align": "right", "indent": 1, "text_wrap": False},
    "centre": {"align": "center"},
    "link": {"font_color": palette.BLUE, "underline": 1},
    "input": {**INPUT, "text_wrap": True},
    "input figure": {**INPUT, "align": "right", "indent": 1},
    "money": {"num_format": "#,##0.00", "align": "right", "indent": 1, "text_wrap": False},
    "total": {"bold": True, "top": 1, "top_color": palette.INK, "bg_color": palette.PALE_GREY, "valign": "vcenter"},
    "key": {"font_size": 6, "font_color": palette.RULE, "align": "fill", "valign": "top"},
    "caution": {**STYLES["caution"], "indent": 0, "font_size": 9},
    "caution heading": {**STYLES["caution heading"], "indent": 0, "valign": "vcenter"},
    "summary": {"bg_color": palette.PALE_BLUE, "valign": "top", "text_wrap": True, **RULED},
    "middle": {"valign": "vcenter"},
    "top": {"valign": "top"},
    # Programs heed an indent only beside a stated alignment; XlsxWriter states none for a cell aligned to the top.
    "indented": {"align": "left", "indent": 1},
    "plain": {"bold": False},
    "one line": {"text_wrap": False},
}
# What fits is the rule and stays pale: what needs a hand stands out, in grey as well.
CELL_COLOURS = {**palette.VERDICT_COLOURS, "fits": (palette.PALE_GREEN, "#00543D")}
LOOKS |= {f"verdict {word}": _word(fill, ink, SIGNS.get(word, "")) for word, (fill, ink) in CELL_COLOURS.items()}
LOOKS |= {
    f"banner {word}": {"bg_color": fill, "font_color": ink, "bold": True, "font_size": 20, "indent": 1}
    for word, (fill, ink) in palette.VERDICT_COLOURS.items()
}
LOOKS |= {f"status {word}": _word(fill, ink) for word, (fill, ink) in STATUS_COLOURS.items()}


@cache
def combined(names: tuple[str, ...], number_format: str = "") -> Properties:
    """The properties of several looks together; later ones rule."""
    merged: Properties = dict(FONT)
    for name in names:
        merged.update(LOOKS[name])
    if number_format:
        merged["num_format"] = number_format
    return merged
