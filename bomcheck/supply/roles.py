"""What a job consumes by rule, from `tables/roles.txt`: each row whose conditions hold is a demand, a blank condition a question."""

from collections.abc import Iterator
from typing import Any

from bomcheck.model.demand import MASTER, Asked, Demand
from bomcheck.rules.joint_table import condition
from bomcheck.supply.needs import Assembly, needs, state, was_drum
from bomcheck.tables import rows
from bomcheck.tables.fields import fields

Row = dict[str, str]
ALWAYS, OFF = "always", "off"
IN_PLACE = {ALWAYS: "in place already", OFF: "comes off the car and is not fitted again"}


def _hub_off(assembly: Assembly) -> str | None:
    """Whether the hub comes off: because it is said, or because the kit has another."""
    said, in_kit = assembly.get("hub_removed"), assembly.get("hub_in_kit")
    return "yes" if "yes" in (said, in_kit) else said


def _same_park(assembly: Assembly) -> str:
    """Whether the car's parking brake works as the kit's does, so that its cable goes on."""
    alike = (assembly.get(f"park_{what}") == assembly.get(f"kit_park_{what}") for what in ("brake", "lever"))
    return "yes" if all(alike) else "no"


# Conditions that follow from several fields; with the field that is asked for where one of them is not known.
FOLLOWS: dict[str, tuple[Any, str]] = {
    "hub_off": (_hub_off, "hub_removed"),
    "sensor_ring": (lambda one: "yes" if one.sizes.has("sensor_ring_diameter") else "no", ""),
    "same_park": (_same_park, ""),
    "was_drum": (lambda one: was_drum(one.job), "caliper_position_present"),
    "own_park_caliper": (lambda one: ("no", "yes")[any(part.role == "parking caliper" for part in one.job.box)], ""),
    "own_adapter": (lambda one: ("no", "yes")[any(part.role == "cable adapter" for part in one.job.box)], ""),
    "new_master": (lambda one: "yes" if MASTER in one.ordered else "no", ""),
}


def _open(assembly: Assembly, text: str) -> tuple[str, ...] | None:
    """Fields that must be known before it is clear whether these conditions hold; None where one of them does not."""
    blank = []
    for key, allowed in condition(text).items():
        found = FOLLOWS[key][0](assembly) if key in FOLLOWS else assembly.get(key)
        if found is None:
            blank.append(FOLLOWS[key][1] if key in FOLLOWS else key)
        elif not set(allowed) & set(found if isinstance(found, tuple) else (found,)):
            return None
    return tuple(blank)


@needs
def by_rule(assembly: Assembly) -> Iterator[Demand]:
    """All rows that hold; rows of one place that wait for the same answer make one question."""
    waiting: dict[tuple[str, tuple[str, ...]], list[Row]] = {}
    for row in rows("roles"):
        blank = _open(assembly, row["when"])
        if blank == ():
            yield _demand(assembly, row)
        elif blank:
            waiting.setdefault((row["place"], blank[:1]), []).append(row)
    for (place, keys), some in waiting.items():
        said = ", ".join(dict.fromkeys(row["said"] for row in some))
        ask = " ".join(fields()[key].question for key in keys)
        yield Asked(some[0]["role"], 0, ask=ask, said=said, used_at=place)


def _demand(assembly: Assembly, row: Row) -> Demand:
    there = () if row["there"] in IN_PLACE else _open(assembly, row["there"]) if row["there"] else None
    counted = row["quantity"].replace(".", "").isdigit()
    blank = (*(there or ()), *(() if counted else _blank(assembly, row["quantity"])))
    quantity = float(row["quantity"]) if counted else float(assembly.get(row["quantity"], 0))
    reason = f"{IN_PLACE.get(row['there'], IN_PLACE[ALWAYS])}; {row['reason']}" if there == () else row["reason"]
    return state(
        assembly, row["role"], quantity, *blank, per=row["per"], unit=row["unit"], one_time=row["once"] == "yes" and there != (),
        on_car=there == (), said=row["said"], reason=reason, used_at=row["place"], spec=_spec(assembly, row),
    )  # fmt: skip


def _blank(assembly: Assembly, key: str) -> tuple[str, ...]:
    known = {"hub_lug_count": "hub_bolt_circle"}.get(key, key)
    return () if assembly.sizes.has(key) else (known,)


def _spec(assembly: Assembly, row: Row) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for pair in filter(None, row["spec"].split("; ")):
        key, value = pair.split("=")
        size = assembly.get(value) if value in fields() else value
        if size is not None:
            found[key] = getattr(size, "name", size)
    return found
