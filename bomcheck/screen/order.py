"""The findings of a report in their order, and which checks a change calls up again."""

from collections.abc import Iterable

from bomcheck.model.rule import STACKS
from bomcheck.rules import all_checks
from bomcheck.screen.reach import reach_of

REST = "remedies_come_to_rest"
PARTS_LIST = "parts_complete"
LINE = "brake_line"


def joint_name(stack: str) -> str:
    """The finding that says whether one stack serves all checks that it moves."""
    return f"{stack}_stack_together"


def order() -> list[str]:
    """Every finding's name in the order in which a report tells them."""
    return [*all_checks(), *(joint_name(name) for name in STACKS), REST, PARTS_LIST]


def touched(changed: Iterable[str]) -> frozenset[str]:
    """Checks that read a changed key, or whose remedy does; of a stack all or none."""
    keys = frozenset(changed)
    names = {name for name in all_checks() if reach_of(name).reads & keys}
    stacks = {all_checks()[name].stack for name in names} - {""}
    return frozenset(names | {name for name, check in all_checks().items() if check.stack in stacks})
