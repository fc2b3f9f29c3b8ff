"""What a job knows, filed in the shop's records; two measurements of one thing are joined, never silently replaced."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from datetime import date
from pathlib import Path

from bomcheck.io.read.measured import agree
from bomcheck.io.records import tables
from bomcheck.io.refusal import refuse
from bomcheck.model.job import Job, Part, Terms, Value
from bomcheck.model.records import dataclass
from bomcheck.model.types import BoltCircle, LineEnd, Pieces, Thread
from bomcheck.notation import units
from bomcheck.notation.quantity import read_quantity
from bomcheck.tables.fields import Field, part_fields

SAME = 1e-4  # as closely as a figure is written


@dataclass
class Kept:
    """added, changed: how many rows. said: one line for each thing that a person should know."""

    added: int = 0
    changed: int = 0
    said: list[str] = field(default_factory=list)


def keep(job: Job, path: Path, today: date) -> Kept:
    """Files kit, corner, wheel, box, prices and terms of a job, and what is the shop's own. Raises WorkbookError; a second time changes nothing."""
    records, kept = tables.open_records(path), Kept()
    _require_names(job, path)
    mark = {tables.KEPT_ON: today.isoformat(), tables.FROM_JOB: str(job.get("job_number") or "")}
    for sheet, name in ((tables.KITS, ("kit_number", "kit_revision")), (tables.CORNERS, ("vehicle_label", "axle"))):
        _file(records, sheet, {key: str(job.get(key) or "") for key in name}, job, mark, kept)
    if wheel := wheel_name(job):
        _file(records, tables.WHEELS, {tables.WHEEL_NAME: wheel}, job, mark, kept)
    if any(key in job.values for key in tables.OF_SHOP):
        _file(records, tables.SHOP, {}, job, mark, kept)
    names = ((tables.heading_of("kit_number"), "kit_number"), (tables.KIT_REVISION, "kit_revision"))
    kit = {heading: str(job.get(key) or "") for heading, key in names}
    box = ({**kit, **part_cells(tables.BOXES, part)} for part in job.box)
    _file_lines(records, tables.BOXES, box, mark, kept)
    _file_lines(records, tables.PRICES, (part_cells(tables.PRICES, part) for part in job.prices), mark, kept)
    _file_lines(records, tables.TERMS, map(_terms_cells, job.terms), mark, kept)
    if kept.added or kept.changed:
        tables.write_records(records)
    return kept


def _require_names(job: Job, path: Path) -> None:
    lacking = [tables.heading_of(key) for key in ("kit_number", "vehicle_label", "axle") if not job.get(key)]
    if lacking:
        wrong = f"the job does not say {', '.join(lacking)}, by which records are found again"
        raise refuse("part of it missing", path.name, wrong, "Fill it in and try again")


def wheel_name(job: Job) -> str:
    """How a wheel is called: its code, width and offset; "" where these are not all known."""
    code, width, offset = (job.get(key) for key in ("wheel_rim_code", "wheel_rim_width", "wheel_offset"))
    return "" if code is None or width is None or offset is None else f"{code} x {width:g} ET {offset:g}"


def _file(
    records: tables.Records, sheet: str, name: Mapping[str, str], job: Job, mark: Mapping[str, tables.Text], kept: Kept
) -> None:
    """One row of Kits, Corners, Wheels or Shop: made, or joined with the one that is there."""
    facts = [(one, job.values[one.key]) for one in tables.sheet_fields(sheet) if one.key in job.values]
    same = [
        row
        for row in records.find(sheet, **name)
        if all(row.text(tables.heading_of(k)) or not t for k, t in name.items())
    ]
    if len(same) > 1:
        wrong = f"{sheet} has {' '.join(filter(None, name.values()))} twice"
        raise refuse("entries disagree", records.path.name, wrong, "Make one row of the two")
    row = same[0] if same else tables.Record({tables.heading_of(key): text for key, text in name.items() if text})
    changed = False
    for one, value in facts:
        changed |= _join(row, one, value, kept, ", ".join(filter(None, (sheet, " ".join(filter(None, name.values()))))))
    if not same:
        _name_other_revisions(records, sheet, name, kept)
        records.rows[sheet].append(row)
        kept.added += 1
    elif changed:
        kept.changed += 1
    if changed or not same:
        row.cells.update({heading: text for heading, text in mark.items() if text})


def _name_other_revisions(records: tables.Records, sheet: str, name: Mapping[str, str], kept: Kept) -> None:
    """A kit whose revision is not the one that is kept is another kit, and a person should know."""
    if sheet != tables.KITS:
        return
    others = [
        row.text(tables.KIT_REVISION) or "none stated" for row in records.find(sheet, **{**name, "kit_revision": ""})
    ]
    if others:
        now = name["kit_revision"] or "none stated"
        kept.said.append(
            f"{sheet}, {name['kit_number']}: the job's revision is {now}, kept was {', '.join(others)}; both are kept. "
            f"Ask the kit maker what changed before parts of the older one are used"
        )


def _join(row: tables.Record, one: Field, value: Value, kept: Kept, where: str) -> bool:
    """One cell; whether it changed."""
    text = written(one, value)
    there = row.cells.get(one.label)
    if text == "":
        return False
    if there is None or there == "":
        row.cells[one.label] = text
        if one.takes_plus_minus:
            row.cells[f"{one.label} ±"] = as_metric(one, value.plus_minus, difference=True)
        return True
    if isinstance(there, float | int) and isinstance(text, float | int):
        return _narrow(row, one, value, kept, where)
    if _same(there, text):
        return False
    return _differs(row, f"{one.label}: {there} is kept, the job says {text}", kept, where)


def _narrow(row: tables.Record, one: Field, value: Value, kept: Kept, where: str) -> bool:
    """Two measurements: what both allow, where they agree; else both are shown."""
    middle, half = float(row.cells[one.label]), float(read_quantity(row.cells.get(f"{one.label} ±"), "-") or 0.0)
    job, job_half = float(as_metric(one, value.value)), float(as_metric(one, value.plus_minus, difference=True))
    if not agree(Value(one.key, middle, half + SAME), Value(one.key, job, job_half)):
        words = f"{one.label}: {middle:g} ±{half:g} is kept, the job says {job:g} ±{job_half:g}"
        return _differs(row, words, kept, where)
    low, high = max(middle - half, job - job_half), min(middle + half, job + job_half)
    new_middle, new_half = round((low + high) / 2, 6), round(max(high - low, 0.0) / 2, 6)
    if abs(new_half - half) < SAME or not one.takes_plus_minus:
        return False
    row.cells[one.label], row.cells[f"{one.label} ±"] = new_middle, new_half
    kept.said.append(
        f"{where}: {one.label} was {middle:g} ±{half:g}, with the job's figure it is {new_middle:g} ±{new_half:g}"
    )
    return True


def _differs(row: tables.Record, words: str, kept: Kept, where: str) -> bool:
    if words in row.text(tables.NOT_AGREED):
        return False
    row.cells[tables.NOT_AGREED] = "; ".join(filter(None, (row.text(tables.NOT_AGREED), words)))
    kept.said.append(f"{where}: {words}")
    return True


def _file_lines(
    records: tables.Records,
    sheet: str,
    lines: Iterable[dict[str, tables.Text]],
    mark: Mapping[str, tables.Text],
    kept: Kept,
) -> None:
    """Lines of a box, a price list or suppliers' terms; one that is there with other figures is named and kept as it is."""
    keys = [tables.heading_of(key) for key in tables.ONE_LINE[sheet]]
    for cells in lines:
        known = [
            row for row in records.rows[sheet] if all(row.text(at) == str(cells.get(at, "")).strip() for at in keys)
        ]
        if not known:
            records.rows[sheet].append(tables.Record({**cells, **{k: v for k, v in mark.items() if v}}))
            kept.added += 1
        name = next(cells[at] for at in map(tables.heading_of, ("part_number", "role", "supplier")) if at in cells)
        for row in known[:1]:
            for heading in [at for at in cells if not _same(row.cells.get(at, ""), cells[at])]:
                now = row.cells.get(heading, "blank")
                kept.said.append(f"{sheet}, {name}: {heading} {now} is kept, the job says {cells[heading]}")


def _terms_cells(terms: Terms) -> dict[str, tables.Text]:
    named: dict[str, tables.Text] = {
        "supplier": terms.supplier,
        "freight": terms.freight,
        "minimum_order": terms.minimum,
    }
    return {tables.heading_of(key): value for key, value in named.items() if value}


def _same(one: tables.Text, other: tables.Text) -> bool:
    """Whether two cells say the same; 4 is 4.0."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) < SAME
    return str(one).strip() == str(other).strip()


def part_cells(sheet: str, part: Part) -> dict[str, tables.Text]:
    """A part's line under the headings of its sheet; lengths in mm."""
    return dict(_part_cells(sheet, part))


def _part_cells(sheet: str, part: Part) -> Iterator[tuple[str, tables.Text]]:
    for heading, _, one, _ in tables.columns(sheet):
        if one is None or one.key not in part_fields():
            continue
        value = getattr(part, {"class": "strength_class"}.get(one.key, one.key), None)
        if value not in (None, "") and not (one.key == "side" and value == "either"):
            yield heading, value.name if isinstance(value, Thread | LineEnd) else value


def written(one: Field, value: Value) -> tables.Text:
    """A value as it is typed into a metric workbook."""
    found = value.value
    if isinstance(found, Thread | LineEnd | BoltCircle):
        return found.name
    if isinstance(found, bool) or not isinstance(found, int | float | tuple):
        return str(found)
    if isinstance(found, int | float):
        return as_metric(one, found) if one.shown_unit("metric") or one.unit in ("", "-") else f"{found:g} {one.unit}"
    return (
        "; ".join(_item(item) for item in found) if one.notation != "bores" else "+".join(f"{item:g}" for item in found)
    )


def as_metric(one: Field, value: float, difference: bool = False) -> float:
    """A figure in the unit that a metric workbook shows for the field."""
    inside, shown = units.named(one.unit), units.named(one.shown_unit("metric"))
    if inside is None or shown is None or inside == shown:
        return round(float(value), 6)
    return round(units.convert(float(value), inside, shown, difference), 4)


def _item(item: object) -> str:
    if isinstance(item, BoltCircle):
        return item.name
    if isinstance(item, Pieces):
        return f"{item.thickness:g}x{item.count}"
    if isinstance(item, tuple):
        return f"{item[0]:g}:{item[1]:g}"
    return str(item)
