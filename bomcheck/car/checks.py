"""What is checked of the brakes as a whole, as `tables/car_checks.txt` states it, and the word that each answer is printed as."""

from functools import cache

from bomcheck.model.finding import Finding, Reason, Weight
from bomcheck.model.records import dataclass
from bomcheck.model.verdict import Verdict
from bomcheck.tables import sections

INTERFACE = "whole car"
GOOD, LOOK, BAD, UNKNOWN = "good", "look at it", "not good", "not known"
WORDS = (BAD, LOOK, UNKNOWN, GOOD)
"""Worst first."""


@dataclass(frozen=True, slots=True)
class CarCheck:
    """One check: its name and the words of its section; "" where it has none. weight: what a failure means."""

    name: str
    title: str
    unit: str
    per: str
    weight: Weight
    limit: str = ""
    formula: str = ""
    must: str = ""
    why: str = ""
    do: str = ""
    source: str = ""

    @property
    def plain_title(self) -> str:
        """The title for a page that is of no one car."""
        named = {"axle": "front or rear", "Axle": "Front or rear", "whose": "of the kit or on the car"}
        return self.title.format(**named, circuit="a circuit", force="a stated force", rate="a stated rate")


@cache
def car_checks() -> dict[str, CarCheck]:
    """Every check of the brakes as a whole by name, in the order of the table."""
    made = {}
    for name, words in sections("car_checks").items():
        others = {key: text for key, text in words.items() if key != "weight"}
        made[name] = CarCheck(name, weight=Weight(words["weight"]), **others)
    return made


def check_of(name: str) -> CarCheck:
    """The check that a finding belongs to: "grip_rear" is one of "grip".

    >>> check_of("grip_rear").name, check_of("pedal_travel_use").name
    ('grip', 'pedal_travel_use')
    """
    found = one_of(name)
    if found is None:
        raise ValueError(f'"{name}" has no section in tables/car_checks.txt; write one, as its head explains')
    return car_checks()[found]


def one_of(name: str) -> str | None:
    """The same by its name; None for one that is none of them."""
    while name not in car_checks() and "_" in name:
        name = name.rpartition("_")[0]
    return name if name in car_checks() else None


def word(finding: Finding) -> str:
    """How a finding is printed: one of WORDS. Two verdicts of a fit become "not good": with parts and without."""
    if finding.verdict is Verdict.NOT_KNOWN:
        return LOOK if finding.reason is Reason.STRADDLES else UNKNOWN
    if finding.verdict is Verdict.FITS:
        return LOOK if finding.reason is Reason.TO_SEE_TO else GOOD
    return LOOK if finding.weight is Weight.LOOK else BAD


def counts(finding: Finding) -> bool:
    """Whether the car's verdict takes it in: a failure for every true size of what counts, or a part that puts it right, or may.

    What is not known of the brakes as a whole is told and asked; it does not hold back the verdict of the fit.
    """
    if finding.demands:
        return finding.verdict is Verdict.FITS_WITH_PARTS or finding.reason is Reason.STRADDLES
    return finding.verdict is Verdict.DOES_NOT_FIT and finding.weight is Weight.COUNTS
