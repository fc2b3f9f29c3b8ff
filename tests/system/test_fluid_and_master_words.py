"""Advice that can be followed: a fluid that is sold, a master cylinder whose drawbacks are named with it."""

import pytest

from bomcheck.car.assess import known_scene
from bomcheck.car.checks import BAD, GOOD, word
from bomcheck.car.findings_pedal import next_master
from bomcheck.car.hydraulics import master_bores
from tests.system.cars import car, found, sizes_of

TOO_MUCH = {"caliper_bores": (46.0, 42.0, 38.0), "pad_friction": 0.50, "rotor_diameter": 355.0, "master_bore": 19.05}


def _margin(share_of_way: float):
    """The fluid row of a car whose fluid is to have a wet boiling point of this many °C, limits included, no ±."""
    from dataclasses import replace

    from bomcheck.car.findings_heat import heat
    from bomcheck.car.spread import exact

    job = car(0.0, fluid_wet_boiling=100.0)
    scene = known_scene(job, sizes_of(job))
    fixed = {name: exact(size.middle) for name, size in scene.kit.ranges.items()}
    wanted = share_of_way - scene.limit("fluid_margin").low
    at = replace(scene, kit=replace(scene.kit, ranges=fixed))
    rotor = next(one for one in heat(at) if one.check == "repeated_stops").value.middle
    fixed["heat_to_fluid"] = exact((wanted - 20.0) / (rotor - 20.0))
    return next(one for one in heat(replace(at, kit=replace(at.kit, ranges=fixed))) if one.check == "fluid_margin")


@pytest.mark.parametrize(("wanted", "named"), [(154.9, "DOT 4 or DOT 5.1"), (155.1, "DOT 5.1"), (179.9, "DOT 5.1")])
def test_a_class_that_reaches_it_is_named(wanted, named):
    """FMVSS 116, S5.1.2: wet 155 °C for DOT 4, 180 °C for DOT 5.1."""
    told = _margin(wanted)
    assert word(told) == BAD
    assert told.do.startswith(f"Fluid with a wet boiling point of at least {wanted:.0f} °C: {named}, changed")


def test_beyond_the_highest_class_no_fluid_is_asked_for_that_is_not_sold():
    """FMVSS 116: 180 °C is the highest minimum; beyond it the rest that helps is named."""
    told = _margin(180.1)
    assert told.do.startswith("No class of fluid reaches")
    assert "180 °C (FMVSS 116)" in told.do
    for words in ("ducts", "heavier rotor", "fewer or softer stops"):
        assert words in told.do
    assert "or more" not in told.do


def test_the_fluid_gets_hot_and_boils_at_its_own_point():
    """What it comes to and where wet fluid boils are two figures."""
    told = _margin(179.9).said
    assert "may get as hot as 155 °C" in told
    assert "may boil at its wet boiling point, 100 °C" in told


def _scene(**changed):
    job = car(0.3, **{**TOO_MUCH, **changed})
    return known_scene(job, sizes_of(job))


@pytest.mark.parametrize("changed", [{}, {"booster_gain": 1.0}, {"rear_valve_knee": 3.0, "rear_valve_slope": 0.4}])
def test_all_else_is_judged_with_the_master_cylinder_that_is_ordered(changed):
    """Each row as if its bore had been typed, but for the row that orders it; the words say whose figure it is."""
    told = found(car(0.3, **TOO_MUCH, **changed))
    (part,) = told["master_stroke"].demands
    typed = found(car(0.3, **{**TOO_MUCH, **changed, "master_bore": dict(part.puts)["master_bore"]}))
    assert word(typed["master_stroke"]) == GOOD
    for key, one in typed.items():
        if key not in ("master_stroke", "pedal_travel"):  # the last is held against the pedal as it is now
            assert (told[key].value, told[key].verdict) == (one.value, one.verdict), key
    for key in ("pedal_force", "failed_circuit", "pedal_travel"):
        assert told[key].said.endswith(". With the master cylinder that is ordered"), key


def test_the_drawback_stands_in_the_same_sentence():
    """No booster: the bore that the stroke needs asks for a heavy foot, and its row is not good."""
    told = found(car(0.3, **TOO_MUCH, booster_gain=1.0))
    assert word(told["master_stroke"]) == BAD
    assert "it takes more force" in told["master_stroke"].do
    assert ". " not in told["master_stroke"].do
    assert word(told["pedal_force"]) != GOOD
    assert word(found(car(0.3, **TOO_MUCH))["pedal_force"]) == GOOD


@pytest.mark.parametrize("gain", [1.0, 2.0, 5.0])
def test_no_other_bore_of_the_trade_keeps_more(gain):
    """Tried as if fitted: the larger ones break each limit that the recommended one breaks, those between have no stroke."""
    scene = _scene(booster_gain=gain)
    _, bore_of_ours = next_master(scene)
    keys = ("master_stroke", "pedal_force", "failed_circuit")

    def broken(bore):
        answers = found(car(0.3, **{**TOO_MUCH, "booster_gain": gain, "master_bore": bore}))
        return {key for key in keys if word(answers[key]) != GOOD}

    own = broken(bore_of_ours)
    assert "master_stroke" not in own
    for _, bore in master_bores():
        if bore > 19.2:
            assert own <= broken(bore) if bore >= bore_of_ours else "master_stroke" in broken(bore)
