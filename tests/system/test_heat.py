"""Rotor temperatures against the differential equation of cooling, solved by scipy."""

import math

import pytest

from bomcheck.car.heat import ceiling, peak, repeated_stops, rotor_rise, stop_energy

scipy_integrate = pytest.importorskip("scipy.integrate")

DUTIES = [(20.0, 85.7, 40.0, 275.0, 10), (35.0, 140.0, 90.0, 150.0, 25), (-10.0, 30.0, 12.0, 400.0, 60)]


def solved(ambient: float, rise: float, interval: float, time_constant: float, count: int) -> list[float]:
    """Temperature just after each stop [°C]: heat flow and cooling in one equation, the heat in the first 0.2 s."""
    braking, tops, temperature = 0.2, [], ambient
    for _ in range(count):
        for length, heating in ((braking, rise / braking), (interval - braking, 0.0)):

            def slope(_time: float, state: list[float], heating: float = heating) -> list[float]:
                return [heating - (state[0] - ambient) / time_constant]

            answer = scipy_integrate.solve_ivp(slope, (0.0, length), [temperature], rtol=1e-8, atol=1e-8)
            temperature = float(answer.y[0, -1])
            if heating:
                tops.append(temperature)
    return tops


@pytest.mark.parametrize("duty", DUTIES)
def test_repeated_stops_agree_with_the_differential_equation(duty):
    """Every stop of the duty within 0.5 percent of the rise over the air."""
    ambient = duty[0]
    for stop, temperature in zip(repeated_stops(*duty), solved(*duty), strict=True):
        assert stop.after - ambient == pytest.approx(temperature - ambient, rel=0.005)


@pytest.mark.parametrize("duty", DUTIES)
def test_closed_form_is_the_last_stop_and_tends_to_the_ceiling(duty):
    """The geometric series, its sum and its limit."""
    assert peak(*duty) == pytest.approx(repeated_stops(*duty)[-1].after, rel=1e-12)
    assert peak(*duty[:4], 5000) == pytest.approx(ceiling(*duty[:4]).after, rel=1e-9)


def test_the_heat_of_all_brakes_is_the_heat_of_the_stop():
    """Energy shared over two front and two rear rotors, all of it into the rotors, adds up again."""
    energy = stop_energy(1500.0, 30.0, 0.0, 1.04)
    kept = [2 * rotor_rise(energy, share, 1.0, mass, 480.0) * mass * 480.0 for share, mass in ((0.7, 8.0), (0.3, 5.0))]
    assert sum(kept) == pytest.approx(energy)
    assert energy == pytest.approx(stop_energy(1500.0, 30.0, 20.0, 1.04) + stop_energy(1500.0, 20.0, 0.0, 1.04))


def test_after_one_time_constant_37_percent_of_the_excess_is_left():
    """What the constant of the Limits sheet means."""
    tau = 7.0 * 480.0 / (60.0 * 0.2)
    second = repeated_stops(20.0, 100.0, tau, tau, 2)[1]
    assert second.before - 20.0 == pytest.approx(100.0 / math.e)
