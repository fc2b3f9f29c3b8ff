"""What must be added to a pair that fits, and its price: the parts list of its job, less what the kit brings anyway."""

import numpy as np

from bomcheck.assess import assess
from bomcheck.model.job import Job
from bomcheck.screen.block import Block
from bomcheck.screen.columns import pair_job
from bomcheck.screen.rank import Added
from bomcheck.screen.severities import PARTS
from bomcheck.screen.world import World


def parts_of(world: World, block: Block) -> dict[tuple[int, int], Added]:
    """What must be added to each pair that fits, with or without parts."""
    passing = np.flatnonzero(block.severity <= PARTS)
    pairs = zip(block.corner[passing].tolist(), block.kit[passing].tolist(), strict=True)
    return {pair: added_parts(world, *pair) for pair in pairs}


def added_parts(world: World, corner: int, kit: int) -> Added:
    """What the pair takes beyond the kit. Where the contents of the kit's box are not entered, what every fitting of this kit
    takes counts as part of the kit, and so do shims that its stated pieces cover."""
    report = assess(pair_job(world.corners, world.kits, corner, kit), world.today)
    wanted = [line for line in report.parts if line.to_order and line.role != "question"]
    if kit not in world.kits.boxes:
        own = _own_lines(world, kit)
        covered = all(plan.covered for plan in report.plans.values())
        wanted = [
            line for line in wanted if (line.key, line.needed) not in own and not (covered and line.role == "shim")
        ]
    texts = [
        f"{line.to_order:g} {'x' if line.unit == 'each' else line.unit} {line.description or line.role}"
        + (f" [{line.part_number}]" if line.part_number else "")
        for line in wanted
    ]
    priced = [line.line_total for line in wanted if line.line_total is not None]
    return Added("; ".join(texts), round(sum(priced), 2) if priced else None, len(priced) == len(wanted))


def _own_lines(world: World, kit: int) -> set[tuple[str, float]]:
    """The parts list of a kit by itself: (line, how many)."""
    mark = ("own lines", kit)
    if mark not in world.memo:
        report = assess(Job(world.kits.values(kit), limits=world.job.limits), world.today)
        world.memo[mark] = {(line.key, line.needed) for line in report.parts}
    found: set[tuple[str, float]] = world.memo[mark]
    return found
