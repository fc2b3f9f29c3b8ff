"""Where the value of a field that was left blank is to be typed: the reader keeps the places of filled cells only."""

import re
from functools import cache

from bomcheck.fields import fields
from bomcheck.job import Job
from bomcheck.workbook import layout

_CELL = re.compile(r"([A-Z]{1,3})(\d+)")


def blank_cell(job: Job, key: str) -> str:
    """The cell of a blank field, "B31"; "" where its row does not follow from the filled ones of its section.

    Where the filled fields next above and next below are moved against the template by as many rows, or by none, so is
    what lies between them.
    """
    field = fields().get(key)
    filled = _filled(job, field.section) if field else {}
    if field is None or not filled:
        return ""
    row = _template_rows(field.section)[key]
    above = max((one for one in filled if one < row), default=None)
    below = min((one for one in filled if one > row), default=None)
    if above is None or below is None or filled[above] != filled[below]:
        return ""
    column, moved = filled[above]
    return f"{column}{row + moved}"


def _filled(job: Job, section: str) -> dict[int, tuple[str, int]]:
    """Template row -> (column of the value, rows moved) of each filled field; empty where the section has several sheets."""
    rows = _template_rows(section)
    places = {key: fault.place for key, fault in job.held.items() if key in rows and fault.place.cell}
    places |= {key: value.place for key, value in job.values.items() if key in rows and value.place.cell}
    cells = {key: _CELL.fullmatch(place.cell) for key, place in places.items()}
    if len({place.sheet for place in places.values()}) != 1:
        return {}
    return {rows[key]: (cell[1], int(cell[2]) - rows[key]) for key, cell in cells.items() if cell}


@cache
def _template_rows(section: str) -> dict[str, int]:
    """Row of each field in a new workbook, counted from 1: a heading above each group."""
    rows, row = {}, layout.FIRST_ROW
    for members in layout.groups(section).values():
        for number, field in enumerate(members, start=1):
            rows[field.key] = row + number + 1
        row += len(members) + 1
    return rows
