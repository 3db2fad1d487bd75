"""A leak rate between two visits: its sum, its doubt, its flags, and every reason not to give one."""

from __future__ import annotations

import random
import statistics
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.leak_rate import (
    Filled,
    Found,
    LeakRate,
    Recovering,
    SinceLast,
    Unknown,
    leak_rate,
    recovering,
)
from compliance.core.leak_words import leak_rate_answer
from shop.core.findings import Weight
from shop.core.house import HouseRules, house_rules
from shop.core.mass import Mass, grams

LABEL = grams(567)
FILLED = Filled("J24-0001", grams(567), 2.7, "R-134a", LABEL)
PART = Recovering(0.97, 0.015, "shop rule")


def since(out: str | None = "510", days: int = 400, **said: Any) -> SinceLast:
    found = Found(grams(out) if out is not None else None, 3.0, "R-134a", LABEL)
    inside = {name: said.pop(name) for name in list(said) if hasattr(found, name)}
    return replace(SinceLast(FILLED, replace(found, **inside), days, PART), **said)


def known(one: SinceLast) -> LeakRate:
    rate = leak_rate(one)
    assert isinstance(rate, LeakRate), rate
    return rate


def unknown(one: SinceLast) -> Unknown:
    rate = leak_rate(one)
    assert isinstance(rate, Unknown), rate
    return rate


def test_the_rate_of_a_worked_example() -> None:
    # 567 - 510/0.97 = 41.23 g; x 365.25/400 = 37.6 g a year
    # u = root(2.7^2 + (3/0.97)^2 + (510 x 0.015/0.97^2)^2) = root(7.29 + 9.57 + 66.10) = 9.11 g; a year 8.3
    rate = known(since())
    assert rate.loss == pytest.approx(41.23, abs=0.01)
    assert rate.per_year == pytest.approx(37.6, abs=0.1)
    assert rate.u_per_year == pytest.approx(8.3, abs=0.1)


def test_its_doubt_is_what_chance_makes_of_its_three_inputs() -> None:
    """Monte Carlo (JCGM 101): fill, cylinder and recovery drawn at random, 40,000 times."""
    pick = random.Random(1010)
    draws = [
        (pick.gauss(567, 2.7) - pick.gauss(510, 3.0) / pick.gauss(0.97, 0.015)) * 365.25 / 400
        for _ in range(40_000)
    ]
    rate = known(since())
    assert statistics.fmean(draws) == pytest.approx(rate.per_year or 0, abs=0.2)
    assert statistics.stdev(draws) == pytest.approx(rate.u_per_year, rel=0.02)
    assert sum(one > 40 for one in draws) / len(draws) == pytest.approx(rate.chance(40), abs=0.01)


def test_a_machines_own_display_hides_what_a_weighed_cylinder_shows() -> None:
    # plus or minus 30 g is u 17.3 g: 37.6 +- 18.1 g a year, 93 % sure of more than 11: not said
    rate = known(since(u_g=17.32))
    assert rate.u_per_year == pytest.approx(18.1, abs=0.1)
    assert rate.chance(11) == pytest.approx(0.93, abs=0.005)
    assert not rate.is_above_normal


def test_a_clear_loss_is_above_normal_and_asks_for_a_look() -> None:
    answer = leak_rate_answer(leak_rate(since()))
    assert answer.headline == "Lost about 41 g in 400 days, 38 g a year: above normal."
    assert answer.weight is Weight.WARNS
    assert "Shop finding, no federal rule asks for it" in answer.basis


def test_a_loss_within_its_doubt_is_not_shown_and_proves_nothing() -> None:
    # 567 - 540/0.97 = 10.3 g, u 9.5 g
    answer = leak_rate_answer(leak_rate(since("540")))
    assert answer.headline.startswith(
        "No loss is shown since J24-0001, 400 days ago: 10 g, give or take 19 g"
    )
    assert "no proof that nothing leaks" in answer.says[0]
    assert answer.state == ("unneeded", "No verdict")


def test_a_gross_loss_after_a_few_weeks_is_made_a_year_and_wants_repair() -> None:
    rate = known(since("300", 60))  # 567 - 309.3 = 257.7 g, more than five times its u of 6.3 g
    assert rate.per_year == pytest.approx(1569, abs=1)
    assert rate.wants_repair
    assert "repair before recharging" in leak_rate_answer(rate).headline


def test_a_small_loss_after_a_few_weeks_is_not_made_a_year() -> None:
    rate = known(since("555", 30))
    assert rate.per_year is None
    assert not rate.is_flagged
    assert "Under 90 days" in " ".join(leak_rate_answer(rate).says)


def test_a_second_evaporator_may_lose_more() -> None:
    # 567 - 480/0.97 = 72.2 g in 400 days: 65.9 +- 8.0 g a year
    assert known(since("480")).wants_repair
    assert not known(since("480", evaporators=2)).wants_repair


def test_a_large_system_may_lose_more_before_it_is_above_normal() -> None:
    label = grams(2000)  # 1.5 % of it is 30 g a year
    large = replace(since(), filled=Filled("J", grams(2000), 2.7, "R-134a", label))
    assert known(replace(large, found=Found(grams(1900), 3.0, "R-134a", label))).normal == pytest.approx(30)


def test_a_large_loss_within_the_warranty_is_a_comeback() -> None:
    assert known(since("300", 60, warranty_days=365)).is_comeback
    assert not known(since("300", 366, warranty_days=365)).is_comeback
    assert not known(since("510", 60, warranty_days=365)).is_comeback  # 41 g is less than a tenth of 567 g


def test_a_car_that_comes_nearly_empty_may_have_lost_it_sooner() -> None:
    answer = leak_rate_answer(leak_rate(since("0", 300)))
    assert "It came nearly empty" in " ".join(answer.says)


@pytest.mark.parametrize(
    ("one", "reason"),
    [
        (since(None), "Nothing was recovered on this visit"),
        (since(refrigerant="R-1234yf"), "The refrigerant was changed: R-134a in J24-0001, R-1234yf now"),
        (since(label=grams(600)), "The label does not say what it said in J24-0001"),
        (since(elsewhere="compressor replaced"), "opened or charged since: compressor replaced"),
        (since(opened_in="J24-0007"), "opened since, in J24-0007"),
        (since(mixed=True), "mixed or unknown"),
        (since(days=0), "less than a day ago"),
        (
            since("580"),
            "More came out than J24-0001 put in",
        ),  # 13 g is more than 3 x root(2.7^2 + 3^2) = 12.1
        (since(recovering=None), "below 50 °F"),
        (replace(since(), filled=replace(FILLED, total_known=False)), "was a top-up"),
        (replace(since("90"), filled=replace(FILLED, mass=grams(150))), "200 to 3,000 g"),
    ],
)
def test_a_rate_that_cannot_be_known_says_why(one: SinceLast, reason: str) -> None:
    rate = unknown(one)
    assert reason in rate.reason
    assert leak_rate_answer(rate).headline.startswith("Not known.")


def test_the_label_in_another_unit_is_the_same_label() -> None:
    known(since(label=Mass.of("566.99")))  # 20.0 oz


def test_a_top_up_without_recovery_gives_a_lower_bound_and_no_rate() -> None:
    rate = unknown(since(None, topped_up=grams(120)))
    assert rate.at_least == grams(120)
    assert "Lower bound only: 120 g" in leak_rate_answer(rate).says[0]


def test_a_few_grams_more_out_than_in_is_within_the_doubt() -> None:
    assert known(since("578")).loss < 0  # 11 g, less than 12.1


@pytest.mark.parametrize(
    ("plates", "bay", "part", "u"),
    [
        (("SAE J2810, tested by a laboratory",), "", 0.97, 0.0150),  # 2.6/root 3 = 1.50 %
        ((), "75 °F", 0.97, 0.0150),
        ((), "60 °F", 0.97, 0.0300),  # colder than the standard's figure: doubled
        (("SAE J2210",), "21 °C", 0.82, 0.0346),  # 18 % left behind; 6/root 3 = 3.46 %
        (("SAE J2210",), "10 °C", 0.70, 0.0346),  # 30 %
        (("SAE J 2210",), "15.5 °C", 0.76, 0.0346),  # half way
        (("SAE J2210",), "", 0.76, 0.0693),  # no temperature: both ends are possible
    ],
)
def test_what_a_recovery_takes_out_goes_by_machine_and_bay(
    plates: tuple[str, ...], bay: str, part: float, u: float
) -> None:
    one = recovering(HouseRules(), plates, bay)
    assert one is not None
    assert one.part == pytest.approx(part, abs=1e-3)
    assert one.u == pytest.approx(u, abs=1e-4)


def test_older_equipment_in_a_cold_bay_is_not_guessed() -> None:
    assert recovering(HouseRules(), ["SAE J2210"], "45 °F") is None


def test_the_owner_may_change_what_a_recovery_takes_out() -> None:
    own = recovering(house_rules([("recovery_percent", "93"), ("recovery_give_or_take_percent", "1")]))
    assert own is not None
    assert own.part == 0.93
    assert own.u == pytest.approx(0.00577, abs=1e-5)


def test_older_equipment_read_as_if_it_took_everything_looks_like_a_leak() -> None:
    """The trap: 18 % of 567 g left in the system is 102 g that never left the car."""
    out = str(round(567 * 0.82))
    naive = known(replace(since(out), recovering=Recovering(1.0, 0.0, "")))
    told = known(replace(since(out), recovering=recovering(HouseRules(), ["SAE J2210"], "70 °F")))
    assert naive.wants_repair
    assert not told.is_flagged


@given(
    filled=st.integers(200, 3000),
    out=st.integers(0, 3000),
    days=st.integers(0, 4000),
    part=st.floats(0.7, 1.0),
    warranty=st.integers(0, 1000),
)
def test_whatever_is_weighed_there_is_an_answer_and_flags_need_a_shown_loss(
    filled: int, out: int, days: int, part: float, warranty: int
) -> None:
    one = SinceLast(
        Filled("J", grams(filled), 2.7, "R-134a", grams(filled)),
        Found(grams(out), 3.0, "R-134a", grams(filled)),
        days,
        Recovering(part, 0.015, ""),
        warranty,
    )
    rate = leak_rate(one)
    assert leak_rate_answer(rate).headline
    if isinstance(rate, LeakRate):
        assert rate.is_shown or not rate.is_flagged
        assert rate.per_year is not None or days < 90
        assert rate.chance(rate.bad) <= rate.chance(rate.normal) or rate.normal > rate.bad
