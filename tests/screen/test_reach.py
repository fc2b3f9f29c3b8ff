"""What is read off a remedy's source covers all that it does."""

import ast
import inspect
import textwrap
from types import FunctionType

import pytest

from bomcheck.engine.many import reach as source
from bomcheck.engine.many.columns import pair_job
from bomcheck.engine.many.reach import changeable, fixed, reach_of, steady
from bomcheck.engine.rounds import Cascade, Round
from bomcheck.engine.settle import settle
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.rules.wheel_shape import barrel_over_block, caliper_centre_from_wheel
from tests.screen.table_rows import world


@pytest.mark.parametrize("start", range(4))
def test_remedies_do_what_their_source_says(start):
    """On random jobs no remedy changes a key, or leads to a verdict, that its source does not name; and what is called
    steady is the same in every round."""
    made = world(25, 25, 2)
    for corner in range(25):
        first = Round(settle(pair_job(made.corners, made.kits, corner, (corner * 7 + start) % 25)))
        cascade = Cascade(first)
        for name, cure in cascade.cures.items():
            reach = reach_of(name)
            assert set(cure.changes) <= reach.changes, name
            assert reach.cures or cure.verdict is not Verdict.FITS_WITH_PARTS, name
            assert reach.fails or cure.verdict is not Verdict.DOES_NOT_FIT, name
        for name in all_checks():
            if steady(name):
                told = [round_of.findings[name].verdict for round_of in (cascade.last, first)]
                if all_checks()[name].space:  # shims may yet settle a body that is not known
                    told = [verdict is Verdict.DOES_NOT_FIT for verdict in told]
                assert told[0] is told[1], name
            if fixed(name) and not all_checks()[name].space:
                assert cascade.last.findings[name].value == first.findings[name].value, name


def test_what_settles_is_not_touched_by_remedies():
    """What `settle` adds before any check runs follows from no key that a remedy may change."""
    assert not changeable() & {
        "hub_bolt_circle",
        "hub_bolt_circle_basis",
        "wheel_bolt_circle",
        "caliper_build",
        "axial_tolerance",
    }


@pytest.mark.parametrize("name", ["lug_count", "new_pads_go_in", "wheel_circle"])
def test_well_known_steady_checks(name):
    """Counts, kit-only sizes and the wheel's circle are out of every remedy's reach."""
    assert steady(name)
    assert not steady("caliper_centred")


def _all_functions():
    ways = [way.decide for many in DERIVATIONS.values() for way in many if way.decide is not None]
    return [*ways, *(check.remedy for check in all_checks().values() if isinstance(check.remedy, FunctionType))]


def test_the_short_way_to_the_source_is_the_long_one():
    """The lines that a function was compiled from hold the same literal texts and names as its source in Python's own eyes."""
    for function in _all_functions():
        if function.__name__ == "<lambda>":
            continue
        whole = tuple(ast.walk(ast.parse(textwrap.dedent(inspect.getsource(function)))))
        short = tuple(ast.walk(source._tree(function)))
        assert source.texts_in(short) == source.texts_in(whole), function
        assert source.names_in(short) == source.names_in(whole), function


def _remedy_that_calls_another_interface(reading):
    return caliper_centre_from_wheel(reading, 0.0, 0.0) if barrel_over_block else None


def test_helpers_of_another_interface_are_followed():
    """What a remedy reads in a function of another interface counts as read."""
    nodes = source.nodes_of(_remedy_that_calls_another_interface)
    named = {node.name for node in nodes if isinstance(node, ast.FunctionDef)}
    assert {"caliper_centre_from_wheel", "barrel_over_block", "_outline_room"} <= named
