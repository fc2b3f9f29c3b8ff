"""Charts that keep their size: tied to one cell and given in lengths, so that no program's column widths stretch them.

XlsxWriter ties a chart to two cells; columns are a little wider in one program than in another, and a drawing to scale
would be drawn askew.
"""

import re
from collections.abc import Sequence
from io import BytesIO
from zipfile import ZIP_STORED, ZipFile, ZipInfo

EMU_PER_PIXEL = 9525  # 914400 an inch, 96 pixels an inch: ISO/IEC 29500-1 20.1.2.1
_ANCHOR = re.compile(rb"<xdr:twoCellAnchor[^>]*>(.*?)<xdr:to>.*?</xdr:to>(.*?)</xdr:twoCellAnchor>", re.DOTALL)


def keep_sizes(workbook: bytes, sizes: Sequence[tuple[float, float]]) -> bytes:
    """The workbook, not compressed, with its charts in fixed sizes; sizes: (width, height) [pixels] in the order of the charts."""
    if not sizes:
        return workbook
    left, out = list(sizes), BytesIO()
    with ZipFile(BytesIO(workbook)) as old, ZipFile(out, "w", ZIP_STORED) as new:
        for info in old.infolist():
            content = old.read(info)
            if re.fullmatch(r"xl/drawings/drawing\d+\.xml", info.filename):
                content = _ANCHOR.sub(lambda found: _one_cell(found, *left.pop(0)), content)
            new.writestr(ZipInfo(info.filename, info.date_time), content)
    return out.getvalue()


def _one_cell(found: re.Match[bytes], width: float, height: float) -> bytes:
    size = b'<xdr:ext cx="%d" cy="%d"/>' % (round(width * EMU_PER_PIXEL), round(height * EMU_PER_PIXEL))
    return b"<xdr:oneCellAnchor>" + found[1] + size + found[2] + b"</xdr:oneCellAnchor>"
