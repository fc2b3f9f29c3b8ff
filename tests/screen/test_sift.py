"""What is sifted out before all checks are run is what all checks would refuse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.engine.many.columns import Column
from bomcheck.engine.many.reach import reach_of, upstream
from bomcheck.engine.many.settled import Alike
from bomcheck.model.verdict import PARTS
from bomcheck.rules import all_checks
from bomcheck.screen.blocks import judge_pairs
from bomcheck.screen.prefilter import sifting
from bomcheck.screen.tasks import Wanted, do_task, gate_tasks, judging_tasks
from tests.screen.table_rows import world


@pytest.mark.parametrize("families", [1, 2, 3, 8])
def test_no_pair_that_fits_is_lost(families):
    """All 3,600 pairs: those that pass by the short way, gate included, are those that pass by the long way."""
    made = world(60, 60, families)
    corner, kit = np.repeat(np.arange(60), 60), np.tile(np.arange(60), 60)
    whole = judge_pairs(made, corner, kit)
    passing = np.flatnonzero(whole.severity <= PARTS)
    wanted = Wanted(passers=True)
    tasks = judging_tasks([do_task(made, wanted, task) for task in gate_tasks(made)], 2)
    blocks = [do_task(made, wanted, task).block for task in tasks]
    found = {
        pair: s
        for b in blocks
        for pair, s in zip(zip(b.corner.tolist(), b.kit.tolist(), strict=True), b.severity.tolist(), strict=True)
    }
    assert found == {(int(corner[at]), int(kit[at])): int(whole.severity[at]) for at in passing}
    assert len(passing)


def test_upstream_is_closed():
    """A check's upstream holds every check whose remedy may change what one of it reads, shims and their leads included."""
    for name, check in all_checks().items():
        above = upstream(name)
        reads = frozenset().union(*(reach_of(one).reads for one in above))
        assert {one for one in all_checks() if reach_of(one).changes & reads} <= above
        leads = {
            one
            for one, other in all_checks().items()
            if check.stack and other.stack == check.stack and other.target is not None
        }
        assert all(
            {one for one in all_checks() if reach_of(one).changes & reach_of(lead).reads} <= above for lead in leads
        )


def test_every_stage_knows_what_leads_its_shims():
    """Checks that shims move are only judged together with the check that the shims are there for."""
    for names in sifting():
        stacks = {all_checks()[name].stack for name in names} - {""}
        for stack in stacks:
            assert {n for n, c in all_checks().items() if c.stack == stack and c.target is not None} <= set(names)


ENTRY = st.tuples(st.booleans(), st.sampled_from([0.0, 1.0, 1.5]), st.sampled_from([0.0, 0.1, 0.2]))


@given(st.lists(st.tuples(ENTRY, ENTRY), min_size=1, max_size=12))
def test_kinds_are_rows_that_are_alike(rows):
    """Two rows are of one kind exactly if every column has the same in both: blank, or value and ±."""
    columns = {
        key: Column(
            *(np.array([row[place][part] for row in rows]) for part in (0, 2)),
            np.array([row[place][1] for row in rows]),
        )
        for place, key in enumerate("ab")
    }
    kinds = Alike(columns.get, len(rows)).kinds({"a", "b", "none"})
    marks = [tuple((v, h) if k else None for k, v, h in row) for row in rows]
    for one in range(len(rows)):
        assert marks[int(kinds.first[kinds.code[one]])] == marks[one]
        for other in range(one):
            assert (kinds.code[one] == kinds.code[other]) == (marks[one] == marks[other])
