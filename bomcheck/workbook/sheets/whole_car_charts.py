"""The charts of the Whole car sheet, drawn so that they can be told apart without colour; figures beside the page."""

from collections.abc import Sequence
from math import ceil
from typing import Any

from xlsxwriter.chart import Chart as XlsxChart

from bomcheck.workbook import palette
from bomcheck.workbook.sheets.page import Cell, Page
from bomcheck.workbook.sheets.whole_car_curves import Chart, Curve
from bomcheck.workbook.sheets.whole_car_labels import Place, name_places
from bomcheck.workbook.sheets.whole_car_pages import DEFAULT_ROW, room_on_page

FIGURES_COLUMN = 12  # the drawn figures stand to the right of the printed page
SIZE = WIDTH, HEIGHT = 720, 335
BESIDE = 5  # column at which the second chart of a row begins
ROWS = ceil(HEIGHT / 20)  # of 20 pixels
TITLE = 20.0  # pt
ROOM = TITLE + ROWS * DEFAULT_ROW
FONT = {"name": "Arial", "size": 9}


def write_charts(page: Page, charts: Sequence[Chart]) -> None:
    """All charts, two in a row and none across two pages, with their figures beside the page."""
    figures, breaks = FIGURES_COLUMN, []
    left, whole = room_on_page(page)
    for first in range(0, len(charts), 2):
        if left < ROOM:
            breaks.append(page.row)
            left = whole
        pair = list(zip((0, BESIDE), charts[first : first + 2], strict=False))
        page.line({place: Cell(drawn.title, ("group",)) for place, drawn in pair}, least=TITLE)
        for place, drawn in pair:
            page.sheet.insert_chart(page.row, place, _chart(page, drawn, figures), {"object_position": 2})
            figures += 2 * len(drawn.curves)
        page.row += ROWS
        left -= ROOM
    page.sheet.set_h_pagebreaks(breaks)
    page.sheet.set_column(FIGURES_COLUMN, figures, 9)


def _chart(page: Page, drawn: Chart, column: int) -> XlsxChart:
    """One chart, its figures written from this column on."""
    chart = page.book.workbook.add_chart(
        {"type": "line"} if drawn.by_name else {"type": "scatter", "subtype": "straight"}
    )
    names = [None] * len(drawn.curves) if drawn.by_name else name_places(drawn.curves)
    for number, curve in enumerate(drawn.curves):
        chart.add_series(_series(page, curve, column + 2 * number) | _name_at(curve, names[number]))
    bottom = {} if drawn.by_name else {"min": 0}
    chart.set_x_axis({"name": drawn.across, "name_font": FONT, "num_font": FONT, **bottom})
    lines = {"visible": True, "line": {"color": palette.RULE, "width": 0.5}}
    chart.set_y_axis(
        {
            "name": drawn.up,
            "name_font": FONT,
            "num_font": FONT,
            "min": 0,
            "num_format": drawn.shown,
            "major_gridlines": lines,
        }
    )
    chart.set_legend({"position": "bottom", "font": FONT})
    chart.set_size({"width": WIDTH, "height": HEIGHT})
    return chart


def _series(page: Page, curve: Curve, column: int) -> dict[str, Any]:
    """The curve's figures written beside the page, and the series that draws them."""
    top, last = page.row, page.row + len(curve.across)
    page.sheet.write_string(top, column, curve.name)
    for step, (x, y) in enumerate(zip(curve.across, curve.up, strict=True), start=1):
        page.sheet.write(top + step, column, x)
        if y is not None:
            page.sheet.write_number(top + step, column + 1, y)
    line = {"color": curve.colour, "width": curve.width, "dash_type": curve.dash}
    return {
        "name": [page.name, top, column],
        "categories": [page.name, top + 1, column, last, column],
        "values": [page.name, top + 1, column + 1, last, column + 1],
        "line": line,
        "marker": _marker(curve),
    }


def _marker(curve: Curve) -> dict[str, Any]:
    if not curve.mark:
        return {"type": "none"}
    fill = {"color": curve.colour if curve.filled else palette.WHITE}
    return {"type": curve.mark, "size": 6, "border": {"color": curve.colour}, "fill": fill}


def _name_at(curve: Curve, place: Place | None) -> dict[str, Any]:
    """The curve's name at this point alone."""
    if place is None:
        return {}
    others: list[dict[str, Any] | None] = [{"delete": True} for _ in curve.up]
    others[place.point] = None
    return {"data_labels": {"series_name": True, "position": place.position, "font": FONT, "custom": others}}
