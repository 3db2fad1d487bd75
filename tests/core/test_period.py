"""A stretch of days, as people say it: both ends belong to it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.period import Period, period_problems
from shop.core.phrase import in_language

days = st.dates(date(2020, 1, 1), date(2040, 12, 31))


@pytest.mark.parametrize(
    ("number", "first", "last"),
    [
        (1, date(2028, 1, 1), date(2028, 3, 31)),
        (2, date(2028, 4, 1), date(2028, 6, 30)),
        (3, date(2028, 7, 1), date(2028, 9, 30)),
        (4, date(2028, 10, 1), date(2028, 12, 31)),
    ],
)
def test_a_quarter_has_three_whole_months(number: int, first: date, last: date) -> None:
    assert Period.quarter(2028, number) == Period(first, last)


@given(st.integers(2000, 2100))
def test_four_quarters_make_a_year_without_gap(year: int) -> None:
    quarters = [Period.quarter(year, number) for number in (1, 2, 3, 4)]
    assert (quarters[0].first, quarters[-1].last) == (date(year, 1, 1), date(year, 12, 31))
    assert [one.day_before for one in quarters[1:]] == [one.last for one in quarters[:-1]]


def test_both_days_belong_to_the_period() -> None:
    april = Period(date(2026, 4, 1), date(2026, 4, 30))
    assert date(2026, 4, 1) in april
    assert date(2026, 4, 30) in april
    assert date(2026, 3, 31) not in april
    assert date(2026, 5, 1) not in april


def test_a_period_is_said_in_words() -> None:
    said = Period.quarter(2026, 2).said
    assert said == "Apr 1 2026 to Jun 30 2026"
    spanish = {
        "{month} {day} {year}": "{day} {month} {year}",
        "{first} to {last}": "{first} a {last}",
        "Apr": "abr",
    }
    assert in_language(said, lambda text: spanish.get(text, text)) == "1 abr 2026 a 30 Jun 2026"


@given(days, days, days)
def test_a_period_runs_forward_and_has_come(first: date, last: date, today: date) -> None:
    found = {finding.code for finding in period_problems(first, last, today=today)}
    if last < first:
        assert found == {"period-backwards"}
    else:
        assert found == ({"period-future"} if last > today else set())


def test_a_period_of_one_day_up_to_today_is_a_period() -> None:
    day = date(2026, 6, 30)
    assert period_problems(day, day, today=day) == []
    assert period_problems(day, day + timedelta(1), today=day) != []
