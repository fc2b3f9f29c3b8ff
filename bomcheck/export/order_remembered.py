"""What earlier runs put into the ordering spreadsheet, as the small file beside it keeps it."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from bomcheck.export.order_owner import Owner, owner_of

TEXTS = ("part_number", "supplier", "description")


@dataclass
class Remembered:
    """One line. packs [-]: needed when it was ordered. row: where it was put. None: not known."""

    job_number: str
    line_key: str
    axle: str = ""
    vehicle_label: str = ""
    part_number: str | None = None
    supplier: str | None = None
    description: str | None = None
    packs: float | None = None
    row: int | None = None

    @property
    def owner(self) -> Owner:
        """Whose order it is."""
        return owner_of(asdict(self))

    @property
    def name(self) -> str:
        """How it is named in a sentence."""
        return " ".join(f"{self.part_number or ''} {self.description or ''}".split()) or self.line_key

    def is_line(self, line: Mapping[str, Any]) -> bool:
        """Whether this is that order line."""
        return self.line_key == str(line["line_key"]) and self.owner.may_be(owner_of(line))


def remembered(line: Mapping[str, Any], row: int | None = None) -> Remembered:
    """An order line as it is to be remembered."""
    owner = {key: str(line.get(key) or "") for key in ("axle", "vehicle_label")}
    texts = {key: str(line.get(key) or "") for key in TEXTS}
    packs = line.get("packs")
    packs = None if packs is None else float(packs)
    return Remembered(str(line["job_number"]), str(line["line_key"]), **owner, **texts, packs=packs, row=row)


def read_remembered(lines: Iterable[Any]) -> list[Remembered]:
    """From the small file; an older one kept (job number, line, packs) only."""
    return [_older(one) if isinstance(one, list) else _read(dict(one)) for one in lines]


def _older(line: list[Any]) -> Remembered:
    packs = float(line[2]) if len(line) > 2 and line[2] is not None else None
    return Remembered(str(line[0]), str(line[1]), packs=packs)


def _read(one: dict[str, Any]) -> Remembered:
    part_number, supplier, description = (None if one.get(key) is None else str(one[key]) for key in TEXTS)
    owner = {key: str(one.get(key) or "") for key in ("axle", "vehicle_label")}
    packs, row = one.get("packs"), one.get("row")
    packs, row = None if packs is None else float(packs), None if row is None else int(row)
    line = Remembered(str(one["job_number"]), str(one["line_key"]), **owner, packs=packs, row=row)
    return replace(line, part_number=part_number, supplier=supplier, description=description)


def as_written(one: Remembered) -> dict[str, Any]:
    """For the small file, without what is not known."""
    return {key: value for key, value in asdict(one).items() if value not in (None, "") or key in TEXTS}
