"""One round of checks on many lanes."""

from collections.abc import Iterator
from typing import Any

from bomcheck.model.rule import STACKS
from bomcheck.rules import all_checks
from bomcheck.screen.adjusting import Adjusted
from bomcheck.screen.checking import judge
from bomcheck.screen.found import Cured, Found
from bomcheck.screen.order import joint_name
from bomcheck.screen.ready import prepare
from bomcheck.screen.sizes import Sizes


class Round:
    """Some checks on one state of the lanes. found: by name. cures: in the order in which a job's round meets them."""

    def __init__(self, sizes: Sizes, memo: dict[Any, Any], names: frozenset[str]) -> None:
        self.sizes, self.found = sizes, dict[str, Found]()
        ready = [prepare(check, sizes) for name, check in all_checks().items() if name in names]
        for name in STACKS:
            of_stack = [one for one in ready if one.check.stack == name]
            if of_stack:
                moved = Adjusted(name, of_stack, sizes, memo)
                self.found |= {**moved.found, joint_name(name): moved.joint}
        for one in ready:
            if not one.check.stack:
                self.found[one.check.name] = judge(one, sizes)

    @property
    def cures(self) -> Iterator[tuple[str, Cured]]:
        """(check, remedy), stack by stack, then the others."""
        for name, found in self.found.items():
            for cure in found.cures:
                yield name, cure
