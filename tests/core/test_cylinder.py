"""How full a recovery cylinder may be: three limits, the smallest rules. Worked figures stand beside the tests."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.cylinder import (
    HOT,
    Rule,
    fill_answer,
    fill_limit,
    liquid_filling,
    liquid_full_at,
    room_left,
    twice_u,
)
from inventory.core.properties import FLUIDS
from inventory.core.stamps import Stamps, overfull, stamp_problems
from shop.core.findings import Weight
from shop.core.gauge import celsius
from shop.core.mass import ZERO, Mass, Unit, grams
from tests.factories import reading

WC = Mass.of("26.2", Unit.LB)
GASES = st.sampled_from([*sorted(FLUIDS), "unknown"])


@pytest.mark.parametrize(
    ("gas", "rule", "pounds"),
    [
        ("R-134a", Rule.WEIGHT, "20.96"),
        ("R-1234yf", Rule.WEIGHT, "20.96"),
        ("R-152a", Rule.COOL_LIQUID, "18.87"),  # 0.80 x 26.2/0.999016 x 0.89947
        ("unknown", Rule.COOL_LIQUID, "18.87"),  # it may be R-152a
    ],
)
def test_the_smallest_limit_rules(gas: str, rule: Rule, pounds: str) -> None:
    fill = fill_limit(WC, Decimal(80), gas)

    assert fill.ruling is rule
    assert float(fill.most.to(Unit.LB)) == pytest.approx(float(pounds), rel=1e-3)


def test_for_r152a_the_answer_says_which_limit_rules_and_why() -> None:
    answer = fill_answer(fill_limit(WC, Decimal(80), "R-152a"))

    assert (
        answer.headline
        == "At most 8,560 g (18.9 lb) of R-152a in it: liquid fills 80 percent of it at 77 °F (25 °C)."
    )
    # 80 % by weight goes liquid-full at 60.0 °C (reference library)
    assert "80 % by weight would fill the cylinder with liquid at 140 °F (60 °C)" in answer.says[0]
    assert "can burst" in answer.says[0]


def test_an_unknown_content_is_taken_as_the_lightest_and_says_that_it_may_be_lighter() -> None:
    answer = fill_answer(fill_limit(WC, Decimal(80), "unknown"))

    assert "R-152a, the lightest this tool knows" in answer.says[0]
    assert "A hydrocarbon is lighter still" in answer.says[0]


def test_a_stricter_shop_rule_rules_for_every_refrigerant() -> None:
    assert {fill_limit(WC, Decimal(60), gas).ruling for gas in (*FLUIDS, "unknown")} == {Rule.WEIGHT}


def test_room_is_kept_back_for_the_scale() -> None:
    # 5 g steps: 5/root(12) = 1.443 g; 0.1 % of 10,000 g: 10/root(3) = 5.774 g; twice the root of squares: 11.90 g
    doubt = twice_u(grams(10_000), grams(5), 0.001)

    assert doubt.grams == pytest.approx(11.90, abs=0.01)
    assert room_left(grams(9507), grams(9000), doubt).grams == pytest.approx(507 - 11.90, abs=0.01)
    assert room_left(grams(9507), grams(9500), doubt) == ZERO


def test_a_cylinder_over_its_limit_stops() -> None:
    answer = fill_answer(fill_limit(WC, Decimal(80), "R-152a"), held=grams(9000))

    assert answer.weight is Weight.BLOCKS
    assert answer.says[0].startswith("It holds 9,000 g (19.8 lb), over its limit.")


@given(
    water=st.integers(2_267_961, 68_038_855),  # 5 to 150 lb, in mg
    percent=st.integers(50, 80),
    gas=GASES,
)
def test_no_limit_fills_a_cylinder_with_liquid_below_131_f(water: int, percent: int, gas: str) -> None:
    capacity = Mass(water * 1000)
    most = fill_limit(capacity, Decimal(percent), gas).most
    lightest = min(fluid.liquid_density(HOT) for code, fluid in FLUIDS.items() if gas in (code, "unknown"))

    assert most <= liquid_filling(capacity, lightest, 0.9)
    full = liquid_full_at(most, capacity, gas)
    assert full is None or full > celsius(55)


@given(gas=st.sampled_from(sorted(FLUIDS)), degrees=st.floats(-35, 84))
def test_the_temperature_of_liquid_full_is_where_the_liquid_fills_it(gas: str, degrees: float) -> None:
    net = liquid_filling(WC, FLUIDS[gas].liquid_density(celsius(degrees)))
    full = liquid_full_at(net, WC, gas)

    assert full is not None
    assert full == pytest.approx(celsius(degrees), abs=0.01)


def stamps(tare: str, water: str, gross: str, unit: Unit = Unit.LB) -> Stamps:
    return Stamps(reading(tare, unit), reading(water, unit), reading(gross, unit))


@pytest.mark.parametrize(
    ("typed", "codes"),
    [
        (stamps("17.1", "26.2", "19.6"), []),
        (stamps("28", "47.7", "60"), []),
        (stamps("10", "25", "12"), []),  # WC just 2.5 x TW
        (stamps("10", "25.1", "12"), ["tare-water-swapped"]),
        (stamps("50.2", "25.1", "55"), []),  # just half
        (stamps("50.3", "25.1", "55"), ["tare-water-swapped"]),
        (stamps("17.1", "11.9", "19"), ["water-unit"]),  # 11.9 kg is 26.2 lb
        (stamps("17.1", "21.6", "19"), ["water-unit"]),  # 21.6 kg is 47.6 lb
        (stamps("7.8", "11.9", "9", Unit.KG), []),
        (stamps("2.9", "5", "3"), ["tare-absurd"]),
        (stamps("17.1", "151", "19"), ["water-absurd"]),
        (stamps("17.1", "26.2", "17"), ["below-tare"]),
        (stamps("17.1", "26.2", "51.2"), ["gross-absurd"]),  # 17.1 + 1.3 x 26.2 = 51.16
    ],
)
def test_stamps_that_cannot_be_are_refused_and_unlikely_ones_asked_about(
    typed: Stamps, codes: list[str]
) -> None:
    found = stamp_problems(typed)

    assert [one.code for one in found] == codes
    assert all(one.blocks == (one.code not in ("tare-water-swapped", "water-unit")) for one in found)


def test_a_cylinder_that_comes_in_too_full_is_asked_about() -> None:
    fill = fill_limit(WC, Decimal(80), "R-134a")

    assert overfull(fill.most, fill) == []
    assert [one.code for one in overfull(fill.most + Mass(1), fill)] == ["cylinder-overfull"]
