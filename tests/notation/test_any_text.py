"""Whatever stands in a cell, a reader returns a value or one clear fault; nothing else ever comes out."""

from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck import notation
from bomcheck.model.errors import FAULT_KINDS, Unreadable

READERS = {
    "length": partial(notation.read_quantity, unit="mm"),
    "length in an inch cell": partial(notation.read_quantity, unit="mm", cell_unit="in"),
    "torque": partial(notation.read_quantity, unit="N·m"),
    "temperature": partial(notation.read_quantity, unit="°C", cell_unit="°F"),
    "share": partial(notation.read_quantity, unit="-", cell_unit="%"),
    "thread": notation.read_thread,
    "bolt circle": notation.read_bolt_circle,
    "bolt circles": notation.read_bolt_circles,
    "line end": notation.read_line_end,
    "shims": notation.read_shims,
    "bores": notation.read_bores,
    "pairs": notation.read_pairs,
    "pair": notation.read_pair_sizes,
    "numbers": partial(notation.read_numbers, unit="mm"),
    "choice": partial(notation.read_choice, choices=["one-piece", "two-piece"]),
    "choices": partial(notation.read_choices, choices=["road", "track"]),
    "count": notation.read_count,
    "date": notation.read_date,
    "wheel offset": notation.read_wheel_offset,
}
TYPED = """
M12 M10x1 1/2 3/8-24 -3 AN3 NPT pipe IF bubble 37 male female banjo eye port crush O-ring tube fine UNF bolt lug slotted
dual 5x 114.3 4-1/2 in mm " ' thou N·m ft-lb ± ~ approx x - / ; , : + . 1,5 .81 0 9999999999 1e5 ¾ ½ Jan 10-Oct BS ET
"""
WORDS = st.sampled_from(TYPED.split())
CELLS = st.one_of(
    st.text(max_size=40),
    st.text(alphabet="0123456789/-x., \"'MN#+;:", max_size=24),
    st.lists(WORDS, max_size=7).map(" ".join),
    st.lists(WORDS, max_size=5).map("".join),
    st.floats(),
    st.integers(),
    st.booleans(),
    st.datetimes(),
    st.dates(),
    st.none(),
)


@pytest.mark.parametrize("name", READERS)
@settings(max_examples=300, deadline=None)
@given(cell=CELLS)
def test_any_cell_gives_a_value_or_an_unreadable(name, cell):
    """Never another exception, and every fault has a known kind, a cause and a remedy, no full stops."""
    fault = _fault_of(name, cell)
    if fault is None:
        return
    assert fault.kind in FAULT_KINDS
    assert fault.wrong
    assert fault.instead
    assert not fault.wrong.endswith(".")
    assert not fault.instead.endswith(".")
    assert len(fault.typed) <= 60


def _fault_of(name, cell):
    try:
        READERS[name](cell)
    except Unreadable as fault:
        return fault
    return None


@pytest.mark.parametrize("name", READERS)
@pytest.mark.parametrize("blank", ["", " ", "?", "TBC", "N/A", "n/a", "tba", "unknown", "-", "–", None])
def test_every_reader_takes_a_blank_as_nothing(name, blank):
    """Not as zero and not as a fault."""
    assert READERS[name](blank) is None
