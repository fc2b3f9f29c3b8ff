"""Shim stacks: which can be laid, and whether every true size finds one; against plain enumeration."""

from itertools import product
from random import Random

import pytest
from scipy.optimize import linprog

from bomcheck.engine.stacks import STEP, Moved, Together, demands_of, ideal_thickness, possible_stacks, steps_of
from bomcheck.model.affine import Affine
from bomcheck.model.box import Box
from bomcheck.model.limits import Limit
from bomcheck.model.stack import Stack

KEYS = ("x", "y", "z")
BOX = Box({"x": 0.0, "y": 0.0, "z": 0.0}, {"x": 0.5, "y": 0.3, "z": 0.2})


def limit(low: float | None, high: float | None) -> Limit:
    return Limit("t", "test", low, high, "mm", "made up for the test")


def together(moved: list[Moved], box: Box, stacks: list[Stack]) -> Together:
    """The checks, and the stacks to choose from."""
    return Together(demands_of(moved, "stack", box), steps_of(stacks))


COUNT = {"check": True}


def test_possible_stacks_are_all_there_are() -> None:
    """Each thickness that some choice of pieces gives, once, with the fewest pieces that give it."""
    dice = Random(5)
    for _ in range(60):
        held = [
            (size, dice.randint(0, 5)) for size in dice.sample((0.2, 0.25, 0.4, 0.5, 0.8, 1.0, 1.5), dice.randint(1, 4))
        ]
        most = dice.choice((0.0, 1.0, 2.0, 3.0, 9.0))
        fewest: dict[float, int] = {}
        for counts in product(*(range(count + 1) for _, count in held)):
            thickness = round(sum(size * n for (size, _), n in zip(held, counts, strict=True)), 6)
            if sum(counts) <= 4 and thickness <= most + 1e-9:
                fewest[thickness] = min(sum(counts), fewest.get(thickness, 99))
        assert {stack.thickness: stack.count for stack in possible_stacks(held, 4, most)} == fewest


def test_a_size_listed_twice_counts_together() -> None:
    """Two rows of the same shim in the list are one heap of shims."""
    assert [s.thickness for s in possible_stacks([(1.0, 1), (1.0, 1)], 4, 3.0)] == [0.0, 1.0, 2.0]


def random_moved(dice: Random) -> list[Moved]:
    """One to four values that a stack moves, either way or not at all."""
    found = []
    for _ in range(dice.randint(1, 4)):
        slopes = {key: dice.choice((-1.0, 0.0, 0.5, 1.0)) for key in KEYS}
        pieces = tuple(
            Affine(dice.uniform(-2, 2), {**slopes, "stack": dice.choice((-1.0, 1.0, 1.0, 0.0))})
            for _ in range(dice.choice((1, 1, 2)))
        )
        low = dice.uniform(-2.5, 0.0)
        found.append(Moved("check", pieces, limit(low, dice.choice((None, low + dice.uniform(0.2, 3.0))))))
    return found


def rows_at(moved: list[Moved], thickness: float) -> list[tuple[float, dict[str, float]]]:
    """Everything that must be at least zero with this stack, as (constant, slopes)."""
    rows = []
    for one in moved:
        for piece in one.pieces:
            slopes = {key: slope for key, slope in piece.slopes.items() if key != "stack"}
            value = piece.const + piece.slopes["stack"] * thickness
            rows += [] if one.limit.low is None else [(value - one.limit.low, slopes)]
            rows += [] if one.limit.high is None else [(one.limit.high - value, {k: -s for k, s in slopes.items()})]
    return rows


def feasible(rows: list[tuple[float, dict[str, float]]]) -> float:
    """Greatest room that all rows have at once in the box, by the reference solver."""
    matrix = [[-slopes.get(key, 0.0) for key in KEYS] + [1.0] for _, slopes in rows]
    bounds = [(-BOX.half[key], BOX.half[key]) for key in KEYS] + [(None, None)]
    return -float(
        linprog([0, 0, 0, -1.0], A_ub=matrix, b_ub=[row[0] for row in rows], bounds=bounds, method="highs").fun
    )


def test_never_agrees_with_the_reference_solver_for_every_stack() -> None:
    """No true size finds a stack exactly where the solver finds no point for any of them."""
    dice, answers = Random(1), set()
    stacks = possible_stacks([(1.0, 2), (0.5, 1)], 4, 3.0)
    for _ in range(80):
        moved = random_moved(dice)
        rooms = [feasible(rows_at(moved, stack.thickness)) for stack in stacks]
        if all(abs(room) > 1e-7 for room in rooms):
            both = together(moved, BOX, stacks)
            assert both.never(COUNT) is (max(rooms) < 0)
            assert [both.may_serve(stack.thickness, COUNT) for stack in stacks] == [room > 0 for room in rooms]
            answers.add(max(rooms) < 0)
    assert answers == {True, False}


def served(moved: list[Moved], stacks: list[Stack], at: dict[str, float]) -> float:
    """Room of the best stack for one true size."""
    return max(
        min(const + sum(s * at[k] for k, s in slopes.items()) for const, slopes in rows_at(moved, stack.thickness))
        for stack in stacks
    )


def test_always_agrees_with_a_fine_grid() -> None:
    """ "always": every point of a grid over the box, corners included, finds a stack; otherwise the solver shows a point
    that finds none (see below) or the grid does."""
    dice, answers = Random(2), {True: 0, False: 0}
    steps = [index / 2 - 1 for index in range(5)]
    for _ in range(60):
        moved = random_moved(dice)
        stacks = possible_stacks([(1.0, 2), (dice.choice((0.2, 0.5)), 2)], 4, 3.0)
        answer = together(moved, BOX, stacks).always(COUNT)
        answers[answer] += 1
        rooms = [
            served(moved, stacks, {k: p * BOX.half[k] for k, p in zip(KEYS, at, strict=True)})
            for at in product(steps, repeat=3)
        ]
        if answer:
            assert min(rooms) >= -1e-6
        elif min(rooms) > 1e-6:
            assert unserved(moved, stacks) > 0, "said that a true size finds no stack, but there is none"
    assert min(answers.values()) > 5


def unserved(moved: list[Moved], stacks: list[Stack]) -> float:
    """How clearly some true size finds no stack: one failing row is chosen for each stack, all choices are tried."""
    best = float("-inf")
    steps = [rows_at(moved, stack.thickness) for stack in stacks]
    names = range(len(steps[0]))
    for low, high in product(
        names, repeat=2
    ):  # a size falls between stacks: one row fails up to a stack, another from there
        for cut in range(len(steps) + 1):
            chosen = [rows[low] for rows in steps[:cut]] + [rows[high] for rows in steps[cut:]]
            failing = [(-const, {k: -s for k, s in slopes.items()}) for const, slopes in chosen]
            best = max(best, feasible(failing))
    return best


def test_a_gap_between_two_stacks() -> None:
    """Centre off by 0.9 ± 0.2 mm, window ±0.3: 0.4 pieces leave no gap (0.8 apart), 1.0 pieces alone miss 0.7 downward.

    With stacks 0 and 1.0: off - 1.0 must lie in ±0.3, so off 0.7 .. 1.3 is served, all of 0.7 .. 1.1. At ± 0.21 the size
    0.69 falls between: 0.69 > 0.3 and 0.69 - 1.0 < -0.3.
    """
    off = Affine(0.9, {"x": 1.0, "stack": -1.0})
    stacks = [Stack(), Stack(((1.0, 1),))]
    moved = [Moved("check", (off,), limit(-0.3, 0.3))]
    assert together(moved, Box({"x": 0.0}, {"x": 0.2}), stacks).always(COUNT)
    assert not together(moved, Box({"x": 0.0}, {"x": 0.21}), stacks).always(COUNT)
    assert not together(moved, Box({"x": 0.0}, {"x": 0.21}), stacks).never(COUNT)


def test_two_windows_that_one_stack_cannot_meet() -> None:
    """Each check alone finds a stack, both together find none: 0.6..1.4 for one, 1.6..2.4 for the other."""
    one = Moved("check", (Affine(-1.0, {"stack": 1.0}),), limit(-0.4, 0.4))
    two = Moved("check", (Affine(-2.0, {"stack": 1.0}),), limit(-0.4, 0.4))
    stacks = possible_stacks([(0.25, 4), (1.0, 4)], 4, 3.0)
    assert together([one], Box(), stacks).always(COUNT)
    assert together([two], Box(), stacks).always(COUNT)
    assert together([one, two], Box(), stacks).never(COUNT)


def near(stacks: list[Stack], wanted: float) -> Stack:
    """The stack nearest to a thickness, of all."""
    found = together([], BOX, stacks).nearest([True] * len(stacks), wanted)
    return next(stack for stack in stacks if stack.thickness == found)


def test_the_nearest_stack_is_the_one_with_fewer_pieces_of_two_as_near() -> None:
    """1.25 lies as near to 1.0 (one piece) as to 1.5 (two)."""
    stacks = possible_stacks([(1.0, 2), (0.5, 2)], 4, 3.0)
    assert str(near(stacks, 1.25)) == "1.00 mm (1 x 1.00 mm)"
    assert str(near(stacks, 9.0)) == "3.00 mm (2 x 1.00 mm + 2 x 0.50 mm)"
    assert str(near(stacks, 0.1)) == "no shims"


def test_ideal_thickness_over_the_box() -> None:
    """off 3 - 2 x stack + x, target 0.5: (3 - 0.5 ± 0.5) / 2 = 1.0 .. 1.25 .. 1.5."""
    lead = Moved("check", (Affine(3.0, {"x": 1.0, "stack": -2.0}),), limit(-1.0, 1.0), True, 0.5)
    assert ideal_thickness(lead, "stack", BOX) == pytest.approx((1.0, 1.25, 1.5))
    assert STEP < 1e-6
