"""Hoses: what they hold by length, bore and end state, and what three fillings measured by weight say."""

from __future__ import annotations

import math
import statistics
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.hose import (
    STUDENT,
    HoseEnd,
    HoseJob,
    fillings_problems,
    hose_answer,
    hose_held,
    hose_problems,
    hose_result,
    result_answer,
)
from inventory.core.properties import FLUIDS
from shop.core.findings import Weight
from shop.core.gauge import ATMOSPHERE, PSI, celsius
from shop.core.mass import Mass, grams, ounces

INCH = 0.0254  # m, exact
YARD = HoseJob("R-134a", 36 * INCH, 0.25 * INCH, HoseEnd.LIQUID, celsius(20), ATMOSPHERE)
FIELDS = ("before", "first", "second", "third")


def weights(*texts: str) -> list[Mass]:
    return [grams(text) for text in texts]


def test_liquid_in_a_hose_is_more_than_a_tolerance_and_vapour_next_to_nothing() -> None:
    # computed with CoolProp 8.0.0 for R-134a: 35.5 g and 0.80 g
    assert 1000 * hose_held(YARD) == pytest.approx(35.5, abs=0.1)
    assert 1000 * hose_held(replace(YARD, end=HoseEnd.SATURATED)) == pytest.approx(0.80, abs=0.01)


@given(st.sampled_from(sorted(FLUIDS)), st.floats(-20, 60), st.floats(0, 1), st.integers(1, 4))
def test_the_thinner_the_state_the_less_a_hose_holds(
    code: str, degrees: float, share: float, number: int
) -> None:
    kelvin = celsius(degrees)
    asked = replace(YARD, refrigerant=code, kelvin=kelvin, number=number)
    gauge = share * FLUIDS[code].pressure(kelvin)
    liquid, full, thin = (
        hose_held(replace(asked, end=end, pressure=gauge))
        for end in (HoseEnd.LIQUID, HoseEnd.SATURATED, HoseEnd.SUPERHEATED)
    )
    assert liquid > full >= thin * 0.999
    assert thin >= 0
    assert liquid == pytest.approx(number * hose_held(replace(asked, number=1)), rel=1e-12)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"length": 0.1}, "length"),
        ({"length": 36.0}, "length"),
        ({"bore": 0.25}, "bore"),
        ({"bore": 0.0}, "bore"),
        ({"kelvin": celsius(61)}, "hose_at"),
        ({"end": HoseEnd.SUPERHEATED}, "gauge"),
        ({"end": HoseEnd.SUPERHEATED, "pressure": -1.0}, "gauge"),
        ({"end": HoseEnd.SUPERHEATED, "pressure": ATMOSPHERE + 90 * PSI}, "gauge"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(wrong: dict[str, object], field: str) -> None:
    asked = replace(YARD, **wrong)  # type: ignore[arg-type]
    (found,) = hose_problems(asked)
    assert (found.blocks, found.field) == (True, field)
    assert hose_answer(asked).weight is Weight.BLOCKS


def test_the_answer_says_what_is_not_in_it() -> None:
    answer = hose_answer(YARD)
    assert answer.headline == "35.5 g of R-134a stay in there, full of liquid."
    assert "measure the set itself" in answer.says[0]


def test_three_fillings_give_the_mean_and_where_a_fourth_would_lie() -> None:
    result = hose_result(weights("466", "460", "454", "447"), grams(1))
    # 6, 6, 7 g: mean 6.33, s 0.577; 4.303 x 0.577 x sqrt(4/3) = 2.87
    assert (result.allowance, result.give_or_take) == (grams("6.3"), grams("2.9"))
    assert not result.is_wide


def test_fillings_that_agree_are_known_no_better_than_the_scale_can_tell() -> None:
    # 2 x 2.835 / sqrt(6) = 2.31 g, rounded up
    result = hose_result([ounces(one) for one in ("16.4", "16.2", "16.0", "15.8")], ounces("0.1"))
    assert (result.allowance, result.give_or_take) == (grams("5.7"), grams("2.4"))


def test_fillings_that_differ_wildly_are_measured_again() -> None:
    answer = result_answer(hose_result(weights("466", "460", "450", "447"), grams(1)))
    assert answer.weight is Weight.WARNS
    assert "measure again" in answer.says[0]


@given(st.lists(st.integers(1, 60), min_size=3, max_size=3))
def test_give_or_take_is_students_interval_for_one_more_filling(fillings: list[int]) -> None:
    start = 500
    shown = [grams(start), *(grams(start - sum(fillings[: place + 1])) for place in range(3))]
    result = hose_result(shown, grams(1))
    wide = STUDENT * statistics.stdev(fillings) * math.sqrt(4 / 3)
    assert [round(one.grams) for one in result.fillings] == fillings
    assert result.allowance.grams == pytest.approx(statistics.fmean(fillings), abs=0.051)
    assert result.give_or_take.grams == pytest.approx(max(wide, 2 / math.sqrt(6)), abs=0.1)


@pytest.mark.parametrize(
    ("shown", "field"),
    [
        (("466", "466", "460", "454"), "first"),
        (("466", "460", "461", "454"), "second"),
        (("466", "460", "454", "300"), "third"),
    ],
)
def test_a_filling_that_cannot_be_is_said_beside_its_weight(shown: tuple[str, ...], field: str) -> None:
    (found,) = fillings_problems(weights(*shown), FIELDS)
    assert (found.blocks, found.field) == (True, field)
