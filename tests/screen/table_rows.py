"""Rows of invented tables, made without the table reader, as the tests' other way to the same values."""

from collections.abc import Sequence
from typing import Any

from bomcheck.engine.many.columns import Rows, rows_of
from bomcheck.screen.world import World
from tests.helpers import jobs, tables


def rows(kind: str, made: Sequence[dict[str, Any]], **rest: Any) -> Rows:
    """Corners or kits of the generator as rows."""
    name = "vehicle_label" if kind == "corners" else "kit_number"
    values = [{key: jobs.value_of(key, typed) for key, typed in row.items()} for row in made]
    return rows_of([row[name] for row in made], values, **rest)


def world(corners: int, kits: int, families: int) -> World:
    """A screening of invented corners and kits."""
    return World(rows("corners", tables.corners(corners, families)), rows("kits", tables.kits(kits, families)))
