"""Brake-line joints against published thread tables. Figures stand here as published, not as the program has them."""

import pytest

from bomcheck.supply.line_ends import Joint, Refusal, joins
from tests.parts.line_samples import end

INCH = 25.4


# AN924 dimension sheet (AN/MS and SAE J514 37° tube fittings): dash size, thread.
DASH = [("-2", "5/16-24"), ("-3", "3/8-24"), ("-4", "7/16-20"), ("-5", "1/2-20"), ("-6", "9/16-18"), ("-8", "3/4-16")]


@pytest.mark.parametrize(("dash", "thread"), DASH)
def test_a_dash_fitting_joins_the_37_cone_of_its_published_thread(dash: str, thread: str) -> None:
    """AN924 / SAE J514: each dash size joins a 37° end of the thread in the sheet, and no neighbour's."""
    for other_dash, other_thread in DASH:
        answer = joins(end(f"{dash} 37 female"), end(f"{other_thread} 37 male"))
        assert isinstance(answer, Joint) == (other_dash == dash), (dash, other_thread)


def test_dash_6_is_not_5_8_18() -> None:
    """AN924: -6 is 9/16-18. A table in circulation that says 5/8-18 is wrong, and the joint is refused."""
    assert isinstance(joins(end("-6 37 female"), end("5/8-18 37 male")), Refusal)


# SAE J512 inverted flared fittings; 3/16 and 1/4 from public copies, 5/16 and 3/8 from memory.
@pytest.mark.parametrize(
    ("tube", "nut"), [("3/16", "3/8-24"), ("1/4", "7/16-24"), ("5/16", "1/2-20"), ("3/8", "5/8-18")]
)
def test_an_inverted_flare_tube_joins_the_port_of_its_published_nut(tube: str, nut: str) -> None:
    """SAE J512: a tube of each size goes into the port of its nut's thread."""
    assert isinstance(joins(end(f"{tube} tube inverted flare male"), end(f"{nut} inverted flare female")), Joint)


# ISO 4038, from memory: 4.75 mm tube M10x1, 6 mm tube M12x1.
@pytest.mark.parametrize(("tube", "thread"), [("4.75 mm", "M10x1"), ("6 mm", "M12x1")])
def test_an_iso_bubble_nut_joins_its_port_only(tube: str, thread: str) -> None:
    """ISO 4038: M10x1 and M12x1 nuts join their own ports and are refused in each other's."""
    nut = end(f"{thread} bubble male {tube} tube")
    joined = [port for port in ("M10x1", "M12x1") if isinstance(joins(nut, end(f"{port} bubble female")), Joint)]
    assert joined == [thread]


def test_the_taper_joint_has_the_published_pipe_thread() -> None:
    """ASME B1.20.1, 1/8-27 NPT: outside diameter .405 in, pitch .03704 in."""
    answer = joins(end("1/8-27 NPT male"), end("1/8-27 NPT female"))
    assert isinstance(answer, Joint)
    assert answer.thread.pitch is not None
    assert answer.thread.diameter / INCH == pytest.approx(0.405, abs=0.0005)
    assert answer.thread.pitch / INCH == pytest.approx(0.03704, abs=0.00001)


# Diameters and pitches from ASME B1.1 (inch), ISO 724 (metric) and ASME B1.20.1 (pipe): mm.
LOOK_ALIKE = [
    ("3/8-24", (0.375 * INCH, INCH / 24), "M10x1.0", (10.0, 1.0)),
    ("7/16-20", (0.4375 * INCH, INCH / 20), "7/16-24", (0.4375 * INCH, INCH / 24)),
    ("1/2-20", (0.5 * INCH, INCH / 20), "M12x1.25", (12.0, 1.25)),
]


@pytest.mark.parametrize(("first", "sizes", "second", "others"), LOOK_ALIKE)
def test_look_alike_threads_are_read_with_their_published_sizes_and_refused(
    first: str, sizes: tuple[float, float], second: str, others: tuple[float, float]
) -> None:
    """Under 0.8 mm apart in diameter, so that they start by hand; different by the standards; refused as a trap."""
    male, female = end(f"{first} 37 male"), end(f"{second} 37 female")
    assert male.thread is not None
    assert female.thread is not None
    assert (male.thread.diameter, male.thread.pitch) == pytest.approx(sizes)
    assert (female.thread.diameter, female.thread.pitch) == pytest.approx(others)
    assert abs(sizes[0] - others[0]) < 0.8
    assert sizes != others
    answer = joins(male, female)
    assert isinstance(answer, Refusal)
    assert answer.trap
