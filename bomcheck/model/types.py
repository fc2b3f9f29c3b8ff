"""What typed text means once it is read: threads, bolt circles, line ends, lists. All lengths in mm."""

from bomcheck.model.records import dataclass

NOISE = 1e-6  # mm: of adding sizes and turning inches into mm


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread.

    form: "M" (ISO metric), "UN" (unified inch) or "NPT" (taper pipe). diameter [mm]: nominal major diameter.
    pitch [mm]: None when it was not stated. name: canonical text, "M12x1.5", "1/2-20", "1/8-27 NPT"; a thread of unknown
    pitch is "M12". Two threads are the same only if form, diameter and pitch agree; `name` is their identity.
    """

    name: str
    form: str
    diameter: float
    pitch: float | None

    def may_be(self, other: "Thread") -> bool:
        """Whether both may be one thread: a pitch that is not stated contradicts nothing."""
        if self.pitch is None or other.pitch is None:
            return self.form == other.form and abs(self.diameter - other.diameter) < NOISE
        return self.name == other.name


@dataclass(frozen=True, slots=True)
class BoltCircle:
    """A pattern of holes on a circle.

    count [-]; low, high [mm]: equal for round holes, the ends of the slot for a slotted hat; both None when only the
    count is known ("5 lug"). name: canonical text "5x114.3", "5x100-114.3 slotted", "5".
    """

    name: str
    count: int
    low: float | None
    high: float | None

    @property
    def diameter(self) -> float | None:
        return self.low if self.low == self.high else None


@dataclass(frozen=True, slots=True)
class LineEnd:
    """One end of a brake-line part.

    thread: a Thread, None if not stated. seat: "inverted flare", "bubble", "37", "NPT", "banjo", "crush" or "O-ring",
    None if not stated. gender: "male" or "female"; for a banjo "eye" or "port"; None if not stated.
    tube [mm]: outside diameter of the tube, None if not stated.
    name: canonical text of what is known, "3/8-24 inverted flare male".
    """

    name: str
    thread: Thread | None
    seat: str | None
    gender: str | None
    tube: float | None = None

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is still to be asked, of "thread", "pitch", "seat", "gender"; empty when the end is complete."""
        lacks = [
            ("thread", self.thread is None),
            ("pitch", self.thread is not None and self.thread.pitch is None),
            ("seat", self.seat is None),
            ("gender", self.gender is None),
        ]
        return tuple(name for name, missing in lacks if missing)


@dataclass(frozen=True, slots=True)
class Pieces:
    """Shims of one thickness [mm] and how many of them are in the box."""

    thickness: float
    count: int
