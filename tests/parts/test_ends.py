"""What joins what, what never may, and what is asked."""

import pytest

from bomcheck.model.job import Part
from bomcheck.notation.line_end import GENDERS
from bomcheck.supply.line_ends import HOW_TO_SEE, Joint, Refusal, Unknown, joins, opposite, traps_in
from bomcheck.tables.fields import part_fields
from bomcheck.tables.line_joints import joint_rows, never_rows
from tests.parts.line_samples import TEXTS, adapter, end, hose

# The pairs that a mechanic can start by hand and must not: common practice, no source, where no standard is named.
TRAPS = [
    ("3/8-24 inverted flare male", "-3 37 female", "37°"),  # SAE J512 45° against SAE J514 37°, both 3/8-24
    ("3/8-24 inverted flare female", "-3 37 male", "37°"),
    ("M10x1.0 bubble male", "M10x1.0 inverted flare female", "seat is missing"),  # ISO 4038 against SAE J512
    ("M10x1.0 inverted flare male", "M10x1.0 bubble female", "seat is missing"),
    ("3/8-24 inverted flare male", "M10x1.0 inverted flare female", "not the same thread"),
    ("M10x1.0 inverted flare male", "3/8-24 inverted flare female", "not the same thread"),
    ("3/8-24 banjo eye", "M10x1.0 banjo port", "not the same thread"),
    ("M10x1.0 bubble male", "3/8-24 inverted flare female", "not the same thread"),
    ("7/16-20 37 male", "7/16-24 37 female", "another pitch"),
    ("7/16-24 inverted flare male", "7/16-20 inverted flare female", "another pitch"),
    ("7/16-24 inverted flare male", "-4 37 female", "another pitch"),
    ("1/8-27 NPT male", "M10x1.0 banjo port", "tapered"),
    ("M10x1.0 bubble male", "1/8-27 NPT female", "tapered"),
    ("1/8-27 NPT male", "3/8-24 crush female", "tapered"),
    ("3/8-24 inverted flare male", "1/8-27 NPT female", "tapered"),
    ("M11x1.5 bubble male", "1/8-27 NPT female", "taper thread"),
    ("3/8-24 crush male", "3/8-24 inverted flare female", "at its bottom"),
    ("M10x1.0 O-ring male", "M10x1.0 bubble female", "chamfer"),
    ("M10x1.0 banjo eye", "M10x1.0 crush female", "reach and face"),
    ("M10x1.0 crush male", "M10x1.0 banjo port", "reach and face"),
]
STRAIGHT = ["7/16-20 O-ring female", "M12x1.0 bubble female", "9/16-18 37 female", "M10x1.25 banjo port"]


@pytest.mark.parametrize(("first", "second", "words"), TRAPS)
def test_traps_are_refused_with_their_reason_in_both_directions(first: str, second: str, words: str) -> None:
    """A pair that screws in and must not is a trap, whichever is named first, and the reason is the same."""
    one, other = joins(end(first), end(second)), joins(end(second), end(first))
    assert isinstance(one, Refusal)
    assert isinstance(other, Refusal)
    assert one.trap
    assert other.trap
    assert words in one.reason
    assert words in other.reason


@pytest.mark.parametrize("straight", STRAIGHT)
def test_taper_never_goes_with_straight(straight: str) -> None:
    """A taper thread into a straight port, and a straight end into a taper port, are refused whatever their size."""
    port = end(straight)
    for taper, other in (("1/8-27 NPT male", port), ("1/8-27 NPT female", opposite(port))):
        answer = joins(end(taper), other)
        assert isinstance(answer, Refusal)
        assert "taper" in answer.reason


@pytest.mark.parametrize("first", TEXTS)
def test_only_the_opposite_end_joins(first: str) -> None:
    """Of all ends, exactly the one of opposite gender with the same seat and thread joins, both ways round."""
    fitting = [second for second in TEXTS if isinstance(joins(end(first), end(second)), Joint)]
    assert fitting == [opposite(end(first)).name]
    assert joins(end(first), end(fitting[0])) == joins(end(fitting[0]), end(first))


def test_opposite_names_what_to_ask_for() -> None:
    """The counterpart is named as a person would type it."""
    assert opposite(end("3/8-24 inverted flare male")).name == "3/8-24 inverted flare female"
    assert opposite(end("-3 37 male")) == end("-3 37 female")
    assert opposite(end("M10x1.0 banjo port")) == end("M10x1.0 banjo eye")


@pytest.mark.parametrize("gender", ["male", "female"])
def test_same_gender_is_refused_and_no_trap(gender: str) -> None:
    """Two male or two female ends cannot be screwed together at all."""
    answer = joins(end(f"M10x1.0 bubble {gender}"), end(f"M10x1.0 bubble {gender}"))
    assert answer == Refusal(f"both ends are {gender}: neither goes into the other", trap=False)


@pytest.mark.parametrize(
    ("typed", "missing"),
    [
        ("10 x 1 bubble", ("gender",)),
        ("M10 bubble male", ("pitch",)),
        ("M10x1.0 male", ("seat",)),
        ("bubble male", ("thread",)),
        ("M10 bubble", ("pitch", "gender")),
    ],
)
def test_what_is_missing_is_asked_never_guessed(typed: str, missing: tuple[str, ...]) -> None:
    """An end that lacks gender, pitch, seat or thread gives Unknown with what is missing, even beside its counterpart."""
    answer = joins(end(typed), end("M10x1.0 bubble female"))
    assert answer == Unknown(((end(typed).name, missing),))


def test_both_unknown_ends_are_named() -> None:
    """Two ends that are both unclear are both asked for."""
    answer = joins(end("M10 bubble male"), end("M10x1.0 bubble"))
    assert isinstance(answer, Unknown)
    assert len(answer.missing) == 2


@pytest.mark.parametrize(
    ("first", "second", "uses"),
    [
        # Two new washers and a hollow screw for a banjo; sealant on taper threads only: common practice, no source.
        ("M10x1.0 banjo eye", "M10x1.0 banjo port", {"sealing washer": 2, "banjo screw": 1}),
        ("3/8-24 crush male", "3/8-24 crush female", {"sealing washer": 1}),
        ("1/8-27 NPT male", "1/8-27 NPT female", {"thread sealant": 1}),
        ("M10x1.0 O-ring male", "M10x1.0 O-ring female", {"O-ring": 1}),
        ("3/8-24 inverted flare male", "3/8-24 inverted flare female", {}),
        ("M10x1.0 bubble male", "M10x1.0 bubble female", {}),
        ("-3 37 male", "-3 37 female", {}),
    ],
)
def test_each_joint_brings_what_it_uses_up(first: str, second: str, uses: dict[str, float]) -> None:
    """Washers, hollow screw, sealant and ring are demanded where the seat needs them and nowhere else."""
    answer = joins(end(first), end(second))
    assert isinstance(answer, Joint)
    assert {need.role: need.quantity for need in answer.needs} == uses


def test_washers_and_screw_are_for_the_ports_thread() -> None:
    """The washers' bore is the thread's diameter (3/8 in = 9.525 mm), the screw has the port's thread."""
    answer = joins(end("3/8-24 banjo eye"), end("3/8-24 banjo port"))
    assert isinstance(answer, Joint)
    washer, screw = answer.needs
    assert washer.bore == pytest.approx(9.525)
    assert "3/8 in" in washer.spec
    assert washer.one_time
    assert screw.thread is not None
    assert screw.thread.name == "3/8-24"


def test_only_the_taper_joint_allows_sealant() -> None:
    """No other joint lets anything onto its thread."""
    assert [seat for seat, row in joint_rows().items() if not row.sealant.startswith("none")] == ["NPT"]


def test_tubes_of_different_size_do_not_share_a_flare() -> None:
    """3/16 in and 4.75 mm count as one tube; 3/16 in and 1/4 in do not, although the nut's thread is the same."""
    port = end("3/8-24 inverted flare female 3/16 tube")
    assert isinstance(joins(end("3/8-24 inverted flare male 4.75 mm tube"), port), Joint)
    answer = joins(end("3/8-24 inverted flare male 1/4 tube"), port)
    assert isinstance(answer, Refusal)
    assert "tubes differ" in answer.reason


def test_every_row_names_its_source_and_every_seat_pair_has_a_reason() -> None:
    """No row without a source, and no two straight seats on one thread without a reason of their own."""
    sources = [row.source for row in joint_rows().values()] + [row.source for row in never_rows().values()]
    assert all(sources)
    seats = [seat for seat in joint_rows() if seat != "NPT"]
    pairs = [frozenset((a, b)) for a in seats for b in seats if a < b]
    lacking = [" and ".join(sorted(pair)) for pair in pairs if ("seat", pair) not in never_rows()]
    assert not lacking, f"add a row of kind seat to bomcheck/tables/line_never.txt for each of: {lacking}"


@pytest.mark.parametrize("seat", joint_rows())
def test_every_seat_is_read_joined_and_told(seat: str) -> None:
    """Both sides are read as people write them, join each other, take up known roles, and the seat is named in the question."""
    row, where = joint_rows()[seat], f"row {seat} of bomcheck/tables/line_joints.txt"
    assert {row.inner, row.outer} <= {gender for gender, _ in GENDERS}, f"{where}: no such gender"
    for gender in (row.inner, row.outer):
        read = end(f"{'1/8-27 NPT' if seat == 'NPT' else f'M10x1.0 {seat}'} {gender}")
        assert (read.seat, read.gender) == (seat, gender), f'{where}: "written" finds {read.seat} in "{seat}"'
    strange = {role for _, _, role in row.uses_up} - set(part_fields()["role"].choices)
    assert not strange, f"{where}: not in the enum of roles: {sorted(strange)}"
    assert seat in HOW_TO_SEE["seat"], f"name the seat {seat} in bomcheck/tables/line_end_asks.txt"


def test_traps_in_the_box_are_found_with_the_end_concerned() -> None:
    """A -3 hose in the box is named when the car has a 45° flare; a hose that fits is not, nor one that cannot start."""
    car = end("3/8-24 inverted flare male")
    parts = [
        hose("-3 37 female", "-3 37 female", part_number="wrong seat"),
        hose("3/8-24 inverted flare female", "M10x1.0 banjo eye", part_number="right"),
        adapter("M12x1.0 bubble female", "-3 37 male", part_number="far off"),
        Part("washer", part_number="no ends"),
    ]
    found = traps_in(parts, [car])
    assert [(trap.part.part_number, trap.end.name, trap.against) for trap in found] == [
        ("wrong seat", "-3 37 female", car)
    ]
    assert "37°" in found[0].reason
