"""Whether a person's 609 card was in force on a day. A card has no expiry (40 CFR 82.40); it covers no earlier day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.standing import AuthorisedStretch, CardFacts, standing, turning_days

CARD = CardFacts("Sample Certification Program", "SAMPLE-7741", date(2019, 3, 12))
ALWAYS = [AuthorisedStretch(date(2015, 1, 1), None)]
days = st.dates(date(2010, 1, 1), date(2040, 1, 1))


def test_a_card_covers_its_issue_day_and_every_later_one() -> None:
    for day in (date(2019, 3, 12), date(2026, 6, 11), date(2049, 1, 1)):
        answer = standing("Dev Larkin", day, [CARD], ALWAYS)
        assert answer.in_force
        assert answer.card == CARD


def test_a_card_does_not_cover_the_day_before_it_was_issued() -> None:
    answer = standing("Dev Larkin", date(2019, 3, 11), [CARD], ALWAYS)
    (finding,) = answer.findings
    assert finding.code == "card-issued-later"
    assert finding.blocks
    assert answer.sentence == (
        "The 609 card of Dev Larkin was issued Mar 12 2019, after Mar 11 2019. It does not cover that day."
    )


def test_without_a_card_the_answer_says_where_to_add_one() -> None:
    (finding,) = standing("Sam Ortega", date(2026, 6, 11), [], ALWAYS).findings
    assert (finding.code, finding.field) == ("no-card", "by")
    assert "Add the card under Records, Cards." in finding.message


def test_the_answer_is_printed_as_a_sentence() -> None:
    answer = standing("Dev Larkin", date(2026, 6, 11), [CARD], ALWAYS)
    says = "Dev Larkin held Section 609 proof of certification SAMPLE-7741, issued Mar 12 2019, on this date."
    assert answer.sentence == says


def test_the_oldest_card_that_covers_the_day_answers() -> None:
    newer = CardFacts("Another Program", "SAMPLE-9002", date(2023, 1, 1))
    assert standing("Dev Larkin", date(2026, 6, 11), [newer, CARD], ALWAYS).card == CARD


@pytest.mark.parametrize(
    ("day", "authorised"),
    [
        (date(2021, 1, 3), False),
        (date(2021, 1, 4), True),
        (date(2023, 6, 30), True),
        (date(2023, 7, 1), False),
        (date(2024, 1, 1), True),
    ],
)
def test_a_person_works_here_from_the_first_day_to_the_last(day: date, authorised: bool) -> None:
    stretches = [
        AuthorisedStretch(date(2021, 1, 4), date(2023, 6, 30)),
        AuthorisedStretch(date(2024, 1, 1), None),
    ]
    answer = standing("Dev Larkin", day, [CARD], stretches)
    assert answer.authorised is authorised
    assert {finding.code for finding in answer.findings} == (set() if authorised else {"not-authorised"})


@given(days, days)
def test_a_card_in_force_stays_in_force(issued: date, day: date) -> None:
    card = CardFacts("Sample Certification Program", "SAMPLE-1", issued)
    now, later = (standing("Dev", one, [card], []).card for one in (day, day + timedelta(400)))
    assert now is None or later is not None


@given(
    day=days,
    cards=st.lists(st.tuples(days, st.none() | days), max_size=3),
    stretches=st.lists(st.tuples(days, st.none() | days), max_size=3),
)
def test_between_two_turning_days_the_answer_stays(
    day: date, cards: list[tuple[date, date | None]], stretches: list[tuple[date, date | None]]
) -> None:
    facts = [CardFacts("Sample", f"SAMPLE-{n}", *one) for n, one in enumerate(cards)]
    running = [AuthorisedStretch(*one) for one in stretches]
    before = [turn for turn in turning_days(facts, running) if turn <= day]
    began = max(before, default=date(2009, 1, 1))

    now, then = (standing("Dev Larkin", one, facts, running) for one in (day, began))

    assert (now.in_force, now.authorised, now.card) == (then.in_force, then.authorised, then.card)
    assert [one.code for one in now.findings] == [one.code for one in then.findings]
