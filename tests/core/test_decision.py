"""Uncertainty and verdicts, against published worked examples."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.decision import (
    Verdict,
    combined,
    conformity,
    largest_u,
    u_rectangular,
    u_resolution,
    verdict,
)


def test_a_display_of_whole_grams_has_u_of_0_289_g() -> None:
    # GUM (JCGM 100) F.2.2.1: half width d/2 over the root of 3 (clause number from memory; computed: 0.288675)
    assert u_resolution(1) == pytest.approx(0.288675, abs=1e-6)
    assert u_resolution(1) == pytest.approx(u_rectangular(0.5))


def test_limits_of_plus_or_minus_one_have_u_of_0_577() -> None:
    # GUM 4.3.7 (clause number from memory; computed: 0.577350)
    assert u_rectangular(1) == pytest.approx(0.577350, abs=1e-6)


def test_two_readings_and_three_cans_of_whole_grams() -> None:
    # Computed: u of one difference 0.408248, of a total of three cans 0.707107
    assert combined(*[u_resolution(1)] * 2) == pytest.approx(0.408248, abs=1e-6)
    assert combined(*[u_resolution(1)] * 6) == pytest.approx(0.707107, abs=1e-6)


def test_calibrating_a_10_kg_weight_as_in_ea_4_02_s2() -> None:
    # EA-4/02 example S2 (read at metrodata.de/examples/s02_en.html and in its file S02.smu), in mg: reference U 45 at
    # k = 2, drift 15, magnetism and eccentricity 10, buoyancy 10, all rectangular; difference 14.1985. Result 29.1465.
    u = combined(45 / 2, u_rectangular(15), u_rectangular(10), u_rectangular(10), 14.1985)
    assert u == pytest.approx(29.1465, abs=0.001)
    assert round(2 * u) == 58


def test_the_same_weight_from_a_pooled_standard_deviation() -> None:
    # The same with 25 mg pooled over three readings: 29.262, U = 59 (computed; the printed 59 mg is from memory)
    u = combined(45 / 2, u_rectangular(15), u_rectangular(10), u_rectangular(10), 25 / math.sqrt(3))
    assert u == pytest.approx(29.262, abs=0.001)
    assert round(2 * u) == 59


def test_the_volume_of_a_flask_as_in_eurachem_a1() -> None:
    # EURACHEM/CITAC guide, example A1 (read at measurementuncertainty.org/guide/app_a_example1.html; the file at
    # metrodata.de holds 0.066473052184 ml): 100 ml give or take 0.1 (triangular), 4 K x 2.1e-4/K, repeatability 0.02.
    triangular = u_rectangular(0.1) / math.sqrt(2)
    assert combined(triangular, u_rectangular(100 * 4 * 2.1e-4), 0.02) == pytest.approx(0.066473052, abs=1e-9)


def test_the_standard_solution_of_eurachem_a1_is_0_835_and_not_the_0_9_of_rounded_inputs() -> None:
    # The same example: 100.28 mg with u 0.05, purity 0.9999 give or take 0.0001. Published table: u = 0.9, from
    # rounded inputs; unrounded (computed) c = 1002.69972 mg/l, u = 0.8352.
    c = 1000 * 100.28 * 0.9999 / 100
    u = c * combined(0.05 / 100.28, u_rectangular(0.0001) / 0.9999, 0.066473052 / 100)
    assert c == pytest.approx(1002.69972, abs=1e-5)
    assert u == pytest.approx(0.8352, abs=1e-4)


def test_the_end_gauge_of_gum_h1() -> None:
    # GUM example H.1 (inputs from memory and the public data set of it; published answer 32 nm from memory), in nm:
    # standard 25; comparison 5.8, 3.9, 6.7; expansion 0.58e-6/K at -0.1 K and 11.5e-6/K at 0.029 K. Computed: 31.705.
    length = 50_000_623 + 215
    u = combined(25, 5.8, 3.9, 6.7, 50_000_623 * 0.1 * 0.58e-6, 50_000_623 * 11.5e-6 * 0.029)
    assert length == 50_000_838
    assert u == pytest.approx(31.705, abs=0.01)
    assert round(u) == 32


@pytest.mark.parametrize(
    ("deviation", "answer"),
    [
        (1, Verdict.SHOWN),  # 1 <= 15 - 2.89
        (-13, Verdict.NOT_SHOWN),  # between the two
        (18, Verdict.OUTSIDE),  # 18 > 15 + 2.89
    ],
)
def test_a_deviation_is_judged_with_its_uncertainty(deviation: float, answer: Verdict) -> None:
    # Hand-worked: tolerance 15, u = 1.445 (U = 2.89)
    assert verdict(conformity(deviation, 1.445, 15, 15)) is answer


def test_a_half_ounce_scale_never_shows_half_an_ounce() -> None:
    # Three cans at 0.5 oz have u = 10.02 g; tolerance 14.17 g (0.5 oz). On target p = 0.843 (computed with u = 10.0).
    assert conformity(0, 10.0, 14.17, 14.17) == pytest.approx(0.843, abs=1e-3)
    assert verdict(conformity(0, 10.02, 14.17, 14.17)) is Verdict.NOT_SHOWN


def test_both_tails_count_in_a_narrow_tolerance() -> None:
    # Computed: tolerance 15, u = 9, on target: p = 0.904, though 15 is more than 1.645 u
    assert conformity(0, 9, 15, 15) == pytest.approx(0.904, abs=1e-3)


@pytest.mark.parametrize(
    ("probability", "answer"),
    [
        (None, Verdict.NONE),
        (1.0, Verdict.SHOWN),
        (0.95, Verdict.SHOWN),
        (0.9496, Verdict.NOT_SHOWN),
        (0.9499999, Verdict.NOT_SHOWN),
        (0.0500001, Verdict.NOT_SHOWN),
        (0.05, Verdict.OUTSIDE),
        (0.0, Verdict.OUTSIDE),
    ],
)
def test_a_probability_is_never_rounded_up(probability: float | None, answer: Verdict) -> None:
    assert verdict(probability) is answer


@pytest.mark.parametrize(("deviation", "p"), [(15, 1.0), (-15, 1.0), (15.01, 0.0), (-15.01, 0.0)])
def test_without_uncertainty_the_limits_themselves_decide(deviation: float, p: float) -> None:
    assert conformity(deviation, 0, 15, 15) == p


deviations = st.floats(-100, 100)
uncertainties = st.floats(0.01, 50)
tolerances = st.floats(0, 100)


@given(deviations, uncertainties, tolerances, tolerances)
def test_a_probability_lies_between_none_and_all(
    deviation: float, u: float, below: float, above: float
) -> None:
    assert 0 <= conformity(deviation, u, below, above) <= 1


@given(deviations, uncertainties, tolerances)
def test_over_and_under_are_judged_alike(deviation: float, u: float, tolerance: float) -> None:
    over, under = (conformity(one, u, tolerance, tolerance) for one in (deviation, -deviation))
    assert over == pytest.approx(under, abs=1e-12)


@given(st.floats(0.1, 100))
def test_the_largest_u_just_shows_a_charge_on_target(tolerance: float) -> None:
    u = largest_u(tolerance)
    assert conformity(0, u, tolerance, tolerance) == pytest.approx(0.95, abs=1e-9)
    assert verdict(conformity(0, u * 1.001, tolerance, tolerance)) is Verdict.NOT_SHOWN


@given(st.lists(st.floats(0, 1000), min_size=1, max_size=8))
def test_parts_together_are_no_less_than_the_largest_and_no_more_than_their_sum(parts: list[float]) -> None:
    assert max(parts) * (1 - 1e-12) <= combined(*parts) <= sum(parts) * (1 + 1e-12)
