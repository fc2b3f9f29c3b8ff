"""A slip against what must come, on the hill-climb job; quantities counted by hand from its box and its price list."""

import pytest

from bomcheck.io.receive.match import CAME, SURPLUS, UNKNOWN, WRONG, Received, Wanted, receive
from bomcheck.io.receive.slip import Slip, SlipLine
from bomcheck.model.line import Line
from bomcheck.model.records import replace
from bomcheck.model.report import Report
from bomcheck.paper.awaited import BOX, ORDER, Expected, expected, number_of
from tests.helpers.demo_jobs import checked, hill_climb


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return checked(hill_climb(tmp_path_factory.mktemp("job")))


def booked(report: Report, *lines: tuple[object, ...]) -> Received:
    """lines: part number, description, quantity, side, unit."""
    made = []
    for number, line in enumerate(lines):
        part, words, count, side, unit = (*line, "", "", "")[:5]
        made.append(SlipLine(f"row {number}", str(part), str(words), float(str(count)), str(side), str(unit)))
    return receive(Slip("slip.csv", "1", tuple(made)), Wanted(expected(report)))


def words(done: Received) -> list[tuple[str, float]]:
    return [(one.word, one.quantity) for one in done.results]


def test_the_whole_box_and_the_whole_order_are_expected(report: Report) -> None:
    """Everything of the box, what is left over included, and every line of the order in whole packs."""
    things = expected(report)
    count: dict[str, float] = {}
    for one in things:
        count[one.part_number] = count.get(one.part_number, 0.0) + one.quantity
    assert {key: count[key] for key in ("RK-HS22", "RK-S08", "RK-R280-L", "P44-R9")} == {
        "RK-HS22": 16, "RK-S08": 8, "RK-R280-L": 1, "P44-R9": 1,
    }  # fmt: skip
    assert {key: count[key] for key in ("LC-1", "BF-4-1", "SH-10-10", "TS-2")} == {
        "LC-1": 4, "BF-4-1": 2, "SH-10-10": 10, "TS-2": 20,
    }  # fmt: skip
    assert len(report.job.box) + 8 == len(count)


def test_what_came_is_ticked_off(report: Report) -> None:
    """By its number, however it is spaced."""
    done = booked(report, ("rk-hs22 ", "cap screw", 16))
    assert words(done) == [(CAME, 16)]
    assert list(done.added.values()) == [16]


def test_short_stays_short(report: Report) -> None:
    """15 nuts of 16."""
    things = expected(report)
    receive(Slip("s", "1", (SlipLine("row 2", "RK-HN6", "nut", 15.0),)), Wanted(things))
    assert next(one.missing for one in things if one.part_number == "RK-HN6") == 1


def test_two_left_rotors(report: Report) -> None:
    """One is ticked off, the other is wrong, as the right one is missing."""
    done = booked(report, ("RK-R280-L", "rotor", 2))
    assert words(done) == [(CAME, 1), (WRONG, 1)]
    assert done.results[1].why == "two left ones came, and the right one is missing"


@pytest.mark.parametrize(
    ("number", "count", "unit"), [("RK-R280-L/R", 2, ""), ("rk-r280-l+r", 2, "pcs"), ("RK-R280-L / R", 1, "pair")]
)
def test_a_number_of_both_sides_is_one_of_each(report: Report, number: str, count: int, unit: str) -> None:
    """ "R280-L/R, 2": a left and a right rotor; of 3 it is asked which."""
    done = booked(report, (number, "rotors", count, "", unit))
    assert [(one.word, one.thing.part_number if one.thing else "", one.quantity) for one in done.results] == [
        (CAME, "RK-R280-L", 1), (CAME, "RK-R280-R", 1),
    ]  # fmt: skip
    (asked,) = booked(report, (number, "rotors", 3)).asked
    assert "how many of the 3 are left, how many right? Give each a line of its own on the slip" in asked


def test_two_left_rotors_beside_a_right_one_are_surplus(report: Report) -> None:
    """Nothing is missing then, in whichever order they stand on the slip."""
    for lines in ([("RK-R280-L", "", 2), ("RK-R280-R", "", 1)], [("RK-R280-R", "", 1), ("RK-R280-L", "", 2)]):
        assert sorted(words(booked(report, *lines))) == [(CAME, 1), (CAME, 1), (SURPLUS, 1)]


@pytest.mark.parametrize(
    ("number", "text", "why"),
    [
        ("RK-BS38", "hex screw M10x1.25 x 45", "length 45 mm on the slip, 38 mm expected"),
        ("RK-BS38", "hex screw M10x1.5 x 38", "thread M10x1.5 on the slip, M10x1.25 expected"),
        ("RK-ST52", "stud 48 mm", "length 48 mm on the slip, 52 mm expected"),
        ("RK-S08", "shim washer 0.5 mm", "thickness 0.5 mm on the slip, 0.8 mm expected"),
        ("P44-F2", "pads P-44, compound S1", "compound S1 on the slip, F2 expected"),
        ("HS-BU-3-430", "braided hose 380 mm", "length 380 mm on the slip, 430 mm expected"),
        ("RK-C4-L", "caliper, right", "the slip says right, the left one is expected under this number"),
    ],
)
def test_words_that_deny_the_number_are_wrong(report: Report, number: str, text: str, why: str) -> None:
    """Nothing is ticked off."""
    side = "right" if "right" in text else ""
    done = booked(report, (number, text, 1, side))
    assert [(one.word, one.why) for one in done.results] == [(WRONG, why)]
    assert done.added == {}


@pytest.mark.parametrize(
    ("number", "text", "why"),
    [
        ("HS-BU-3-430", "braided hose, race use only", "not for public roads"),
        ("HS-BU-3-430", "braided hose 430, second-hand", "whether it is sound"),
        ("BF-4-1", "brake fluid DOT 5 silicone", "silicone fluid, glycol"),
        ("BF-4-1", "mineral oil LHM", "mineral fluid, glycol"),
        ("P44-F2", "pads, shape P-52, compound F2", "p 52, P-44 needed"),
    ],
)
@pytest.mark.parametrize("instead", [False, True])
def test_words_that_the_parts_list_would_refuse_are_wrong(
    report: Report, number: str, text: str, why: str, instead: bool
) -> None:
    """As the check judges a price list; also where the shop says that another number stands in. By its number alone nothing is wrong."""
    came = f"{number}-X" if instead else number
    slip = Slip("s", "1", (SlipLine("row 2", came, text, 1.0, unit="pack" if number.startswith("BF") else ""),))
    done = receive(slip, Wanted(expected(report), instead={number_of(came): number} if instead else {}))
    assert [one.word for one in done.results] == [WRONG]
    assert why in done.results[0].why
    plain = SlipLine("row 2", number, "", 1.0, unit="pack" if number.startswith("BF") else "")
    assert [one.word for one in receive(Slip("s", "1", (plain,)), Wanted(expected(report))).results] == [CAME]


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("RK-BS38", "hex screw M10 x 38"),
        ("RK-BS38", "M10x1,25x38 10.9 zinc"),
        ("RK-BS38", "hex screws, 4 off"),
        ("HS-BU-3-430", "hose 430 mm, nut M10x1"),
        ("RK-S08", "shim 0,8 mm"),
        ("RK-HS22", "cap screw M6 x 22"),
    ],
)
def test_words_that_agree_are_no_hindrance(report: Report, number: str, text: str) -> None:
    """A coarser name of the thread, a decimal comma, a size that is another one's."""
    assert [one.word for one in booked(report, (number, text, 1)).results] == [CAME]


@pytest.mark.parametrize(
    ("number", "text", "other"),
    [
        ("HS-BU-3-430", "braided hose 330", "330"),
        ("RK-BS38", "hex screw, 45", "45"),
        ("HS-BU-3-430", "hose 430, 2 off", ""),
        ("HS-BU-3-430", "hose, 2 off", ""),
        ("BF-4-1", "brake fluid 1000 ml", ""),
        ("LC-1", "spring clip 12 mm", ""),
        ("BF-4-1", "brake fluid, 2x 500 ml bottles", "500"),
    ],
)
def test_another_size_in_the_words_is_asked(report: Report, number: str, text: str, other: str) -> None:
    """The number is the one that was ordered, no size in the words is: nothing is booked until it is said."""
    things = expected(report)
    slip = Slip("slip.csv", "1", (SlipLine("row 2", number, text, 1.0, "", "pcs"),))
    done = receive(slip, Wanted(things))
    assert [f"the slip says {other}, expected is" in one for one in done.asked] == ([True] if other else [])
    assert bool(done.added) is not bool(other)
    said = receive(slip, Wanted(things, instead={number_of(number): number}))
    assert not said.asked
    assert [one.word for one in said.results] == [CAME]


def test_unknown_lines(report: Report) -> None:
    """Neither number nor words are expected."""
    assert words(booked(report, ("ZZ-9", "poster", 1), ("", "thank-you card", 1))) == [(UNKNOWN, 1), (UNKNOWN, 1)]


def test_without_a_number_the_words_and_the_side_tell(report: Report) -> None:
    """The right caliper by its description; the right words under a number that is not known are not ticked off."""
    done = booked(report, ("", "four-piston caliper", 1, "right"))
    assert [(one.word, one.thing.part_number if one.thing else "") for one in done.results] == [(CAME, "RK-C4-R")]
    other = booked(report, ("B-77", "pad pin", 4))
    assert [one.word for one in other.results] == [WRONG]
    assert "is not the expected RK-PP" in other.results[0].why


@pytest.mark.parametrize(
    ("count", "unit", "came", "over"),
    [
        (10, "", 10, 0),
        (1, "pack", 10, 0),
        (10, "pcs", 10, 0),
        (2, "packs", 10, 10),
        (12, "", 10, 2),
        (6, "", 6, 0),
    ],
)
def test_packs_or_pieces(report: Report, count: int, unit: str, came: float, over: float) -> None:
    """One pack of ten shims, as a pack or as pieces."""
    done = booked(report, ("SH-10-10", "shims", count, "", unit))
    assert sum(one.quantity for one in done.results if one.word == CAME) == came
    assert sum(one.quantity for one in done.results if one.word == SURPLUS) == over


def test_a_part_for_two_lines_fills_what_is_needed_first(report: Report) -> None:
    """Eight shims of 0.8: four for the stack, four left over; six fill the needed four first."""
    done = booked(report, ("RK-S08", "shim 0.8 mm", 6))
    assert [(one.quantity, one.thing.line.status if one.thing else "") for one in done.results] == [
        (4, "in kit"),
        (2, "surplus"),
    ]


def test_nothing_is_ticked_off_beyond_what_is_expected(report: Report) -> None:
    """For every line, what came is at most what was expected, however much the slip says [its unit: a bare number is asked]."""
    things = expected(report)
    lines = tuple(SlipLine(f"row {n}", one.part_number, "", 100.0, unit=one.line.unit) for n, one in enumerate(things))
    done = receive(Slip("s", "1", lines), Wanted(things))
    assert all(one.came <= one.quantity for one in things)
    assert {one.word for one in done.results} <= {CAME, SURPLUS}
    assert not any(one.missing for one in things)


@pytest.mark.parametrize("unit", ["pc", "pcs", "each", "ea", "Stk", "piece", "", "tube"])
def test_a_piece_of_what_is_measured_is_a_pack(unit: str) -> None:
    """Nobody sells a gram of paste: 1 pc of a tube of 100 g is 100 g; what is sent by measure stays so."""
    paste = Expected(Line("k", "anti-seize", "anti-seize", unit="g"), ORDER, "A", 100.0, pack_size=100.0, packs=1.0)
    assert paste.unit_of(unit, 1) == 100.0
    assert paste.unit_of("g", 100) == 1.0


CLIPS = Expected(Line("k", "line clip", "clip", unit="each"), ORDER, "C", 40.0, pack_size=10.0, packs=4.0)
PASTE = Expected(Line("k", "grease", "grease", unit="g"), ORDER, "G", 75.0, pack_size=75.0, packs=1.0)
FLUID = Expected(Line("k", "fluid", "fluid", unit="L"), ORDER, "F", 2.0, pack_size=0.5, packs=4.0)
BOXED = Expected(Line("k", "screw", "screw", unit="each"), BOX, "S", 8.0)


@pytest.mark.parametrize(
    ("thing", "unit", "count", "each"),
    [
        (CLIPS, "pack of 10", 1, 10),
        (CLIPS, "PK of 10", 2, 10),
        (CLIPS, "pkt/10", 1, 10),
        (CLIPS, "10-pack", 1, 10),
        (CLIPS, "pack of 20", 2, 20),
        (CLIPS, "box (10 pcs)", 1, 10),
        (CLIPS, "Pk.", 1, 10),
        (CLIPS, "pack of 10", 40, None),
        (CLIPS, "drum", 1, None),
        (BOXED, "pack of 4", 2, 4),
        (BOXED, "pack of 4", 8, None),
        (PASTE, "75 g tube", 1, 75),
        (PASTE, "pack of 75 g", 1, 75),
        (PASTE, "tube 0.075 kg", 1, 75),
        (PASTE, "", 75, 1),
        (PASTE, "", 1, 75),
        (PASTE, "", 100, None),
        (PASTE, "", 50, None),
        (PASTE, "", 2, None),
        (PASTE, "pcs", 2, 75),
        (PASTE, "grams", 75, 1),
        (FLUID, "bottle 500 ml", 4, 0.5),
        (FLUID, "ML", 500, 0.001),
        (FLUID, "", 4, 0.5),
        (FLUID, "", 3, 0.5),
        (FLUID, "", 2, None),
        (FLUID, "", 1, None),
    ],
)
def test_what_a_pack_holds_is_read(thing: Expected, unit: str, count: float, each: float | None) -> None:
    """As suppliers write it, common practice, no source; where it may be a piece, an amount or a pack it is asked (None)."""
    assert thing.unit_of(unit, count) == each


def test_the_amount_of_two_lines_is_no_surplus() -> None:
    """Two jobs with 75 g in one tube each: 150 g, or two tubes, are both of them."""
    for count, left in ((150, 0), (2, 0), (75, 75)):
        things = [replace(PASTE), replace(PASTE)]
        done = receive(Slip("s", "1", (SlipLine("row 2", "G", "", float(count)),)), Wanted(things))
        assert not done.asked
        assert (sum(one.missing for one in things), {one.word for one in done.results}) == (left, {CAME})


def test_a_unit_that_may_be_both_is_asked_with_both_answers() -> None:
    """Forty packs of ten where forty clips are ordered; each answer settles it."""
    for thing, unit, count, first, second in (
        (CLIPS, "pack of 10", 40, "C=40 pcs", "C=40 packs"),
        (FLUID, "", 2, "F=2 L", "F=2 packs"),
        (BOXED, "pack of 4", 8, "S=8 pcs", "S=32 pcs"),
    ):
        line = SlipLine("row 2", thing.part_number, "", float(count), unit=unit)
        asked = receive(Slip("s", "1", (line,)), Wanted([replace(thing)])).asked
        assert asked
        assert f'--say "{first}" or --say "{second}"' in asked[0]
        for number, said in (one.removeprefix(f"{thing.part_number}=").split() for one in (first, second)):
            again = replace(line, quantity=float(number), unit=said)
            assert not receive(Slip("s", "1", (again,)), Wanted([replace(thing)])).asked
