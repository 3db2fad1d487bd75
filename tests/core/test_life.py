"""A container's mass over time: places on the drawing worked by hand (480 by 224, room 88 left, 12 right, 14 above, 34
below: 380 wide and 176 high for the line itself)."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from inventory.core.life import Held, Weighed, mass_over_time, nice_levels, steps
from shop.core.mass import ZERO, Mass, grams

START = datetime(2024, 4, 2, 18, 0, tzinfo=UTC)


def hours(number: float) -> datetime:
    return START + timedelta(hours=number)


def test_the_book_is_a_line_of_steps_and_the_tickets_are_marks() -> None:
    """340 g from hour 0, 140 g from hour 5, 0 g from hour 10. Levels 0, 100 … 400 g: 340 g is 176 x 60/400 = 26.4 below
    the top at 14, so 40.4; 140 g at 14 + 176 x 260/400 = 128.4; nothing at 190. Hour 5 is at 88 + 190 = 278."""
    book = steps([(hours(0), grams(340)), (hours(5), -grams(200)), (hours(10), -grams(140))])
    drawing = mass_over_time(book, [Weighed(hours(5), grams(138))])

    assert drawing is not None
    assert drawing.path == "M88 190V40.4H278V128.4H468V190H468"
    # 138 g: 14 + 176 x 262/400 = 129.28
    assert [(mark.x, mark.y, mark.aside) for mark in drawing.marks] == [("278", "129.3", False)]
    assert [(tick.y, tick.label) for tick in drawing.ticks] == [
        ("190", "0 g"),
        ("146", "100 g"),
        ("102", "200 g"),
        ("58", "300 g"),
        ("14", "400 g"),
    ]
    assert drawing.words == ("By the book 340 g at most, 0 g now. Weigh tickets: 1; the last says 138 g.")


def test_what_moves_at_one_instant_is_one_step() -> None:
    moved = [(hours(0), grams(340)), (hours(1), grams(4)), (hours(1), -grams(344))]

    assert steps(moved) == [Held(hours(0), grams(340)), Held(hours(1), ZERO)]


def test_a_can_that_only_came_in_is_a_level_line() -> None:
    drawing = mass_over_time(steps([(START, grams(340))]), [])

    assert drawing is not None
    assert (drawing.path, drawing.marks) == ("M88 40.4H468", ())
    assert drawing.words.endswith("Never weighed bare.")


def test_a_can_with_one_ticket_and_no_book_is_one_mark_in_the_middle() -> None:
    drawing = mass_over_time([], [Weighed(START, grams(160))])

    assert drawing is not None
    assert (drawing.path, [mark.x for mark in drawing.marks]) == ("", ["278"])
    assert drawing.words.startswith("The book never had anything in it. Weigh tickets: 1")


def test_nothing_is_no_drawing() -> None:
    assert mass_over_time([], []) is None


def test_a_ticket_set_aside_is_marked_so_and_is_not_the_last_word() -> None:
    weighed = [Weighed(hours(1), grams(300)), Weighed(hours(2), grams(120), aside=True)]
    drawing = mass_over_time(steps([(START, grams(340))]), weighed)

    assert drawing is not None
    assert [mark.aside for mark in drawing.marks] == [False, True]
    assert drawing.words.endswith("Weigh tickets: 1; the last says 300 g.")


def test_hundreds_of_tickets_are_thinned_out_and_no_peak_is_lost() -> None:
    """2,000 steps on 380 units of width: at most four for each column of 4 units. One dip in the middle stays."""
    book = [Held(hours(number), grams(5000)) for number in range(2000)]
    book[1234] = Held(hours(1234), grams(17))
    drawing = mass_over_time(book, [Weighed(one.at, one.mass) for one in book])

    assert drawing is not None
    assert drawing.thinned
    assert len(drawing.marks) <= 4 * 101
    # 17 g of levels up to 6,000: 190 - 176 x 17/6000 = 189.50
    assert "V189.5" in drawing.path


@pytest.mark.parametrize(
    ("most", "levels"),
    [
        (340, [0, 100, 200, 300, 400]),
        (227, [0, 100, 200, 300]),
        (2, [0, 0.5, 1, 1.5, 2]),
        (9507, [0, 5000, 10000]),
        (0, [0, 1]),
    ],
)
def test_levels_are_round_and_reach_the_top(most: float, levels: list[float]) -> None:
    assert nice_levels(most) == levels


def test_masses_are_exact_until_they_are_drawn() -> None:
    book = steps([(hours(number), Mass(1)) for number in range(3)])

    assert [one.mass for one in book] == [Mass(1), Mass(2), Mass(3)]
