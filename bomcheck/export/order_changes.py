"""What is otherwise than when it was ordered: each such line in one remark, old -> new."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from bomcheck.export.order_known import Known
from bomcheck.export.order_mapping import ColumnMap
from bomcheck.export.order_owner import Owner, owner_of
from bomcheck.export.order_place import Place
from bomcheck.export.order_remembered import Remembered, remembered
from bomcheck.export.order_shown import shown

Line = Mapping[str, Any]
TEXTS = {"supplier": "supplier", "part_number": "part number"}


def changes(
    place: Place, mapping: ColumnMap, found: Known, lines: Sequence[Line], owner: Owner, book: str
) -> list[str]:
    """The remarks. An entry whose row says already what is needed now is brought up to date, without one."""
    told = []
    for line in lines:
        at = found.of(line)
        if not at:
            continue
        differ = list(_differences([found.entries[one] for one in at], line))
        if not differ:
            _bring_up_to_date(found, at, line)
        elif len(at) == 1 and _is_settled(place, mapping, found.row_of.get(at[0]), line, differ):
            found.entries[at[0]] = remembered(line, found.row_of.get(at[0]))
        else:
            said = ", ".join(f"{what} {old} -> {new}" for _, what, old, new in differ)
            told.append(
                f"{book}: {found.entries[at[0]].name} has changed since it was ordered: {said}. Change it there."
            )
    return [*told, *_not_needed(found, lines, owner, book)]


def _differences(entries: Sequence[Remembered], line: Line) -> Iterator[tuple[str, str, str, str]]:
    """(order column, what it is called, old, new)."""
    for key, what in TEXTS.items():
        old, new = getattr(entries[0], key), str(line[key] or "")
        if old is not None and old != new:
            yield key, what, f'"{old}"' if old else "none", f'"{new}"' if new else "none"
    packs = [one.packs for one in entries if one.packs is not None]
    if len(packs) == len(entries) and abs(sum(packs) - line["packs"]) > 1e-6:
        yield "packs", "packs", f"{sum(packs):g}", f"{line['packs']:g}"


def _bring_up_to_date(found: Known, at: Sequence[int], line: Line) -> None:
    """An entry of an older small file takes over what it did not keep."""
    for one in at:
        entry = found.entries[one]
        new = remembered(line)
        fill = {key: getattr(new, key) for key in ("part_number", "supplier", "description", "packs")}
        empty = {key: value for key, value in fill.items() if getattr(entry, key) is None}
        stated = {key: getattr(new, key) for key in ("axle", "vehicle_label") if not getattr(entry, key)}
        found.entries[one] = replace(entry, **empty, **stated)


def _is_settled(
    place: Place, mapping: ColumnMap, row: int | None, line: Line, differ: Sequence[tuple[str, str, str, str]]
) -> bool:
    """Whether the row shows the new supplier, number and quantity: somebody changed it there."""
    if row is None:
        return False
    texts, wanted = place.texts(row), shown(line, mapping)
    for key, *_ in differ:
        names = [
            n for n in (("packs", "quantity_ordered", "quantity_needed") if key == "packs" else (key,)) if n in texts
        ]
        if not names or any(not _same(texts[name], wanted[name]) for name in names):
            return False
    return True


def _same(typed: str, wanted: Any) -> bool:
    try:
        return abs(float(typed.replace(",", ".")) - float(wanted)) < 1e-6
    except ValueError:
        return typed.strip() == str(wanted).strip()


def _not_needed(found: Known, lines: Sequence[Line], owner: Owner, book: str) -> list[str]:
    """Entries of this very job, axle and side that are no line any more."""
    left = [one for one in found.entries if one.owner == owner and not any(one.is_line(line) for line in lines)]
    return [
        f"{book}: {one.name} is no longer needed: packs {'?' if one.packs is None else f'{one.packs:g}'} -> 0. "
        "Take it out there, or send it back."
        for one in left
    ]


def other_cars(found: Known, lines: Sequence[Line], book: str) -> list[str]:
    """One line where the same job and axle stand there for a car of another name."""
    for line in lines[:1]:
        mine = owner_of(line)
        for one in found.entries:
            other = one.owner
            if (other.job, other.axle) == (mine.job, mine.axle) and other.vehicle and mine.vehicle != other.vehicle:
                said = f'"{one.vehicle_label}" -> "{line["vehicle_label"]}"'
                return [
                    f"{book}: job {one.job_number} has lines of another car there ({said}); these are added as well."
                ]
    return []
