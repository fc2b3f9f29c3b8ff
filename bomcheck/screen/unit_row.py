"""The units of a table: in the second row, in a heading's brackets, or the same in both systems."""

from dataclasses import dataclass, field

from bomcheck.io.read.value import WITH_UNIT, unit_beside
from bomcheck.screen.entries import seen
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import Grid
from bomcheck.screen.headings import Heading


@dataclass
class Units:
    """file: for messages. typed: units of the second row by column. inside: whether figures are in internal units, as in
    Parquet without a row of units."""

    file: str
    typed: dict[int, str] = field(default_factory=dict)
    inside: bool = False

    def beside(self, heading: Heading) -> str | None:
        """The unit of bare figures of a column; None where nothing tells it. Raises WorkbookError for no such unit."""
        one = heading.field
        if one.notation not in WITH_UNIT:
            return None
        typed = heading.unit or self.typed.get(heading.place, "")
        if typed:
            name = unit_beside(one.unit, typed)
            if name is None:
                instead = f"Write {one.label} [{one.metric_unit}] or {one.label} [{one.inch_unit}]"
                wrong = f'"{typed}" is no unit of {one.label}'
                raise refuse("unknown unit", self.file, wrong, instead, f"column {heading.text}")
            return name
        if self.inside:
            return one.unit
        return (one.metric_unit or None) if one.metric_unit == one.inch_unit else None


def take_units(grid: Grid, headings: list[Heading], name_places: list[int]) -> Units:
    """The units of the second row, which is then no row of the table any more. Raises WorkbookError."""
    if not grid.rows:
        return Units(grid.file, inside=grid.typed)
    sized = [heading for heading in headings if heading.field.notation in WITH_UNIT]
    texts = {heading.place: seen(grid.columns[heading.place][0]) for heading in sized}
    names = [seen(grid.columns[place][0]) for place in name_places]
    if not _are_units([text for text in texts.values() if text], names):
        return Units(grid.file, inside=grid.typed)
    for heading in sized:
        _require_unit(grid, heading, texts[heading.place])
    grid.columns = [column[1:] for column in grid.columns]
    grid.rows = grid.rows[1:]
    return Units(grid.file, texts)


def _are_units(given: list[str], names: list[str]) -> bool:
    if not given or any(sign in "0123456789" for text in given for sign in text):
        return False
    return not any(names) or all(text.lower() in ("", "unit", "units", "-") for text in names)


def _require_unit(grid: Grid, heading: Heading, text: str) -> None:
    one = heading.field
    if text and unit_beside(one.unit, text) is None:
        instead = f"Write {one.metric_unit} or {one.inch_unit}"
        where = f"row {grid.rows[0]}, column {heading.text}"
        raise refuse("unknown unit", grid.file, f'"{text}" is no unit of {one.label}', instead, where)
