"""The name of a line: role, place, side and ordinal; and entries of workbooks that named their lines otherwise.

What a part must be (its measured sizes) is no part of the name: a size measured again moves no receipt, note or order.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bomcheck.model.demand import BOTH, Demand
from bomcheck.model.finding import said_in
from bomcheck.model.job import Job
from bomcheck.model.records import replace
from bomcheck.supply.spec import needed_side, spec_text

if TYPE_CHECKING:
    from bomcheck.supply.stock import Wanted

AT = " @ "  # stands in every name that is made here, and in none of an older version
ANYWHERE = ("fluid", "cleaner", "threadlocker", "thread sealant", "anti-seize", "grease", "safety wire")
OTHERS = ("surplus | ", "ask | ", "measure ", "quote ")


def line_name(demand: Demand) -> str:
    """ "bracket screw @ bracket to ear, left". Shims of one place are told apart by their own thickness, as stamped; what comes
    out of one bottle for the whole job has its use in the place of a place."""
    place = str(demand.spec.get("use") or "job") if demand.role in ANYWHERE else demand.used_at.split(", ")[0] or "job"
    side = needed_side(demand)
    pieces = [place, demand.axle, side if side in BOTH else "", _stamped(demand)]
    return demand.role + AT + ", ".join(piece for piece in pieces if piece)


def _stamped(demand: Demand) -> str:
    size = demand.spec.get("thickness")
    return f"{(size[0] + size[1]) / 2:g}" if demand.role == "shim" and size and None not in size else ""


def recognised(job: Job, wanted: Sequence["Wanted"]) -> tuple[Job, Mapping[str, str]]:
    """The job with the entries of an older workbook under today's names; and, by their old name, which are unclear and why."""
    old = [key for key in job.own if AT not in key and not key.startswith(OTHERS)]
    if not old:
        return job, {}
    own: dict[str, Mapping[str, Any]] = {key: typed for key, typed in job.own.items() if key not in old}
    unclear = {}
    for key in old:
        found = [one.key for one in _same_part(key, wanted) if one.key not in own]
        if len(found) == 1:
            own[found[0]] = job.own[key]
        else:
            own[key] = job.own[key]
            if found:
                typed = (f"{one.replace('_', ' ').removeprefix('own ')} {value}" for one, value in job.own[key].items())
                unclear[key] = f'{", ".join(typed)} beside "{key}" may belong to: {"; ".join(found)}. Type it there'
    return replace(job, own=own), unclear


def _same_part(key: str, wanted: Sequence["Wanted"]) -> Iterator["Wanted"]:
    """Lines of that role and side; of several those that must be just what the old name says."""
    role, *rest = key.split(" | ")
    side = next((text for text in rest if text in BOTH), "either")
    mine = [one for one in wanted if one.demand.role == role and needed_side(one.demand) == side]
    with said_in("metric"):
        exact = [one for one in mine if (spec_text(one.demand) or one.demand.said) in rest]
    placed = [one for one in exact or mine if one.demand.used_at in rest]
    yield from placed or exact or mine
