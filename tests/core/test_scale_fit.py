"""Whether a scale can show a tolerance: against the uncertainty budgets of the GUM, worked by hand beside each."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.scale_fit import ScaleJob, scale_answer, scale_fit
from shop.core.decision import conformity
from shop.core.findings import Weight
from shop.core.mass import Mass, grams, ounces


def test_half_ounce_steps_never_confirm_15_g_over_three_cans() -> None:
    # 0.5 oz = 14.175 g; u = 14.175 x root(6/12) = 10.02 g (GUM F.2.2.1); the largest that can is 15/1.96 = 7.65 g
    fit = scale_fit(ScaleJob(ounces("0.5"), 3, grams(15)))
    assert fit.u_g == pytest.approx(10.02, abs=0.005)
    assert not fit.shows
    assert scale_answer(fit).weight is Weight.WARNS
    assert fit.finest_g == pytest.approx(7.653 * (12 / 6) ** 0.5, abs=0.005)


def test_tenth_ounce_steps_confirm_15_g_over_three_cans() -> None:
    # u = 2.8350 x root(6/12) = 2.0046 g; one tail: 15 - 1.645 x 2.0046 = 11.70 g off the label still shown
    fit = scale_fit(ScaleJob(ounces("0.1"), 3, grams(15)))
    assert fit.u_g == pytest.approx(2.0046, abs=1e-4)
    assert fit.may_miss_g == pytest.approx(11.70, abs=0.01)
    assert "within 11 g of the label" in scale_answer(fit).headline


def test_a_hose_allowance_wider_than_the_tolerance_beats_every_scale() -> None:
    fit = scale_fit(ScaleJob(grams(1), 2, grams(2), hoses_g=6))
    assert fit.finest_g == 0
    assert "No scale could" in scale_answer(fit).says[0]


def test_gain_counts_on_the_whole_charge_and_not_can_by_can() -> None:
    # 0.3 % of 1000 g is 3 g either way, u = 1.732 g; two cans on 1 g steps add root(4/12) = 0.577 g
    fit = scale_fit(ScaleJob(grams(1), 2, grams(15), label=grams(1000), gain=0.003))
    assert fit.u_g == pytest.approx((3.0 + 1 / 3) ** 0.5, abs=1e-3)


@given(
    division=st.integers(100_000, 20_000_000),
    cans=st.integers(1, 12),
    tolerance=st.integers(1_000_000, 60_000_000),
)
def test_the_furthest_miss_that_is_shown_has_a_probability_of_95_percent(
    division: int, cans: int, tolerance: int
) -> None:
    fit = scale_fit(ScaleJob(Mass(division), cans, Mass(tolerance)))
    allowed = tolerance / 1e6
    if fit.may_miss_g is None:
        assert conformity(0, fit.u_g, allowed, allowed) < 0.95
    else:
        assert conformity(fit.may_miss_g, fit.u_g, allowed, allowed) == pytest.approx(0.95, abs=1e-6)
