"""Control charts: when one asks for a look, since when, how much, and in which words."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from compliance.core.control import (
    CAN,
    CHECK,
    LOT,
    SCALE,
    SHELF,
    TECHNICIAN,
    Stream,
    Value,
    chart,
    usual_heel,
)

FIRST = date(2024, 6, 1)


def stream(
    residuals: list[float], *, kind: str = SCALE, what: str = CAN, u: float = 2.0, of: float = 340.0
) -> Stream:
    values = tuple(
        Value(FIRST + timedelta(days=place), place + 1, residual, u, of)
        for place, residual in enumerate(residuals)
    )
    return Stream(kind, "SC-1", what, "SC-1", values)


def test_a_quiet_stream_says_how_many_weighings_it_has_seen() -> None:
    made = chart(stream([1.0, -1.0, 0.5, 0.0]))
    assert made.alarm is None
    assert made.sentence == "Nothing to see in 4 weighings on SC-1."


def test_a_gain_of_one_percent_is_found_and_dated_from_where_it_began() -> None:
    # Hand-worked: 3.4 g of 340 is 1 percent; scores 1.7 add 1.2 each: 1.2, 2.4, 3.6, 4.8, 6.0: over 5 at the fifth.
    # Before them eight values of -1 (score -0.5, which adds nothing upward), so it began on the ninth day.
    made = chart(stream([-1.0] * 8 + [3.4] * 5))
    assert [point.alarm for point in made.points].index(True) == 12
    assert made.alarm is not None
    assert (made.alarm.since, made.alarm.up) == (date(2024, 6, 9), True)
    assert made.alarm.mean_g == pytest.approx(3.4)
    assert made.alarm.percent == pytest.approx(1.0)
    assert (
        made.sentence
        == "SC-1 has drifted up since Jun 9: about +1.0 percent. Check it with the known weight."
    )


def test_an_alarm_downward_has_a_real_minus_sign() -> None:
    assert "drifted down since Jun 1: about −1.0 percent" in chart(stream([-3.4] * 6)).sentence


def test_an_alarm_stays_until_somebody_has_looked() -> None:
    noisy = stream([3.4] * 5 + [0.0] * 30)
    assert chart(noisy).alarm is not None
    assert chart(noisy, looked_through=5).alarm is None
    assert chart(noisy, looked_through=5).values[0].number == 6


def test_a_look_reaches_to_the_last_value() -> None:
    made = chart(stream([3.4] * 7))
    assert made.through == 7
    assert chart(made.stream, made.through).points == ()


@pytest.mark.parametrize(
    ("kind", "what", "grams", "words"),
    [
        (SCALE, SHELF, 2.0, "Cans weigh +2.0 g on SC-1 since Jun 1, with nothing taken out. Check its zero"),
        (SCALE, CHECK, -2.0, "Checks of SC-1 with the known weight lean one way since Jun 1: about −2.0 g."),
        (
            LOT,
            SHELF,
            -2.0,
            "Cans of lot SC-1 lose about 2.0 g on the shelf since Jun 1. Look at their valves.",
        ),
        (LOT, SHELF, 2.0, "Cans of lot SC-1 gain about 2.0 g on the shelf"),
        (LOT, CAN, -9.0, "Cans of lot SC-1 give about 9.0 g less than cans usually do"),
        (LOT, CAN, 9.0, "Cans of lot SC-1 give about 9.0 g more than cans usually do"),
        (TECHNICIAN, CAN, 9.0, "Look together at how they are taken"),
    ],
)
def test_an_alarm_says_what_to_look_at(kind: str, what: str, grams: float, words: str) -> None:
    assert words in chart(stream([grams] * 9, kind=kind, what=what, u=0.5 if what != CAN else 2.0)).sentence


def test_one_odd_value_raises_no_alarm_by_itself_and_two_do() -> None:
    # Hand-worked: a score is 4 at most, less k 3.5; twice that is 7.0
    assert chart(stream([-340.0, 0.0, 0.0])).alarm is None
    assert chart(stream([0.0, -340.0, -340.0])).alarm is not None


def test_what_usually_stays_in_a_can_is_told_by_the_first_ten() -> None:
    # Hand-worked: the middle of ten is (-3 + -2) / 2
    assert usual_heel([-4, -3, -2, -2, -3, -2, -4, -3, -2, -3, -9, -9]) == -3.0
    assert usual_heel([-2, -2, -2, -2, -2, -3, -3, -3, -3, -3]) == -2.5
    assert usual_heel([5.0, 5.0, 5.0]) == 0.0
    assert usual_heel([]) == 0.0


@pytest.mark.parametrize("grams", [9.0, -9.0])
def test_a_technicians_chart_accuses_nobody(grams: float) -> None:
    said = chart(stream([grams] * 6, kind=TECHNICIAN)).sentence.lower()
    assert "scale and cans may be why" in said
    assert not {"wrong", "fault", "mistake", "steal", "took", "blame"} & set(said.replace(".", "").split())
