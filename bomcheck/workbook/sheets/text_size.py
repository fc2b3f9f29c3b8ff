"""How wide a text is in Arial and into how many lines it wraps, so that rows are tall enough in every program.

Widths are those of Helvetica, to which Arial and Liberation Sans are metrically equal: Adobe Font Metrics, 1/1000 em.
"""

from functools import lru_cache

_WIDTHS = {
    191: "'",
    222: "ijl",
    260: "|",
    278: " !,./:;[]\\tfI·",
    333: "-()`r“”",
    355: '"',
    365: "✓²³",
    389: "*°",
    469: "^",
    500: "ckvxyzsJ",
    549: "±÷",
    556: "#$0123456789_abdeghnopquL?–",
    584: "+<=>~−×",
    611: "FTZ",
    667: "ABEKPSVXY&",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1000: "→—",
    1015: "@",
}
WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}
UNKNOWN = 620
BOLD = 1.07
PIXELS_PER_CHARACTER, PADDING_PIXELS, POINTS_PER_PIXEL = 7.0, 5.0, 0.75
INDENT_POINTS = 7.0
SAFETY = 0.97  # programs differ a little in how they round widths
LINE, AROUND = 1.275, 2.5  # height of a line in font sizes; room around all lines [pt]


def text_width(text: str, size: float = 10.0, bold: bool = False) -> float:
    """Width of one line [pt].

    >>> round(text_width("mm", 10), 2)
    16.66
    """
    width = sum(WIDTH.get(letter, UNKNOWN) for letter in text) * size / 1000
    return width * BOLD if bold else width


@lru_cache(maxsize=4096)
def wrapped_lines(text: str, characters: float, size: float = 10.0, bold: bool = False, indent: int = 0) -> int:
    """Lines of a text in a column so many characters wide.

    >>> wrapped_lines("one two", 20), wrapped_lines("one two three four five", 10), wrapped_lines("a\\nb", 10)
    (1, 3, 2)
    """
    room = (characters * PIXELS_PER_CHARACTER - PADDING_PIXELS) * POINTS_PER_PIXEL * SAFETY - indent * INDENT_POINTS
    return sum(_lines(part, room, size, bold) for part in text.split("\n"))


def _lines(text: str, room: float, size: float, bold: bool) -> int:
    lines, used = 1, 0.0
    space = text_width(" ", size, bold)
    for word in text.split(" "):
        width = text_width(word, size, bold)
        if used and used + space + width > room:
            lines, used = lines + 1, 0.0
        while width > room > 0:  # a word longer than the column is broken
            lines, width = lines + 1, width - room
        used = used + space + width if used else width
    return lines


def lines_height(lines: int, size: float = 10.0) -> float:
    """Height of so many lines [pt]."""
    return lines * size * LINE
