"""A section through wheel, hub, rotor, caliper and ear, drawn with filled cells: it shows where positions count from."""

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from bomcheck.workbook import palette

# One letter a cell, the wheel's side left; the hub face lies between columns 12 and 13.
SECTION = (
    "   wwwwwwwwwwwwwwwwwwwwwwwwwwww",
    "   ww                          ",
    "    ww         cccccccc        ",
    "     ww        ccprrpcc        ",
    "      ww       ccprrpcc        ",
    "       ww      ccprrpccbbb     ",
    "        ww       prrp   bbkk   ",
    "         ww       rr    bbkk   ",
    "         ww       rr      kkk  ",
    "         wwhhhhhhhhh      kkkk ",
    "         wwhhuuu          kkkk ",
    "         wwhhuuuuuuuuuuuuukkkk ",
    "          uuuuuuuuuuuuuuuukkkk ",
)
HUB_FACE = 13
PARTS = {
    "w": ("#AEB8C2", "wheel"),
    "h": (palette.SKY, "hat"),
    "r": (palette.BLUE, "rotor"),
    "p": (palette.YELLOW, "pad"),
    "c": (palette.ORANGE, "caliper"),
    "b": (palette.PURPLE, "bracket"),
    "k": (palette.GREEN, "knuckle with its ears"),
    "u": ("#6B7782", "hub"),
}
# text, first and last column of the bar
LENGTHS = (
    ("rotor plane position, here +", 13, 18),
    ("ear face position, here +", 13, 25),
    ("bracket offset, from ear face to caliper centre, here −", 19, 25),
)
TALL = 11.0


def draw_section(workbook: Workbook, sheet: Worksheet, top: int) -> None:
    """Draws into 40 narrow columns and 17 rows from row `top` on."""
    formats: dict[tuple[str, bool, bool], Format] = {}
    for down, line in enumerate(SECTION):
        sheet.set_row(top + down, TALL)
        for column, letter in enumerate(line):
            face, axis = column == HUB_FACE, down == len(SECTION) - 1
            if letter != " " or face or axis:
                sheet.write_blank(top + down, column, None, _cell(workbook, formats, letter, face, axis))
    _name_parts(workbook, sheet, top)
    _ruler(workbook, sheet, top + len(SECTION))
    _draw_lengths(workbook, sheet, top + len(SECTION) + 1)


def _cell(
    workbook: Workbook, formats: dict[tuple[str, bool, bool], Format], letter: str, face: bool, axis: bool
) -> Format:
    """A filled cell; the hub face is a thick line at its left, the hub axis a dash-dotted one at its foot."""
    kind = (letter, face, axis)
    if kind not in formats:
        made = workbook.add_format({"bg_color": PARTS[letter][0]} if letter in PARTS else {})
        if face:
            made.set_left(5)
        if axis:
            made.set_bottom(10)
        formats[kind] = made
    return formats[kind]


def _name_parts(workbook: Workbook, sheet: Worksheet, top: int) -> None:
    text = workbook.add_format({"font_name": "Arial", "font_size": 8, "valign": "vcenter", "indent": 1})
    for down, (colour, name) in enumerate(PARTS.values(), start=1):
        sheet.write_blank(top + down, 32, None, workbook.add_format({"bg_color": colour}))
        sheet.merge_range(top + down, 33, top + down, 39, name, text)


def _ruler(workbook: Workbook, sheet: Worksheet, row: int) -> None:
    look = {"font_name": "Arial", "font_size": 9, "bold": True, "font_color": palette.INK}
    sheet.set_row(row, 15)
    sheet.merge_range(row, 0, row, 8, "outboard  −", workbook.add_format({**look, "align": "right"}))
    sheet.merge_range(row, 9, row, 16, "0 = hub face", workbook.add_format({**look, "align": "center"}))
    sheet.merge_range(row, 17, row, 25, "+  inboard", workbook.add_format(look))


def _draw_lengths(workbook: Workbook, sheet: Worksheet, row: int) -> None:
    text = workbook.add_format({"font_name": "Arial", "font_size": 8, "valign": "vcenter", "indent": 1})
    line, start, end = (workbook.add_format({"bottom": 5, **ends}) for ends in ({}, {"left": 5}, {"right": 5}))
    for down, (name, first, last) in enumerate(LENGTHS):
        sheet.set_row(row + down, 13)
        for column in range(first, last + 1):
            sheet.write_blank(row + down, column, None, start if column == first else end if column == last else line)
        sheet.merge_range(row + down, 26, row + down, 39, name, text)
