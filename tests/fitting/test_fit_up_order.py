"""The order and the words of the work. All of it common practice, no source, but for what is named."""

import ast
import importlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

import bomcheck
from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.paper.fit_up import PLACES, fit_up
from bomcheck.paper.fit_up_words import to_mind
from tests.helpers.jobs import assessed


def demo(name: str) -> Report:
    return assess(read_job(folder("demo_workbooks") / f"{name}.xlsx")[0])


def work(report: Report) -> str:
    return " ".join(words for step in fit_up(report).steps for words in step.do)


def titles(report: Report) -> list[str]:
    return [step.title for step in fit_up(report).steps]


def test_the_pads_that_are_fitted_rule_the_bedding() -> None:
    """The kit's race pads stay in the box and pads for the road are bought: their sheet counts, not the race pads' heat."""
    words = " ".join(fit_up(demo("hill_climb_two_seater")).bedding)
    assert "P44-F2" in words
    assert "R9" not in words
    assert "850" not in words
    assert "pads bite little" not in " ".join(fit_up(demo("hill_climb_two_seater")).test), (
        "that is said of the kit's race pads"
    )


def test_the_kits_own_pads_keep_their_temperatures() -> None:
    """Where they are the ones that go in."""
    words = " ".join(fit_up(assessed(pad_compound="S1", pad_temperature_low=50.0, pad_temperature_high=500.0)).bedding)
    assert "for S1" in words
    assert "50 to 500 °C" in words


def test_pads_that_came_in_their_place_rule_the_bedding() -> None:
    """The kit's own compound came as another maker's: neither its name nor its temperatures are said, the other's number is."""
    report = assessed(pad_compound="S1", pad_temperature_low=50.0, pad_temperature_high=500.0)
    (pads,) = [line for line in report.parts if line.role == "pad set" and line.needed]
    own = replace(pads.own, received=1.0, instead=(("PX-9", "pads of another maker", 1.0),))
    parts = tuple(replace(line, own=own) if line is pads else line for line in report.parts)
    words = " ".join(fit_up(replace(report, parts=parts)).bedding)
    assert "for pads of another maker [PX-9]" in words
    assert "S1" not in words
    assert "500" not in words


def test_shoes_inside_the_hat_go_on_before_the_rotor_and_the_caliper() -> None:
    """The rotor hides them; shoes and springs stand at that step."""
    made = {step.title: step for step in fit_up(demo("estate_rear_axle")).steps}
    order = list(made)
    assert order.index("Parking shoes on the backing plate") < order.index("Put the rotor on")
    assert any("PS-172" in part for part in made["Parking shoes on the backing plate"].parts)
    assert "Parking shoes on the backing plate" not in titles(assessed())


def test_the_rotor_is_washed_before_it_goes_on() -> None:
    """Rotors are shipped in oil."""
    step = next(one for one in fit_up(assessed()).steps if one.title == "Put the rotor on")
    assert step.do[0].startswith("Wash the oil off both friction faces")


def test_the_wheel_is_tried_over_pads_and_line_and_goes_on_last() -> None:
    """A bare caliper stands nowhere yet; before the fluid a wheel that does not clear costs nothing; for good after bleeding."""
    order = titles(assessed())
    work_order = ("Caliper on the bracket", "Pads", "Brake line", "Try the wheel", "Bleed", "Wheel")
    assert [title for title in order if title in work_order] == list(work_order)
    assert order[-1] == "Wheel"


def test_a_car_is_driven_once() -> None:
    """Both axles on one sheet: each step of the test stands there once, steered; what is not good of either axle is told."""
    car = demo("touring_coupe_both_axles")
    said = fit_up(car).test
    assert ["full steering" in one for one in said if one.startswith("Private ground")] == [True]
    minds = {one for axle in car.axles for one in to_mind(axle)}
    assert minds
    assert minds <= set(said)


def test_drums_to_discs() -> None:
    """Drum, wheel cylinder and backing plate come off, and the drums' residual valve out."""
    words = work(demo("saloon_drums_to_discs"))
    for part in ("drum", "wheel cylinder", "backing plate", "residual valve"):
        assert part in words
    assert "then bleed all four corners" in words
    assert "Wheel, caliper, pads and rotor off" not in words
    assert "wheel cylinder" not in work(demo("estate_rear_axle")), "a drum in the hat is no drum brake"
    assert "wheel cylinder" not in work(assessed())
    assert "wheel cylinder" in work(assessed(axle="front", caliper_position_present=None, residual_valve_front=0.069))


def test_a_new_backing_plate_goes_on_before_the_hub() -> None:
    """The hub hides it; the shoes and their cable come next, before the rotor. Common practice, no source."""
    report = assessed(
        axle="rear", caliper_position_present="drum", park_brake="in drum", kit_park_brake="drum in hat", park_lever="cable",
        hub_removed="yes", bearing="sealed unit", spindle_nut_lock="no nut", hat_park_drum_diameter=168.0,
    )  # fmt: skip
    made = [
        step
        for step in fit_up(report).steps
        if any(one in "".join(step.parts) for one in ("backing plate that", "cable with"))
    ]
    assert [step.title for step in made] == ["Clean and check the hub", "Parking shoes on the backing plate"]
    assert "New backing plates on first" in " ".join(made[0].do)
    assert not [line for line in report.parts if line.role == "spindle nut"], "a unit that is bolted on has none"


def test_the_nuts_side_is_prescribed() -> None:
    """Only with the heads on the disc's side was the room beside the disc judged."""
    said = "Screw heads on the disc's side"
    assert said not in work(assessed())
    assert said in work(
        assessed(ear_hole="plain through", ear_hole_diameter=12.5, ear_thread=None, bracket_screw_into="nut")
    )


def test_a_new_master_cylinder() -> None:
    """Bled on the bench, push-rod play, all four corners; fluid for an empty system, 2.0 L, and 0.3 L for two dry calipers."""
    report = demo("hatchback_too_strong")
    assert any(line.role == "master cylinder" for line in report.parts)
    assert [line.needed for line in report.parts if line.role == "fluid"] == [2.3]
    assert "bled on the bench" in work(report)
    assert "push rod" in work(report)
    assert "all four corners" in " ".join(fit_up(report).bleeding)
    assert "bench" not in work(assessed())


@pytest.mark.parametrize(("condition", "said"), [("threadlocker", True), ("oiled", False)])
def test_threadlocker_cures_before_the_road(condition: str, said: bool) -> None:
    """Only where there is any."""
    wet = {f"{joint}_screw_condition": condition for joint in ("bracket", "caliper", "hat")}
    report = assessed(**wet)
    assert any("cured" in words for words in fit_up(report).test) is said


@pytest.mark.parametrize(("lever", "said"), [("cable", True), ("electric", False)])
def test_a_lever_in_the_caliper_is_joined_after_bleeding(lever: str, said: bool) -> None:
    """Set before, it holds the lever off its stop, and the adjuster inside does not work."""
    report = assessed(axle="rear", park_brake="in caliper", kit_park_brake="in caliper", park_lever=lever)
    assert titles(report).index("Parking brake") > titles(report).index("Bleed")
    assert ("each lever on its stop" in work(report)) is said
    car = titles(demo("touring_coupe_both_axles"))
    assert car.index("Bleed") < car.index("Rear left: parking brake") < car.index("Wheel")


def test_a_caliper_bled_off_its_bracket_has_a_block_between_the_pads() -> None:
    """Else the pistons come out."""
    assert "a block as thick as the rotor between the pads" in " ".join(
        fit_up(assessed(caliper_build="sliding")).bleeding
    )


def test_leaks_are_looked_for_after_bleeding() -> None:
    """As the last thing of it."""
    assert "all dry" in fit_up(assessed()).bleeding[-1]


def test_sealing_washers_only_where_there_are_some() -> None:
    """A caliper with a banjo has them, one with a taper thread has none."""
    assert "new sealing washers" in work(demo("saloon_drums_to_discs"))
    assert "sealing washers" not in work(demo("hill_climb_two_seater"))


def test_only_a_front_axle_is_turned_from_lock_to_lock() -> None:
    """A rear one goes up and down."""
    rear = fit_up(demo("estate_rear_axle"))
    said = " ".join([work(demo("estate_rear_axle")), *rear.before_wheel, *rear.test])
    assert "lock to lock" not in said
    assert "steering" not in said
    assert "lock to lock" in work(assessed())


def places_named() -> Iterator[tuple[str, str]]:
    """(file and line, place) of every place that a part of the list is used at, as the source names it."""
    for path in sorted(Path(bomcheck.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "used_at":
                module = ".".join(path.relative_to(Path(bomcheck.__file__).parents[1]).with_suffix("").parts)
                yield from ((f"{path.name}:{node.value.lineno}", place) for place in _texts(node.value, module))


def _texts(value: ast.expr, module: str) -> list[str]:
    """The texts that an expression may be; none for what a function is handed."""
    if isinstance(value, ast.IfExp):
        return [*_texts(value.body, module), *_texts(value.orelse, module)]
    if isinstance(value, ast.Constant):
        return [str(value.value)]
    name = (
        value.value.id
        if isinstance(value, ast.Subscript) and isinstance(value.value, ast.Name)
        else getattr(value, "id", "")
    )
    found = getattr(importlib.import_module(module), name, None) if name.isupper() else None
    return [found] if isinstance(found, str) else [*found.values()] if isinstance(found, dict) else []


def test_every_place_has_a_step() -> None:
    """No part falls into the first step for want of a step of its own; a new place belongs into `tables/steps.txt`."""
    steps = {place for places in PLACES.values() for place in places}
    named = list(places_named())
    assert len(named) > 40
    assert not [(where, place) for where, place in named if place and place not in steps]


def test_parts_of_both_corners_are_listed_once() -> None:
    """Left and right judged apart: what both take stands with the left, with the number for both; the right has its own only."""
    report = demo("touring_coupe_both_axles")
    found = {step.title: step.parts for step in fit_up(report).steps if step.title.startswith("Rear ")}
    left = [part for title, parts in found.items() if title.startswith("Rear left") for part in parts]
    right = [part for title, parts in found.items() if title.startswith("Rear right") for part in parts]
    assert len(left) > 10
    assert not set(left) & set(right)
    assert any(
        "listed with the left" in one
        for step in fit_up(report).steps
        if step.title.startswith("Rear right")
        for one in step.do
    )
