"""Straight-line demands over a box, against a reference linear-programming solver (scipy, HiGHS)."""

from random import Random

import pytest
from scipy.optimize import linprog

from bomcheck.model.box import Row, can_all_hold, highest_of_two

KEYS = tuple("abcdefg")
DOUBT = 1e-7  # rows this close to touching may be told either way


def random_rows(dice: Random, count: int, whole: bool) -> list[Row]:
    """Rows whose constants lie about where they can just be met; whole: small whole numbers, so that many just touch."""
    rows = []
    for _ in range(count):
        keys = dice.sample(KEYS, dice.randint(0, len(KEYS)))
        draw = (lambda: float(dice.randint(-3, 3))) if whole else (lambda: dice.uniform(-2, 2))
        reach = {key: draw() for key in keys}
        spread = sum(map(abs, reach.values()))
        constant = float(dice.randint(-4, 4)) if whole else dice.uniform(-1.4 * spread, 0.4 * spread + 0.1)
        rows.append(Row(constant, reach))
    return rows


def most_room(rows: list[Row]) -> float:
    """The greatest t for which all rows can stand at t or more, by the reference solver."""
    matrix = [[-row.reach.get(key, 0.0) for key in KEYS] + [1.0] for row in rows]
    found = linprog([0.0] * len(KEYS) + [-1.0], A_ub=matrix, b_ub=[row.constant for row in rows],
                    bounds=[(-1, 1)] * len(KEYS) + [(None, None)], method="highs")  # fmt: skip
    assert found.success
    return float(-found.fun)


@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize("count", [1, 2, 3, 5, 9])
def test_agrees_with_the_reference_solver(count: int, whole: bool) -> None:
    """Random systems of 1 to 9 rows: the same answer unless they only just touch."""
    dice, both = Random(100 * count + whole), [0, 0]
    for _ in range(120):
        rows = random_rows(dice, count, whole)
        room = most_room(rows)
        if whole and abs(room) <= DOUBT:
            assert can_all_hold(rows), rows  # just touching counts as met
        elif abs(room) > DOUBT:
            assert can_all_hold(rows) is (room > 0), (rows, room)
            both[room > 0] += 1
    assert min(both) >= 3


def test_highest_of_two_agrees_with_the_reference_solver() -> None:
    """How high two rows can stand together, to a billionth."""
    dice = Random(7)
    for _ in range(250):
        rows = random_rows(dice, 2, dice.random() < 0.3)
        assert highest_of_two(*rows) == pytest.approx(most_room(rows), abs=1e-8)


def test_the_order_of_rows_does_not_matter() -> None:
    """Left equals right: shuffled rows, and all sizes turned round, give the same answer."""
    dice = Random(3)
    for _ in range(150):
        rows = random_rows(dice, 4, True)
        turned = [Row(row.constant, {key: -reach for key, reach in row.reach.items()}) for row in rows]
        answer = can_all_hold(rows)
        dice.shuffle(rows)
        assert can_all_hold(rows) is answer
        assert can_all_hold(turned) is answer


def test_no_rows_and_rows_without_sizes() -> None:
    """Nothing asked is met; a constant decides for itself."""
    assert can_all_hold([])
    assert can_all_hold([Row(0.0, {})])
    assert not can_all_hold([Row(-0.1, {}), Row(1.0, {"a": 5.0})])


def test_a_crowded_box() -> None:
    """Many rows through one point: met there, not met when any is raised (no cycling of the simplex)."""
    dice = Random(11)
    for _ in range(30):
        point = {key: dice.uniform(-0.9, 0.9) for key in KEYS}
        rows: list[Row] = []
        for _ in range(14):
            reach = {key: dice.uniform(-1, 1) for key in KEYS}
            rows.append(Row(-sum(reach[key] * point[key] for key in KEYS), reach))
        total = {key: -sum(row.reach[key] for row in rows) for key in KEYS}
        closing = Row(-sum(total[key] * point[key] for key in KEYS), total)
        assert can_all_hold([*rows, closing])
        assert not can_all_hold([row.moved(-1e-4) for row in [*rows, closing]])
