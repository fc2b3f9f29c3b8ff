"""A check's arithmetic as text is the arithmetic that was done."""

import re

from hypothesis import given
from hypothesis import strategies as st

from bomcheck.engine.judge import formula
from bomcheck.model.affine import Affine, least, most
from bomcheck.model.written import Written
from tests.helpers.jobs import assessed

numbers = st.floats(0.5, 99).map(lambda value: round(value, 2))


def leaf(value: float) -> Written:
    return Written(f"{value:g}", value)


trees = st.recursive(
    numbers.map(lambda v: (leaf(v), v)),
    lambda inner: st.tuples(inner, inner, st.sampled_from("+-*/n")).map(lambda t: _apply(*t)),
    max_leaves=8,
)


def _apply(one: tuple[Written, float], two: tuple[Written, float], sign: str) -> tuple[Written, float]:
    (a, x), (b, y) = one, two
    if sign == "n" or (sign == "/" and abs(y) < 0.1):
        return -a, -x
    if sign == "/":
        return a / b, x / y
    return {"+": (a + b, x + y), "-": (a - b, x - y), "*": (a * b, x * y)}[sign]


@given(trees)
def test_the_text_comes_to_the_number(tree: tuple[Written, float]) -> None:
    """Brackets stand where they must: working out the text gives what the sizes give."""
    written, value = tree
    text = written.text.translate(str.maketrans({"−": "-", "×": "*", "÷": "/"}))
    assert abs(eval(text) - value) <= 1e-6 * max(1.0, abs(value))
    assert abs(written.number - value) <= 1e-9 * max(1.0, abs(value))


def test_words_and_figures_side_by_side() -> None:
    """Labels on one side, stated sizes on the other; a negative size stands in brackets; zero is not added."""
    text = formula(
        lambda a, b: a - b + 0.0, {"a": Affine(0.0, {"a": 1.0}), "b": -2.5}, lambda key: f"size {key}", {"a": 10.0}
    )
    assert text == "size a − size b = 10.00 − (-2.50)"


def test_the_piece_that_decides_is_shown() -> None:
    """Of a smallest or greatest only the deciding piece is written."""
    sizes = {"a": 3.0, "b": 4.0}
    assert formula(lambda a, b: least(a, b), sizes, str, {}) == "a = 3.00"
    assert formula(lambda a, b: most(a - b, b - a), sizes, str, {}) == "b − a = 4.00 − 3.00"


def test_every_formula_of_a_whole_corner_comes_to_its_value() -> None:
    """Working out the figures of each finding of a good corner gives the value that it states, to rounding."""
    checked = 0
    for found in assessed().findings:
        if found.value is None or "=" not in found.formula:
            continue
        figures = found.formula.split("=")[1].translate(str.maketrans({"−": "-", "×": "*", "÷": "/"}))
        if re.fullmatch(r"[\d\s.()+*/-]+", figures):
            assert abs(eval(figures) - found.value.middle) < 0.011, found
            checked += 1
    assert checked > 20
