"""A formula of the last order line, for a new row."""

import re

from bomcheck.workbook.edits import qualified

FORMULA = re.compile(rb"<(?:\w+:)?f(?:\s[^<>]*)?(?:/>|>([^<]*)</(?:\w+:)?f>)")
_TEXTS = re.compile(r'("[^"]*")')
_REFERENCE = re.compile(r"(?<![\w!:$.'])(\$?[A-Z]{1,3})(\d+)(?![\w(!:.])")
_ANY_REFERENCE = re.compile(r"\$?[A-Z]{1,3}\$?\d+|!|\[|:")


def moved_formula(cell: bytes, prefix: str, old: int, new: int) -> bytes:
    """The formula element of a cell for another row; b"" for one that is shared, looks beyond its row, or none.

    >>> moved_formula(b'<c r="F4"><f>ROUND(B4*E4,2)</f><v>7</v></c>', "", 4, 9)
    b'<f>ROUND(B9*E9,2)</f>'
    >>> moved_formula(b'<c r="F4"><f>F3+E4</f></c>', "", 4, 9)
    b''
    """
    found = FORMULA.search(cell)
    if found is None or found[1] is None or re.match(rb"<(?:\w+:)?f>", found[0]) is None:
        return b""
    moved = []
    for piece in _TEXTS.split(found[1].decode()):
        if piece.startswith('"'):
            moved.append(piece)
            continue
        rows = {int(row) for _, row in _REFERENCE.findall(piece)}
        if rows - {old} or _ANY_REFERENCE.search(_REFERENCE.sub("", piece)):
            return b""
        moved.append(_REFERENCE.sub(lambda one: f"{one[1]}{new}", piece))
    tag = qualified(prefix, "f")
    return b"<%s>%s</%s>" % (tag, "".join(moved).encode("ascii", "xmlcharrefreplace"), tag)
