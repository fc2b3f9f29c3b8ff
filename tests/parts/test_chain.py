"""The brake line is closed by the best chain, or the open joint is named, or it is asked."""

from dataclasses import replace
from typing import Any

import pytest

from bomcheck.model.job import Part
from bomcheck.supply.line_chain import Answer, AskFirst, Catalogue, Closed, LineQuestion, Open, solve
from bomcheck.supply.line_ends import Supply
from tests.parts.line_samples import adapter, end, hose

CAR, INLET = "3/8-24 inverted flare male", "M10x1.0 banjo port"
NEAR, FAR = "3/8-24 inverted flare female", "M10x1.0 banjo eye"
ASKED = LineQuestion(end(CAR), end(INLET), (400.0, 0.0), road_use=True)
DIRECT = hose(NEAR, FAR, part_number="direct", unit_price=44.0, lead_days=3.0)
STEP = adapter(NEAR, "-3 37 male", part_number="step", unit_price=9.5, lead_days=2.0)
TO_BANJO = adapter("-3 37 male", FAR, part_number="to banjo", unit_price=14.0, lead_days=2.0)
BRAIDED = hose("-3 37 female", "-3 37 female", part_number="braided", unit_price=37.0, lead_days=1.0)


def answer(*prices: Part, box: tuple[Part, ...] = (), shelf: tuple[Part, ...] = (), **asked: Any) -> Answer:
    """The answer for these parts; asked: what differs from ASKED."""
    question = replace(ASKED, **asked)
    supply = Supply(box, shelf, prices)
    return solve(Catalogue(supply, (question.car_end, question.caliper_inlet)), question)


def closed(*prices: Part, **more: Any) -> Closed:
    """The answer, which must be closed."""
    found = answer(*prices, **more)
    assert isinstance(found, Closed), found
    return found


def numbers(found: Closed) -> list[str]:
    """Part numbers from the car to the caliper."""
    return [link.part.part_number for link in found.chain.links]


def test_what_is_there_goes_before_what_must_be_bought() -> None:
    """A chain of three parts that is all in the box wins over a direct hose at 44: nobody buys what the box closes."""
    found = closed(DIRECT, box=(STEP, BRAIDED, TO_BANJO))
    assert numbers(found) == [STEP.part_number, BRAIDED.part_number, TO_BANJO.part_number]
    assert found.chain.to_order == ()
    assert found.alternative is not None
    assert found.alternative.price == 44.0
    assert found.why_lost == "it must be bought, for 44.00; the other is all there"


def test_fewest_joints_before_the_lowest_price() -> None:
    """Of what must be bought a direct hose at 44 wins over three parts of which two are in the box."""
    found = closed(DIRECT, STEP, box=(BRAIDED, TO_BANJO))
    assert numbers(found) == ["direct"]
    assert found.alternative is not None
    dearer = 44.0 - (STEP.unit_price or 0.0)
    assert found.why_lost == f"2 joints more, although {dearer:.2f} less has to be spent"


def test_box_and_shelf_cost_nothing() -> None:
    """Of equal chains the one that need not be bought wins, and only what is missing is to be ordered."""
    found = closed(DIRECT, BRAIDED, TO_BANJO, replace(STEP, unit_price=1.0), box=(DIRECT,))
    assert found.chain.price == 0.0
    assert found.chain.to_order == ()
    assert found.chain.lead_days == 0.0
    mixed = closed(BRAIDED, TO_BANJO, box=(STEP,))
    assert [link.source for link in mixed.chain.links] == ["box", "order", "order"]
    assert mixed.chain.price == pytest.approx(51.0)
    assert mixed.chain.lead_days == 2.0


def test_what_is_on_hand_of_a_priced_part_costs_nothing() -> None:
    """A row of the price list with pieces on hand is taken from the shelf first."""
    found = closed(replace(DIRECT, on_hand=1.0))
    assert found.chain.links[0].source == "shelf"
    assert found.chain.price == 0.0


def test_lowest_price_then_shortest_lead_time_then_part_number() -> None:
    """Each criterion decides only among equals of the one before."""
    dear, slow, later = (
        replace(DIRECT, part_number="dear", unit_price=45.0, lead_days=1.0),
        replace(DIRECT, part_number="slow", lead_days=9.0),
        replace(DIRECT, part_number="zzz"),
    )
    assert numbers(closed(dear, slow, later, DIRECT)) == ["direct"]
    assert closed(dear, DIRECT).why_lost == "1.00 dearer"
    assert closed(slow, DIRECT).why_lost == "6 days later"
    assert closed(later, DIRECT).why_lost == "as good: same joints, price and lead time"


def test_a_part_without_a_price_comes_after_those_with_one() -> None:
    """No price is not a low price; the sum of such a chain is not known."""
    unpriced = replace(DIRECT, part_number="unpriced", unit_price=None)
    assert numbers(closed(unpriced, DIRECT)) == ["direct"]
    alone = closed(unpriced)
    assert alone.chain.price is None
    assert closed(unpriced, DIRECT).why_lost == "a part of it has no price"


@pytest.mark.parametrize(
    ("length", "fits"), [(411.9, False), (412.0, True), (440.0, True), (472.0, True), (472.1, False), (520.0, False)]
)
def test_hose_length_just_inside_and_just_outside(length: float, fits: bool) -> None:
    """Path 400 mm: at least 12 mm of slack, at most 60 mm more (common practice, no source)."""
    found = answer(replace(DIRECT, length=length))
    assert isinstance(found, Closed if fits else Open)
    if isinstance(found, Open):
        assert "too short" in found.reasons[0] or "too long" in found.reasons[0]


@pytest.mark.parametrize(
    ("length", "kind"),
    [(401.9, Open), (402, AskFirst), (421.9, AskFirst), (422, Closed), (462, Closed), (462.1, AskFirst)],
)
def test_a_hose_must_be_right_for_every_path_inside_the_plus_minus(length: float, kind: type) -> None:
    """Path 400 ±10 mm: right for all of it is closed, for none is open, for a part of it is asked."""
    assert isinstance(answer(replace(DIRECT, length=length), path_length=(400.0, 10.0)), kind)


def test_the_question_names_the_plus_minus_that_would_settle_it() -> None:
    """415 mm against 400 ±5: 3 mm above the least at the middle, so ±3 mm settles it as right."""
    found = answer(replace(DIRECT, length=415.0), path_length=(400.0, 5.0))
    assert isinstance(found, AskFirst)
    assert "within ±3 mm" in found.questions[0]
    assert isinstance(answer(replace(DIRECT, length=415.0), path_length=(400.0, 3.0)), Closed)


def test_a_better_chain_that_needs_a_better_measurement_is_told() -> None:
    """A safe chain is used; that a shorter one would do if the path were known better stands beside it."""
    found = closed(replace(DIRECT, length=415.0), STEP, BRAIDED, TO_BANJO, path_length=(400.0, 5.0))
    assert numbers(found) == ["step", "braided", "to banjo"]
    assert found.maybe is not None
    assert found.maybe.hose.part_number == "direct"
    assert "±3 mm" in found.questions[0]


@pytest.mark.parametrize(
    ("marked", "road_use", "kind"),
    [
        ("yes", True, Closed),
        ("no", True, Open),
        ("", True, Open),
        ("no", False, Closed),
        ("", False, Closed),
        ("yes", None, Closed),
        ("no", None, AskFirst),
        ("", None, AskFirst),
    ],
)
def test_road_use_needs_a_marked_hose(marked: str, road_use: bool | None, kind: type) -> None:
    """A hose without a mark, or that does not say, is not used on the road; whether the car is, is asked if not said."""
    found = answer(replace(DIRECT, road_marked=marked), road_use=road_use)
    assert isinstance(found, kind)
    if isinstance(found, Open):
        assert "road-marked" in found.reasons[0]


def test_lead_time_is_a_limit_only_where_a_date_is_needed() -> None:
    """A part that comes too late is passed over with its reason; one that does not say is asked about."""
    assert isinstance(answer(DIRECT, needed_in_days=3.0), Closed)
    late = answer(DIRECT, needed_in_days=2.0)
    assert isinstance(late, Open)
    assert "takes 3 days" in late.reasons[0]
    unsure = answer(replace(DIRECT, lead_days=None), needed_in_days=2.0)
    assert isinstance(unsure, AskFirst)
    assert "How many days" in unsure.questions[0]
    assert isinstance(answer(box=(replace(DIRECT, lead_days=None),), needed_in_days=0.0), Closed)


def test_no_chain_names_the_part_that_would_close_it() -> None:
    """The description is exact enough to buy the part elsewhere."""
    found = answer(path_length=(443.0, 5.0))
    assert isinstance(found, Open)
    assert found.wanted == f"{NEAR} to {FAR}, at least 460 mm and at most 510 mm, road-marked"
    assert "both ends" in found.open_joint


def test_no_chain_names_an_adapter_that_would_do_it_with_a_hose_that_is_there() -> None:
    """A hose that joins the car is kept, and the adapter from its free end to the caliper is described."""
    found = answer(hose(NEAR, "-3 37 female", part_number="H1", unit_price=42.0))
    assert isinstance(found, Open)
    assert found.wanted_adapter == "-3 37 male to M10x1.0 banjo eye, with hose H1"
    assert found.open_joint.startswith("at the caliper: no usable part joins M10x1.0 banjo port")


def test_the_open_joint_is_at_the_car_or_between() -> None:
    """Parts at one side only leave the other open; parts at both that do not meet leave the middle open."""
    at_car = answer(hose("-3 37 female", FAR))
    assert isinstance(at_car, Open)
    assert at_car.open_joint.startswith("at the car")
    between = answer(STEP, TO_BANJO)
    assert isinstance(between, Open)
    assert between.open_joint.startswith("between the car's 3/8-24")


def test_never_more_than_two_adapters_and_never_two_hoses() -> None:
    """Three adapters or two hoses would close it; neither is allowed."""
    middle = adapter("-3 37 female", "-3 37 female", part_number="middle")
    end_hose = hose("-3 37 female", FAR)
    assert isinstance(answer(STEP, middle, adapter("-3 37 male", "-4 37 male"), hose("-4 37 female", FAR)), Open)
    assert isinstance(answer(hose(NEAR, "-3 37 male"), end_hose), Open)
    assert numbers(closed(STEP, end_hose)) == ["step", ""]


def test_one_adapter_in_the_box_is_not_used_twice() -> None:
    """The same adapter at both ends of the hose: one is free, the second is bought; without a price list it is open."""
    both: dict[str, Any] = {"car_end": end("-3 37 female"), "caliper_inlet": end("-3 37 female")}
    nipple = adapter("-3 37 male", "-3 37 male", part_number="nipple", unit_price=5.0, quantity=1.0)
    found = closed(nipple, box=(nipple, BRAIDED), **both)
    assert sorted(link.source for link in found.chain.links) == ["box", "box", "order"]
    assert found.chain.price == 5.0
    assert isinstance(answer(box=(nipple, BRAIDED), **both), Open)
    assert closed(box=(replace(nipple, quantity=2.0), BRAIDED), **both).chain.price == 0.0


@pytest.mark.parametrize("role", ["residual valve", "proportioning valve", "tee", "union", "brake tube", "tube nut"])
def test_parts_that_need_a_rigid_tube_are_no_links(role: str) -> None:
    """A valve or a tee with the right ends does not close a hose chain."""
    assert isinstance(answer(replace(STEP, role=role), hose("-3 37 female", FAR)), Open)


def test_parts_for_the_other_side_are_passed_over() -> None:
    """A left hose closes the left line only; the right one says why not."""
    left = replace(DIRECT, side="left")
    assert isinstance(answer(left, side="left"), Closed)
    right = answer(left, side="right")
    assert isinstance(right, Open)
    assert "left side only" in right.reasons[0]


@pytest.mark.parametrize(
    ("typed", "words"), [("10 x 1 bubble", "gender"), ("M10 bubble male", "pitch"), ("M10x1.0 male", "seals on")]
)
def test_an_end_not_known_well_enough_is_asked(typed: str, words: str) -> None:
    """The car's end or the caliper's inlet: what is missing is asked, with how to see it, and no chain is given."""
    for where in ("car_end", "caliper_inlet"):
        found = answer(DIRECT, **dict[str, Any]({where: end(typed)}))
        assert isinstance(found, AskFirst)
        assert found.possible is None
        assert words in found.questions[0]
        assert end(typed).name in found.questions[0]


def test_a_part_with_an_unclear_end_is_asked_about_not_used() -> None:
    """A hose whose gender is not stated could close the line: that is a question, neither closed nor open."""
    found = answer(hose("3/8-24 inverted flare", FAR, part_number="H7"))
    assert isinstance(found, AskFirst)
    assert "end A of hose H7" in found.questions[0]
    assert found.possible is not None
    assert isinstance(answer(hose("7/16-24 inverted flare", FAR)), Open)
    two = answer(adapter(NEAR, "M10x1.0 bubble"), hose("M10x1.0 bubble", FAR))
    assert isinstance(two, AskFirst)
    assert len(two.questions) == 2


def test_a_path_that_was_not_measured_is_asked_unless_nothing_fits_anyway() -> None:
    """Without the path no hose is chosen; without any hose for these ends the line is open whatever the path."""
    found = answer(DIRECT, path_length=None)
    assert isinstance(found, AskFirst)
    assert "string" in found.questions[0]
    assert isinstance(answer(BRAIDED, path_length=None), Open)


def test_traps_in_the_box_are_refused_with_the_reason() -> None:
    """A -3 hose in the box screws onto the car's 45° flare: it is no link there, and it is named as a trap."""
    found = answer(box=(hose("-3 37 female", FAR, part_number="trap"),))
    assert isinstance(found, Open)
    assert [trap.part.part_number for trap in found.traps] == ["trap"]
    assert "37°" in found.traps[0].reason


def test_each_joint_in_order_with_what_seals() -> None:
    """Three parts make four joints, from the car's line to the caliper's inlet, each with its seat and wrench."""
    chain = closed(STEP, BRAIDED, TO_BANJO).chain
    assert [step.joint.seat for step in chain.steps] == ["inverted flare", "37", "37", "banjo"]
    assert chain.steps[0].before == "car's line"
    assert chain.steps[-1].after == "caliper inlet"
    assert [(step.end_before.name, step.end_after.name) for step in chain.steps][1] == ("-3 37 male", "-3 37 female")
    assert all(step.joint.wrenches and step.joint.seals_on for step in chain.steps)
    assert {need.role: need.quantity for need in chain.needs} == {"sealing washer": 2, "banjo screw": 1}


def test_washers_of_both_banjos_are_added_up() -> None:
    """A banjo at both ends of the hose needs four washers of one size and two screws."""
    chain = closed(hose(FAR, FAR), car_end=end(INLET)).chain
    assert {need.role: need.quantity for need in chain.needs} == {"sealing washer": 4, "banjo screw": 2}


@pytest.mark.parametrize(
    ("bracket", "clip", "roles"),
    [
        (False, False, set()),
        (True, False, {"bulkhead nut", "line clip"}),
        (True, True, {"bulkhead nut"}),
    ],
)
def test_a_bracket_needs_its_clip_and_a_bulkhead_adapter_its_nut(bracket: bool, clip: bool, roles: set[str]) -> None:
    """The clip is ordered where there is a tab and no sound clip; the nut where a bulkhead adapter sits in the tab."""
    bulkhead = replace(STEP, description="bulkhead adapter, straight")
    chain = closed(bulkhead, BRAIDED, TO_BANJO, has_bracket=bracket, clip_on_car=clip).chain
    assert {need.role for need in chain.needs} - {"sealing washer", "banjo screw"} == roles
    plain = closed(STEP, BRAIDED, TO_BANJO, has_bracket=bracket, clip_on_car=clip).chain
    assert "bulkhead nut" not in {need.role for need in plain.needs}
