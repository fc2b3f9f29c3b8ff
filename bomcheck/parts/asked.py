"""A demand with an open question: what is needed is not fully known, or whether it is needed at all."""

from dataclasses import dataclass

from bomcheck.parts.demand import Demand


@dataclass(frozen=True)
class Asked(Demand):
    """ask: the question that must be answered before anything is ordered.

    A quantity of 0 means that even the number is not known; the line then only asks.
    """

    ask: str = ""


def ask_of(demand: Demand) -> str:
    """The open question of a demand, "" where there is none."""
    return demand.ask if isinstance(demand, Asked) else ""
