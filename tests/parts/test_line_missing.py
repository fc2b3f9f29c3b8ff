"""A line that lacks one part of the box: that part is asked for, and the rest of the box stays in use."""

from dataclasses import replace
from itertools import product

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.supply.line_chain import AskFirst, Catalogue, Closed, LineQuestion, Open, solve, solve_corners
from bomcheck.supply.line_ends import Supply, opposite
from bomcheck.supply.line_words import Missing
from tests.helpers.jobs import finding, good_job
from tests.parts.line_samples import TEXTS, adapter, end, hose

CAR, INLET = "3/8-24 inverted flare male", "1/8-27 NPT female"
ASKED = LineQuestion(end(CAR), end(INLET), (400.0, 0.0), road_use=True)
STEP = adapter("3/8-24 inverted flare female", "-3 37 male", part_number="step")
BRAIDED = hose("-3 37 female", "-4 37 female", part_number="braided")
TO_PORT = adapter("-4 37 male", "1/8-27 NPT male", part_number="to port")
WHOLE = (STEP, BRAIDED, TO_PORT)


def missing(*box: Part, question: LineQuestion = ASKED, shelf: tuple[Part, ...] = ()) -> Missing | None:
    """What the box lacks; the line must be open."""
    found = solve(Catalogue(Supply(box, shelf, ()), (question.car_end, question.caliper_inlet)), question)
    assert isinstance(found, Open), found
    return found.missing


def gap(found: Missing | None) -> tuple[str, set[str]]:
    """(Role, both ends) of the part that is asked for."""
    assert found is not None
    (link,) = [link for link in found.chain.links if link.source == "order"]
    return link.part.role, {link.toward_car.name, link.toward_caliper.name}


@pytest.mark.parametrize("part", WHOLE, ids=lambda part: part.part_number)
def test_the_one_part_that_is_not_there_is_asked_for(part: Part) -> None:
    """Adapter, hose, adapter: whichever is taken out is asked for, by its role and both of its ends."""
    found = missing(*(one for one in WHOLE if one is not part))
    assert gap(found) == (part.role, {part.end_a.name, part.end_b.name})
    assert found is not None
    assert [link.part for link in found.chain.links if link.source == "box"] == [
        one for one in WHOLE if one is not part
    ]


def test_whatever_ends_meet_in_the_middle() -> None:
    """All pairs of ends between two adapters and a hose, each of the three taken out: it is asked for, unless what is left
    closes the line by itself."""
    asked = 0
    for near, far in product(TEXTS, TEXTS):
        box = (
            Part("adapter", end_a=opposite(end(CAR)), end_b=end(near)),
            hose(opposite(end(near)).name, far),
            Part("adapter", end_a=opposite(end(far)), end_b=opposite(end(INLET))),
        )
        for part in box:
            rest = tuple(one for one in box if one is not part)
            found = solve(Catalogue(Supply(rest, (), ()), (end(CAR), end(INLET))), ASKED)
            if not isinstance(found, Closed):
                assert isinstance(found, Open)
                assert gap(found.missing) == (part.role, {part.end_a.name, part.end_b.name}), (near, far, part)
                asked += 1
    assert asked > 300


def test_nothing_of_the_box_in_the_line() -> None:
    """An empty box, one whose parts join neither end, and one that lacks two parts: no single part can be named."""
    assert missing() is None
    assert missing(hose("M12x1.0 bubble male", "M12x1.0 bubble male")) is None
    assert missing(BRAIDED) is None


def test_a_hose_that_may_not_be_used_is_no_part_of_the_line() -> None:
    """A hose too short for the path stays out: the hose is asked for, between the adapters of the box."""
    short = replace(BRAIDED, length=300.0)
    assert gap(missing(STEP, short, TO_PORT)) == ("hose", {"-3 37 female", "-4 37 female"})


def test_the_shelf_does_not_choose_the_hose() -> None:
    """Only what lies in the kit's box says how the line was meant; a drawer full of adapters does not."""
    assert missing(shelf=(STEP, TO_PORT)) is None


def test_a_path_that_is_not_measured_is_still_asked_for() -> None:
    """With the path unknown the hose of the box stays in the line, and its question with it."""
    unmeasured = replace(ASKED, path_length=None)
    found = missing(STEP, BRAIDED, question=unmeasured)
    assert gap(found) == ("adapter", {"-4 37 male", "1/8-27 NPT male"})
    assert found is not None
    assert [ask.split("?")[0] for ask in found.asks] == ["How long is the hose's path"]
    whole = solve(Catalogue(Supply(WHOLE, (), ()), (end(CAR), end(INLET))), unmeasured)
    assert isinstance(whole, AskFirst)
    assert found.asks == whole.questions


def test_one_of_two_adapters_is_short() -> None:
    """Hoses and steps for both corners, one adapter to the port: one corner closes, the other lacks just the adapter."""
    box = (replace(STEP, quantity=2.0), replace(BRAIDED, quantity=2.0), replace(TO_PORT, quantity=1.0))
    questions = [ASKED, replace(ASKED, side="right")]
    one, other = solve_corners(Catalogue(Supply(box, (), ()), (end(CAR), end(INLET))), questions)
    (closed,) = [found for found in (one, other) if isinstance(found, Closed)]
    (opened,) = [found for found in (one, other) if isinstance(found, Open)]
    assert len(closed.chain.links) == 3
    assert gap(opened.missing) == ("adapter", {"-4 37 male", "1/8-27 NPT male"})


def test_it_is_said_in_words() -> None:
    """The missing part with its ends, and what it goes with."""
    found = missing(STEP, replace(BRAIDED, description="braided hose"))
    assert found is not None
    assert found.said == "adapter, -4 37 male to 1/8-27 NPT male, with adapter and braided hose of the box"


def test_the_finding_names_the_missing_part_and_warns_of_nothing_in_its_place() -> None:
    """The adapter to the port is missing: it is to be found, or one hose instead; step and hose lie right and are no trap."""
    job = good_job(line_end=CAR, caliper_inlet=INLET, box=(replace(STEP, quantity=2.0), replace(BRAIDED, quantity=2.0)))
    found = finding("line_closes", assess(job))
    assert found.do.startswith(
        "Find a source for: adapter, -4 37 male to 1/8-27 NPT male, with adapter and hose of the box"
    )
    assert "; or one hose, 3/8-24 inverted flare female to 1/8-27 NPT male" in found.do
    assert "never screw" not in found.said
