"""CO2e by one named table at a time. The figures themselves stand in fixtures/check_values_cylinders.csv."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.co2e import FEDERAL, TABLE, TABLES, co2e, co2e_answer, kg_shown, total_kg
from shop.core.findings import Finding, Weight
from shop.core.mass import Mass, grams, ounces


def test_an_answer_names_its_factor_table_edition_and_source() -> None:
    answer = co2e_answer(co2e(ounces("8"), "R-134a", FEDERAL))

    assert answer.headline == "324 kg CO2e for 226.8 g of R-134a."
    assert dict(answer.numbers)["Factor"] == "1,430 kg CO2 a kg"
    assert dict(answer.numbers)["Table"] == "AIM Act exchange values, 42 U.S.C. 7675(c)(1)"
    assert "42 U.S.C. 7675(c)(1), read" in answer.basis
    assert "nothing of what was avoided or saved" in answer.says[0]


def test_r1234yf_is_no_regulated_hfc_and_has_no_exchange_value() -> None:
    one = co2e(grams(500), "R-1234yf", FEDERAL)
    answer = co2e_answer(one)

    assert one.kg is None
    assert answer.weight is Weight.WARNS
    assert "no regulated substance" in answer.headline


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.key)
def test_no_table_calls_r1234yf_or_a_blend_zero(table: object) -> None:
    assert TABLE[table.key].factor("R-1234yf") != 0  # type: ignore[attr-defined]
    assert co2e(grams(1), "unknown", TABLE[table.key]).kg is None  # type: ignore[attr-defined]


def test_4_for_r1234yf_is_the_leaflets_and_not_the_fourth_reports() -> None:
    assert TABLE["ar4"].factor("R-1234yf") is None
    assert TABLE["leaflet"].factor("R-1234yf") == 4


def test_amounts_of_two_editions_are_not_added() -> None:
    two = [co2e(grams(100), "R-134a", TABLE[key]) for key in ("ar5", "ar6")]
    added = total_kg(two)

    assert isinstance(added, Finding)
    assert added.code == "co2e-two-tables"


def test_over_20_years_and_over_100_are_two_tables() -> None:
    assert isinstance(total_kg([co2e(grams(1), "R-134a", TABLE[key]) for key in ("ar6", "ar6-20")]), Finding)


@given(st.lists(st.integers(0, 10**12), max_size=6))
def test_a_sum_is_the_sum_of_its_parts(masses: list[int]) -> None:
    added = total_kg([co2e(Mass(ug), "R-134a", FEDERAL) for ug in masses])

    assert added == Decimal(sum(masses)) * 1430 / 10**9


@pytest.mark.parametrize(
    ("kg", "shown"),
    [
        ("324.3185", "324"),
        ("28.1227", "28.1"),
        ("1.25", "1.25"),
        ("0.1136", "0.114"),
        ("1430000", "1,430,000"),
    ],
)
def test_kilograms_are_shown_as_exactly_as_they_mean_something(kg: str, shown: str) -> None:
    assert kg_shown(Decimal(kg)) == shown
