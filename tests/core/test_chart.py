"""The saturation chart: at sea level, higher up, and how little a gauge can tell refrigerants apart."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.chart import DEGREES_C, DEGREES_F, GASES, chart, rows_in_c, rows_in_f, widest_gap
from inventory.core.properties import FLUIDS
from shop.core.air import FOOT, standard_air
from shop.core.gauge import ATMOSPHERE, PSI, celsius, fahrenheit


@pytest.mark.parametrize(
    ("degrees", "expected"),  # psig at sea level, CoolProp 8.0.0
    [(0, (9.2, 6.5, 4.5)), (50, (48.8, 45.4, 39.4)), (80, (89.0, 86.7, 76.2)), (130, (195.0, 198.7, 175.9))],
)
def test_the_chart_at_sea_level(degrees: int, expected: tuple[float, ...]) -> None:
    row = next(row for row in chart(ATMOSPHERE).in_f if row.degrees == degrees)

    assert row.shown == pytest.approx(expected, abs=0.06)


def test_at_5000_ft_every_gauge_shows_2_47_psi_more() -> None:
    low, high = chart(ATMOSPHERE), chart(standard_air(5000 * FOOT))
    pairs = zip(low.in_f, high.in_f, strict=True)
    rises = [
        up - down
        for one, other in pairs
        for down, up in zip(one.shown, other.shown, strict=True)
        if up is not None and down is not None
    ]

    assert len(rises) == len(DEGREES_F) * len(GASES)
    assert rises == pytest.approx([2.47] * len(rises), abs=0.01)


def test_a_pressure_alone_cannot_tell_r134a_from_r1234yf() -> None:
    assert widest_gap("R-134a", "R-1234yf", range(121)) == pytest.approx(3.4, abs=0.02)
    # they cross near 106 °F
    yf, r134a, _ = rows_in_f([106], ATMOSPHERE)[0].shown
    assert yf is not None
    assert yf == pytest.approx(r134a, abs=0.2)


@given(st.integers(-40, 185), st.floats(60_000, 105_000))
def test_both_halves_say_the_same(degrees: int, air: float) -> None:
    kelvin = fahrenheit(degrees)
    for gas, shown in zip(GASES, rows_in_f([degrees], air)[0].shown, strict=True):
        assert (shown is None) is not FLUIDS[gas].covers(kelvin)
        if shown is not None:
            assert shown * PSI + air == pytest.approx(FLUIDS[gas].pressure(kelvin))
    for gas, shown in zip(GASES, rows_in_c([20], air)[0].shown, strict=True):
        assert shown is not None
        assert shown * 1000 + air == pytest.approx(FLUIDS[gas].pressure(celsius(20)))


def test_beyond_the_equations_the_chart_is_empty_and_does_not_guess() -> None:
    assert rows_in_c([90], ATMOSPHERE)[0].shown == (None, None, None)
    assert all(one is not None for row in chart(ATMOSPHERE).in_c for one in row.shown)
    assert (DEGREES_C[0], DEGREES_C[-1]) == (-20, 55)


def test_131_rows_take_less_than_a_millisecond() -> None:
    """The best of many rounds: a busy machine makes a round slow, never quick."""
    rounds = []
    for _ in range(50):
        began = time.perf_counter()
        assert len(rows_in_f(range(131), ATMOSPHERE)) == 131
        rounds.append(time.perf_counter() - began)

    assert min(rounds) < 1e-3
