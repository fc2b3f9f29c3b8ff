"""Pictures of vector shapes, and charts, tied to one cell and given in lengths, so that no program's column widths stretch them.

XlsxWriter ties both to two cells and has no outlines: a picture is put down as a text box with a number, and drawn in its
place once the workbook is written. Coordinates in pixels, from the left and from the top.
"""

import re
from collections.abc import Iterable, Sequence
from html import escape
from io import BytesIO
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from bomcheck.io.sheets.looks import text_width
from bomcheck.io.xml import BAD_IN_XML
from bomcheck.model.records import dataclass

Spot = tuple[float, float]
EMU_PER_PIXEL, EMU_PER_POINT = 9525, 12700  # 914400 an inch, 96 pixels an inch: ISO/IEC 29500-1 20.1.2.1
PIXELS_PER_POINT = 96 / 72
FINE = 10  # steps of an outline's points in a pixel
NUMBERED = "picture "
_ANCHOR = re.compile(
    rb"<xdr:twoCellAnchor[^>]*>(<xdr:from>.*?</xdr:from>)<xdr:to>.*?</xdr:to>(.*?)(<xdr:clientData[^>]*/>)</xdr:twoCellAnchor>",
    re.DOTALL,
)
_NUMBER = re.compile(rb' id="(\d+)" name="[^"]*" descr="' + NUMBERED.encode() + rb'(\d+)"')


@dataclass(frozen=True, slots=True)
class Picture:
    """width, height [pixels]. told: what it shows, for who cannot see it. shapes: of a picture; none for a chart."""

    width: float
    height: float
    told: str
    shapes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pen:
    """colour "#RRGGBB"; width [pt]; dash: name in ISO/IEC 29500-1 20.1.10.48."""

    colour: str
    width: float = 1.0
    dash: str = "solid"


class Canvas:
    """A picture in the making. width, height [pixels]."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = round(width), round(height)
        self.shapes: list[str] = []

    def done(self, told: str) -> Picture:
        """The picture."""
        return Picture(self.width, self.height, told, tuple(self.shapes))

    def lines(self, pieces: Iterable[Sequence[Spot]], pen: Pen, fill: str = "") -> None:
        """Outlines, closed where they end as they begin. fill: colour of their inside, "" for none."""
        path = "".join(map(_outline, pieces))
        if not path:
            return
        geometry = (
            "<a:custGeom><a:avLst/><a:gdLst/><a:ahLst/><a:cxnLst/>"
            '<a:rect l="0" t="0" r="r" b="b"/><a:pathLst>'
            f'<a:path w="{self.width * FINE}" h="{self.height * FINE}">{path}</a:path></a:pathLst></a:custGeom>'
        )
        line = (
            f'<a:ln w="{round(pen.width * EMU_PER_POINT)}" cap="flat">{_colour(pen.colour)}'
            f'<a:prstDash val="{pen.dash}"/><a:round/></a:ln>'
        )
        self._add(0, 0, self.width, self.height, geometry + (_colour(fill) if fill else "<a:noFill/>") + line)

    def words(
        self, at: Spot, words: str, size: float, colour: str, side: str = "l", bold: bool = False, under: str = ""
    ) -> None:
        """A line of text [pt] whose left ("l"), middle ("ctr") or right ("r") stands at a spot, half above it. under: colour
        behind it."""
        wide, high = text_width(words, size, bold) * PIXELS_PER_POINT + 4, size * 1.35 * PIXELS_PER_POINT
        left = at[0] - {"l": 0.0, "ctr": wide / 2, "r": wide}[side]
        run = (
            f'<a:rPr lang="en-GB" sz="{round(size * 100)}" b="{int(bold)}">{_colour(colour)}'
            '<a:latin typeface="Arial"/><a:cs typeface="Arial"/></a:rPr>'
        )
        body = (
            '<xdr:txBody><a:bodyPr wrap="none" lIns="0" tIns="0" rIns="0" bIns="0" anchor="ctr"/><a:lstStyle/>'
            f'<a:p><a:pPr algn="{side}"/><a:r>{run}<a:t>{escape(words, quote=False)}</a:t></a:r></a:p></xdr:txBody>'
        )
        form = f'<a:prstGeom prst="rect"><a:avLst/></a:prstGeom>{_colour(under) if under else "<a:noFill/>"}<a:ln><a:noFill/></a:ln>'
        self._add(left, at[1] - high / 2, wide, high, form, body)

    def _add(self, left: float, top: float, width: float, height: float, form: str, body: str = "") -> None:
        x, y, wide, high = (round(one * EMU_PER_PIXEL) for one in (left, top, width, height))
        place = f'<a:xfrm><a:off x="{x}" y="{y}"/><a:ext cx="{wide}" cy="{high}"/></a:xfrm>'
        kind = ' txBox="1"' if body else ""
        self.shapes.append(
            f'<xdr:sp macro="" textlink=""><xdr:nvSpPr><xdr:cNvPr id="@" name="Shape @"/><xdr:cNvSpPr{kind}/></xdr:nvSpPr>'
            f"<xdr:spPr>{place}{form}</xdr:spPr>{body}</xdr:sp>"
        )


def _outline(piece: Sequence[Spot]) -> str:
    """One line from point to point."""
    spots = [f'<a:pt x="{round(x * FINE)}" y="{round(y * FINE)}"/>' for x, y in piece]
    if len(spots) < 2:
        return ""
    closed = len(spots) > 2 and spots[0] == spots[-1]
    steps = spots[1:-1] if closed else spots[1:]
    drawn = "".join(f"<a:lnTo>{spot}</a:lnTo>" for spot in steps)
    return f"<a:moveTo>{spots[0]}</a:moveTo>{drawn}{'<a:close/>' if closed else ''}"


def _colour(colour: str) -> str:
    return f'<a:solidFill><a:srgbClr val="{colour.removeprefix("#")}"/></a:solidFill>'


def with_pictures(workbook: bytes, pictures: Sequence[Picture]) -> bytes:
    """The workbook, not compressed, with what was numbered drawn and in fixed sizes."""
    out = BytesIO()
    with ZipFile(BytesIO(workbook)) as old, ZipFile(out, "w", ZIP_STORED) as new:
        for info in old.infolist():
            content = old.read(info)
            if re.fullmatch(r"xl/drawings/drawing\d+\.xml", info.filename):
                content = _ANCHOR.sub(lambda found: _drawn(found, pictures), content)
            new.writestr(ZipInfo(info.filename, info.date_time), content)
    return out.getvalue()


def _drawn(found: re.Match[bytes], pictures: Sequence[Picture]) -> bytes:
    """One of them at its first cell."""
    numbers = _NUMBER.search(found[2])
    assert numbers is not None
    number, picture = int(numbers[1]), pictures[int(numbers[2])]
    wide, high = (round(one * EMU_PER_PIXEL) for one in (picture.width, picture.height))
    told = _told(picture).encode()
    content = found[2].replace(b'descr="%s%s"' % (NUMBERED.encode(), numbers[2]), b'descr="%s"' % told, 1)
    if picture.shapes:
        content = _group(picture, number, wide, high).encode()
    size = b'<xdr:ext cx="%d" cy="%d"/>' % (wide, high)
    return b"<xdr:oneCellAnchor>" + found[1] + size + content + found[3] + b"</xdr:oneCellAnchor>"


def _told(picture: Picture) -> str:
    """As it stands in an attribute; a job's label may hold signs that no XML can."""
    return escape(BAD_IN_XML.sub("", picture.told))


def _group(picture: Picture, number: int, wide: int, high: int) -> str:
    """All shapes as one, so that they are moved together. number: of the group in its drawing."""
    first = number * 1000
    shapes = "".join(shape.replace("@", str(first + at), 2) for at, shape in enumerate(picture.shapes))
    return (
        f'<xdr:grpSp><xdr:nvGrpSpPr><xdr:cNvPr id="{number}" name="Drawing {number}" descr="{_told(picture)}"/>'
        '<xdr:cNvGrpSpPr/></xdr:nvGrpSpPr><xdr:grpSpPr><a:xfrm><a:off x="0" y="0"/>'
        f'<a:ext cx="{wide}" cy="{high}"/><a:chOff x="0" y="0"/><a:chExt cx="{wide}" cy="{high}"/></a:xfrm></xdr:grpSpPr>'
        f"{shapes}</xdr:grpSp>"
    )
