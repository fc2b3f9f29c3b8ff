"""Line ends as people type them. What notations mean: common practice, no source."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation import LineEnd, read_line_end

ENDS = [
    ("3/8-24 inverted flare male", "3/8-24", "inverted flare", "male"),
    ("3/8-24 IF", "3/8-24", "inverted flare", None),
    ("3/8x24 inverted", "3/8-24", "inverted flare", None),
    ("3/8-24 45° double flare (M)", "3/8-24", "inverted flare", "male"),
    ("7/16-24 IFF", "7/16-24", "inverted flare", "female"),
    ("3/16 IF", "3/8-24", "inverted flare", None),
    ("1/4 IF", "7/16-24", "inverted flare", None),
    ("3/8 tube inverted flare", "5/8-18", "inverted flare", None),
    ("M10x1 double flare", "M10x1.0", "inverted flare", None),
    ("M10x1 bubble", "M10x1.0", "bubble", None),
    ("10 x 1 bubble", "M10x1.0", "bubble", None),
    ("M10x1 ISO", "M10x1.0", "bubble", None),
    ("M10x1.0 bubble female", "M10x1.0", "bubble", "female"),
    ("10mm bubble", "M10", "bubble", None),
    ("-3", "3/8-24", "37", None),
    (-3, "3/8-24", "37", None),
    ("–3", "3/8-24", "37", None),
    ("AN3", "3/8-24", "37", None),
    ("AN-3", "3/8-24", "37", None),
    ("3AN", "3/8-24", "37", None),
    ("#3", "3/8-24", "37", None),
    ("JIC-3", "3/8-24", "37", None),
    ("dash 3", "3/8-24", "37", None),
    ("-3 37 male", "3/8-24", "37", "male"),
    ("3/8-24 JIC male", "3/8-24", "37", "male"),
    ("37 deg 3/8-24 female swivel", "3/8-24", "37", "female"),
    ("JIC 37 3/8-24 male", "3/8-24", "37", "male"),
    ("AN 37 deg 3/8-24", "3/8-24", "37", None),
    ("-3AN 37 male", "3/8-24", "37", "male"),
    ("1/4-18 NPT female", "1/4-18 NPT", "NPT", "female"),
    ("M10x1,0 banjo eye", "M10x1.0", "banjo", "eye"),
    ("7/16-24 IF male (1/4 tube)", "7/16-24", "inverted flare", "male"),
    ("-4 female", "7/16-20", "37", "female"),
    ("-6", "9/16-18", "37", None),
    ("1/8-27 NPT female", "1/8-27 NPT", "NPT", "female"),
    ("1/8 NPT", "1/8-27 NPT", "NPT", None),
    ("1/8-27", "1/8-27 NPT", "NPT", None),
    ("1/8 pipe male", "1/8-27 NPT", "NPT", "male"),
    ("M10x1.0 banjo eye", "M10x1.0", "banjo", "eye"),
    ("banjo 10x1.0", "M10x1.0", "banjo", None),
    ("banjo 10x1.25", "M10x1.25", "banjo", None),
    ("banjo 10x1.5 port", "M10x1.5", "banjo", "port"),
    ("banjo 3/8-24", "3/8-24", "banjo", None),
    ("banjo bolt 7/16-20", "7/16-20", "banjo", None),
    ("3/8-24 crush male", "3/8-24", "crush", "male"),
    ("7/16-20 copper washer female", "7/16-20", "crush", "female"),
    ("3/8-24 crush port", "3/8-24", "crush", "female"),
    ("M10x1.0 O-ring female", "M10x1.0", "O-ring", "female"),
    ("-3 ORB", "3/8-24", "O-ring", None),
    ("3/8-24", "3/8-24", None, None),
    ("3/8-24 flare", "3/8-24", None, None),
    ("bubble male", None, "bubble", "male"),
    ("3/16 tube", None, None, None),
    ("3/16 bubble", None, "bubble", None),
]


@pytest.mark.parametrize(("typed", "thread", "seat", "gender"), ENDS)
def test_ends_are_read_and_nothing_is_added(typed, thread, seat, gender):
    """What was not stated stays unknown; the canonical name reads to the same name."""
    end = read_line_end(typed)
    assert end is not None
    assert (end.thread.name if end.thread else None, end.seat, end.gender) == (thread, seat, gender)
    again = read_line_end(end.name)
    assert again is not None
    assert again.name == end.name
    assert (again.thread, again.seat, again.gender) == (end.thread, end.seat, end.gender)


@pytest.mark.parametrize(
    ("typed", "unknown"),
    [
        ("-3", ("gender",)),
        ("10mm bubble", ("pitch", "gender")),
        ("banjo 10x1.0", ("gender",)),
        ("3/8-24", ("seat", "gender")),
        ("3/16 tube", ("thread", "seat", "gender")),
        ("M10x1.0 banjo eye", ()),
    ],
)
def test_what_is_missing_is_listed(typed, unknown):
    """These are the questions to ask."""
    end = read_line_end(typed)
    assert end is not None
    assert end.unknown == unknown


def test_the_same_thread_with_another_seat_is_another_end():
    """-3 and 3/8-24 inverted flare share the thread and never seal on one another."""
    cone, flare = read_line_end("-3 male"), read_line_end("3/8-24 IF male")
    assert cone
    assert flare
    assert cone.thread == flare.thread
    assert cone.seat != flare.seat
    assert cone.name != flare.name


def test_a_tube_size_is_kept():
    """3/16 names the tube, 4.7625 mm; the nut is 3/8-24."""
    end = read_line_end("3/16 IF")
    assert end is not None
    assert end.tube == pytest.approx(4.7625)


@pytest.mark.parametrize(
    ("typed", "kind", "says"),
    [
        ("AN3 bolt", "unreadable text", "10-32"),
        ("3/8 IF", "part of it missing", "5/8-18"),
        ("3/16", "part of it missing", "3/16 tube"),
        ("1/4 flare", "part of it missing", "thread"),
        ("1/4 JIC", "part of it missing", "tube"),
        ("-3 IF", "entries disagree", "37 degree"),
        ("-3 7/16-20", "entries disagree", "3/8-24"),
        ("-9", "unreadable text", "-10"),
        ("M10x1 bubble male female", "entries disagree", "gender"),
        ("M10x1 banjo male", "entries disagree", "banjo eye"),
        ("M10x1 bubble eye", "entries disagree", "male or female"),
        ("1/8-27 NPT bubble", "entries disagree", "seats"),
        ("3/8-24 NPT", "entries disagree", "pipe"),
        ("male", "unreadable text", "thread"),
        ("something else", "unreadable text", "something"),
        ("3/8-24 inverted flair male", "unreadable text", 'Did you mean "flare"'),
        ("10-32 bolt", "unreadable text", "screw"),
        (date(2026, 10, 1), "date in a size", '"10-1" or "1-10"'),
    ],
)
def test_contradictions_and_strangers_are_refused(typed, kind, says):
    """An AN bolt is no fitting, a -3 has no 45 degree seat, 6 is not 5/8-18."""
    with pytest.raises(Unreadable) as caught:
        read_line_end(typed)
    assert caught.value.kind == kind
    assert says in str(caught.value)


@given(
    st.sampled_from(["3/8-24", "7/16-20", "7/16-24", "M10x1.0", "M12x1.0", "M10", "1/8-27 NPT", ""]),
    st.sampled_from(["inverted flare", "bubble", "37", "banjo", "crush", "O-ring", ""]),
    st.sampled_from(["male", "female", "eye", "port", ""]),
)
def test_every_written_form_reads_to_itself_or_is_refused(thread, seat, gender):
    """The canonical spelling `<thread> <seat> <gender>` is stable."""
    text = " ".join(part for part in (thread, seat, gender) if part)
    try:
        end = read_line_end(text)
    except Unreadable:
        assert "NPT" in thread or gender in ("eye", "port") or seat == "banjo" or not (thread or seat)
        return
    again = read_line_end(end.name) if isinstance(end, LineEnd) else None
    assert end == again
