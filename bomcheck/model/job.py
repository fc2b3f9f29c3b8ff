"""The Job: everything that was typed, in internal units, each value with its ± and the cell it came from. Pure data."""

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from typing import Any

from bomcheck.model.errors import Fault, Place
from bomcheck.model.records import dataclass
from bomcheck.model.types import Thread


@dataclass(frozen=True, slots=True)
class Value:
    """One field's value.

    value: in internal units (mm, N, N·m, MPa, kg, s, °C) or a notation type. plus_minus: half width of the interval in
    the same unit, 0.0 for exact and for what carries no ±. typed: the text of the cell. place: where it stands.
    plus_minus_from: "typed", "usual" or "" where none applies. source: where it was taken from, `bomcheck.tables.sources`.
    """

    key: str
    value: Any
    plus_minus: float = 0.0
    typed: str = ""
    place: Place = Place()
    plus_minus_from: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One line of the box contents, the price list or the shelf; keys as in `schemas/part.schema.json`.

    thread: notation Thread; end_a, end_b: LineEnd; lengths in mm; quantity in `unit`. None where not stated. axle: whose
    kit's box it lies in, "" where the car has one kit.
    """

    role: str
    part_number: str = ""
    description: str = ""
    supplier: str = ""
    side: str = "either"
    thread: Thread | None = None
    end_a: Any = None
    end_b: Any = None
    length: float | None = None
    thickness: float | None = None
    inner_diameter: float | None = None
    outer_diameter: float | None = None
    strength_class: str = ""
    road_marked: str = ""
    quantity: float | None = None
    unit: str = "each"
    pack_size: float | None = None
    unit_price: float | None = None
    lead_days: float | None = None
    on_hand: float | None = None
    note: str = ""
    place: Place = Place()
    axle: str = ""


@dataclass(frozen=True, slots=True)
class Terms:
    """What an order with one supplier costs beside its parts [the job's currency].

    freight: of one delivery. minimum: least that an order is charged at, freight not counted. 0.0 where blank.
    """

    supplier: str
    freight: float = 0.0
    minimum: float = 0.0
    place: Place = Place()


@dataclass(frozen=True, slots=True)
class TypedLimit:
    """A row of the Limits sheet that the user changed: low, high in the limit's unit, None for no bound."""

    name: str
    low: float | None
    high: float | None
    place: Place = Place()


@dataclass(frozen=True, slots=True)
class Job:
    """One axle of a vehicle and a candidate kit; or a car, which then holds the jobs of its axles.

    values: by field key; a key that is absent was left blank. terms: of suppliers. rejected: keys whose cell was read but may
    not be used, with the fault that says why. faults: every fault in reading order, those of `rejected` included. own: what
    the shop typed in the yellow columns of the lists of an earlier run, by line and column. axles: of a car, the job of each
    axle that gets a kit, front first, or of each corner where left and right differ; its own values are then what they share.
    Empty: this job is the car's one axle. place: of one of those "front", "rear left"; "left" where the car has one kit.
    kit: the letter of the kit where several are compared. kits: of the chosen one's job, the same job with each of the others.
    blank: the cell of each field beside whose label nothing stands. ordered: of a job that was ordered, by line of the Parts list
    the part numbers and suppliers that it showed.
    """

    values: dict[str, Value]
    box: tuple[Part, ...] = ()
    prices: tuple[Part, ...] = ()
    shelf: tuple[Part, ...] = ()
    limits: dict[str, TypedLimit] = field(default_factory=dict)
    rejected: dict[str, Fault] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    source: str = ""
    terms: tuple[Terms, ...] = ()
    own: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
    axles: tuple["Job", ...] = ()
    place: str = ""
    kit: str = ""
    kits: tuple["Job", ...] = ()
    blank: Mapping[str, Place] = field(default_factory=dict)
    ordered: Mapping[str, frozenset[tuple[str, str]]] = field(default_factory=dict)

    @property
    def side(self) -> str:
        """ "left" or "right" of a corner that is judged apart from the other, else ""."""
        word = self.place.rpartition(" ")[2]
        return word if word in ("left", "right") else ""

    @property
    def each_axle(self) -> tuple["Job", ...]:
        """The job of each axle, of one whose corners differ that of the left one; itself where the car has one kit."""
        return tuple(one for one in self.axles if one.side != "right") or (self,)

    @property
    def where(self) -> str:
        """ "front axle", "rear left corner"."""
        return f"{self.place} corner" if self.side else f"{self.place or self.get('axle')} axle"

    def days_left(self, today: date | None) -> float | None:
        """Until everything must be there, from the day on which it was ordered; None where no day is stated, or it is past."""
        needed, start = self.get("needed_by"), self.get("ordered_on") or today
        return float((needed - start).days) if needed and start and needed >= start else None

    def get(self, key: str, default: Any = None) -> Any:
        """The bare value of a field, or `default` when it is blank or rejected."""
        found = self.values.get(key)
        return default if found is None else found.value
