"""The arithmetic of a correction: what was booked and the difference together are what should have been booked."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from compliance.core.correcting import Settled, difference, gained, in_order, passed_on
from inventory.core.ledger import Leg, Purpose
from shop.core.mass import Mass

PLACES = ("K-0001", "K-0002", "RC-02", "vehicles", "hoses", "air", "fill difference")
LEGS = st.lists(
    st.tuples(
        st.sampled_from(PLACES), st.sampled_from(PLACES), st.integers(1, 10**9), st.sampled_from(Purpose)
    )
    .filter(lambda row: row[0] != row[1])
    .map(lambda row: Leg(row[0], row[1], Mass(row[2]), row[3])),
    max_size=12,
)


def held(legs: list[Leg]) -> dict[tuple[str, Purpose], int]:
    """What each place got for each purpose, less what it gave; nothing where that is nothing."""
    sums: Counter[tuple[str, Purpose]] = Counter()
    for leg in legs:
        sums[leg.target, leg.purpose] += leg.mass.ug
        sums[leg.source, leg.purpose] -= leg.mass.ug
    return {key: ug for key, ug in sums.items() if ug}


@given(booked=LEGS, should=LEGS)
def test_booked_and_the_difference_are_what_should_be(booked: list[Leg], should: list[Leg]) -> None:
    assert held([*booked, *difference(booked, should)]) == held(should)


@given(legs=LEGS)
def test_nothing_moves_when_nothing_was_wrong(legs: list[Leg]) -> None:
    assert difference(legs, legs) == ()


@given(booked=LEGS, should=LEGS)
def test_a_container_that_was_counted_since_holds_what_was_counted(
    booked: list[Leg], should: list[Leg]
) -> None:
    settled = {"K-0001": Settled("K-0001", "unexplained", Purpose.COUNTED)}
    legs = difference(booked, should)
    moved = difference((), [*legs, *passed_on(legs, settled)])

    assert gained(moved, "K-0001") == Mass(0)
    assert gained(moved, "unexplained") == gained(legs, "K-0001")
    assert gained(moved, "K-0002") == gained(legs, "K-0002")


@given(legs=LEGS)
def test_containers_are_filled_before_they_give(legs: list[Leg]) -> None:
    inside = ("K-0001", "K-0002", "RC-02")
    gives = [leg.source in inside for leg in in_order(legs, inside)]

    assert gives == sorted(gives)
    assert Counter(in_order(legs, inside)) == Counter(legs)
