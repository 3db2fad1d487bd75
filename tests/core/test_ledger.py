"""The refrigerant book's arithmetic: nothing is made, nothing is lost, to the microgram."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.ledger import Leg, Purpose, balances, mirrored, share_out
from shop.core.mass import ZERO, Mass, grams, total

PLACES = ("supplier", "K-0311", "K-0312", "vehicles", "hoses", "air", "RC-02", "fill difference")
some_mass = st.integers(1, 10**12).map(Mass)
purposes = st.sampled_from(Purpose)
two_places = st.lists(st.sampled_from(PLACES), min_size=2, max_size=2, unique=True)
some_legs = st.lists(
    st.builds(lambda ends, mass, why: Leg(ends[0], ends[1], mass, why), two_places, some_mass, purposes),
    max_size=30,
)


@pytest.mark.parametrize("mass", [ZERO, Mass(-1)])
def test_a_movement_has_mass(mass: Mass) -> None:
    with pytest.raises(ValueError, match="has mass"):
        Leg("K-0311", "vehicles", mass, Purpose.CHARGED)


def test_a_movement_goes_somewhere() -> None:
    with pytest.raises(ValueError, match="goes somewhere"):
        Leg("K-0311", "K-0311", grams(1), Purpose.CHARGED)


def test_a_balance_is_what_came_in_less_what_went_out() -> None:
    legs = [
        Leg("supplier", "K-0311", grams(340), Purpose.RECEIVED),
        Leg("K-0311", "vehicles", grams(332), Purpose.CHARGED),
        Leg("K-0311", "hoses", grams(6), Purpose.HOSES),
    ]
    assert balances(legs) == {
        "supplier": grams(-340),
        "K-0311": grams(2),
        "vehicles": grams(332),
        "hoses": grams(6),
    }


def test_two_cans_are_poured_one_after_the_other() -> None:
    # The ordinary job, by hand: 338 + 171 = 509 out; 503 in the car, 6 in the hoses, all 6 from the second can
    legs = share_out(
        [("K-0311", grams(338)), ("K-0312", grams(171))],
        [("vehicles", Purpose.CHARGED, grams(503)), ("hoses", Purpose.HOSES, grams(6))],
    )
    assert legs == (
        Leg("K-0311", "vehicles", grams(338), Purpose.CHARGED),
        Leg("K-0312", "vehicles", grams(165), Purpose.CHARGED),
        Leg("K-0312", "hoses", grams(6), Purpose.HOSES),
    )


def test_a_can_is_poured_out_before_the_next_one_is_touched() -> None:
    legs = share_out(
        [("K-0311", grams(10)), ("K-0312", grams(10))],
        [("vehicles", Purpose.CHARGED, grams(5)), ("hoses", Purpose.HOSES, grams(15))],
    )
    assert [(leg.source, leg.target, leg.mass) for leg in legs] == [
        ("K-0311", "vehicles", grams(5)),
        ("K-0311", "hoses", grams(5)),
        ("K-0312", "hoses", grams(10)),
    ]


def test_a_share_of_nothing_makes_no_movement() -> None:
    legs = share_out(
        [("K-0311", grams(5)), ("K-0312", ZERO)],
        [("air", Purpose.RELEASED, ZERO), ("vehicles", Purpose.CHARGED, grams(5))],
    )
    assert legs == (Leg("K-0311", "vehicles", grams(5), Purpose.CHARGED),)
    assert share_out([], []) == ()


def test_what_was_drawn_must_be_what_went_somewhere() -> None:
    with pytest.raises(ValueError, match="not what went somewhere"):
        share_out([("K-0311", grams(338))], [("vehicles", Purpose.CHARGED, grams(337))])


@pytest.mark.parametrize(
    ("drawn", "shared"), [((-2, 12), (5, 5)), ((5, 5), (-2, 12))], ids=["a draw", "a share"]
)
def test_nothing_is_poured_backwards(drawn: tuple[int, int], shared: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="less than nothing"):
        share_out(
            [("K-0311", grams(drawn[0])), ("K-0312", grams(drawn[1]))],
            [
                ("vehicles", Purpose.CHARGED, grams(shared[0])),
                ("air", Purpose.RELEASED, grams(shared[1])),
            ],
        )


@given(some_legs)
def test_whatever_is_posted_mass_is_conserved(legs: list[Leg]) -> None:
    assert total(balances(legs).values()) == ZERO


@given(some_legs)
def test_a_reversal_leaves_every_place_as_it_was(legs: list[Leg]) -> None:
    assert set(balances([*legs, *mirrored(legs)]).values()) <= {ZERO}
    assert mirrored(mirrored(legs)) == tuple(legs)


@given(some_legs, st.integers(0, 30))
def test_a_balance_does_not_depend_on_where_the_book_is_cut(legs: list[Leg], cut: int) -> None:
    before, after, whole = balances(legs[:cut]), balances(legs[cut:]), balances(legs)
    assert {
        place: before.get(place, ZERO) + after.get(place, ZERO) for place in before.keys() | after.keys()
    } == whole


@st.composite
def draws_and_shares(
    draw: st.DrawFn,
) -> tuple[list[tuple[str, Mass]], list[tuple[str, Purpose, Mass]]]:
    """Some cans' draws, and the same mass cut at other places into shares; either may hold nothings."""
    drawn = draw(st.lists(st.integers(0, 10**9), max_size=6))
    cuts = sorted(draw(st.lists(st.integers(0, sum(drawn)), max_size=4)))
    ends = [0, *cuts, sum(drawn)]
    shares = [after - before for before, after in pairwise(ends)]
    targets = (
        ("vehicles", Purpose.CHARGED),
        ("RC-02", Purpose.RECOVERED_BACK),
        ("hoses", Purpose.HOSES),
        ("air", Purpose.PURGED),
        ("nowhere", Purpose.RELEASED),
    )
    cans = [(f"K-{number:04d}", Mass(one)) for number, one in enumerate(drawn)]
    return cans, [(*target, Mass(one)) for target, one in zip(targets, shares, strict=False)]


@given(draws_and_shares())
def test_whatever_was_drawn_arrives_and_every_can_gives_what_it_gave(
    poured: tuple[list[tuple[str, Mass]], list[tuple[str, Purpose, Mass]]],
) -> None:
    draws, shares = poured
    legs = share_out(draws, shares)
    held = balances(legs)
    assert all(held.get(can, ZERO) == -mass for can, mass in draws)
    assert all(held.get(place, ZERO) == mass for place, _, mass in shares)
    assert len(legs) <= len(draws) + len(shares)
