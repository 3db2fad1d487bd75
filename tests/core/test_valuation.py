"""Stock and its value: sums by hand, shown beside each case."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from inventory.core.valuation import Change, Receipt, valuation
from shop.core.mass import ZERO, Mass, grams, total


def came(day: int, mass: int, cents: int | None, name: str = "D") -> Receipt:
    return Receipt(name, date(2024, 1, day), grams(mass), cents, "" if cents is not None else "no invoice")


def used(day: int, mass: int) -> Change:
    return Change(date(2024, 1, day), grams(-mass))


def test_first_in_first_out_keeps_the_newest_grams() -> None:
    """4,080 g for $408.00 and 4,080 g for $489.60; 5,000 g used; 3,160 g left, all of the second: 3160 x 0.12."""
    found = valuation(grams(3160), [came(2, 4080, 40800), came(9, 4080, 48960)], [used(12, 5000)])

    assert [(layer.left, layer.cents) for layer in found.layers] == [(grams(3160), 37920)]
    assert (found.fifo.cents, found.fifo.priced, found.fifo.unpriced) == (37920, grams(3160), ZERO)


def test_first_in_first_out_reaches_back_into_an_older_delivery() -> None:
    """3,000 g used: 1,080 g of the first at 10 cents and all of the second."""
    found = valuation(grams(5160), [came(2, 4080, 40800), came(9, 4080, 48960)], [used(12, 3000)])

    assert [layer.cents for layer in found.layers] == [10800, 48960]
    assert found.fifo.cents == 59760


def test_of_two_deliveries_on_one_day_the_second_is_the_newer() -> None:
    found = valuation(grams(340), [came(2, 340, 3400, "D1"), came(2, 340, 6800, "D2")], [used(3, 340)])

    assert [layer.receipt.name for layer in found.layers] == ["D2"]


def test_the_average_moves_with_each_delivery() -> None:
    """4,080 g at 10 cents, 2,080 used: 2,000 g, $200. Then 4,080 g at 12: $689.60 for 6,080 g. 3,040 used: half."""
    receipts, uses = [came(2, 4080, 40800), came(9, 4080, 48960)], [used(5, 2080), used(12, 3040)]

    found = valuation(grams(3040), receipts, uses)

    assert (found.average.cents, found.average.priced) == (34480, grams(3040))


def test_grams_without_a_price_are_told_and_not_guessed() -> None:
    """1,000 g priced, 1,000 g not, 1,000 g used. By age the priced ones left; on average half of each."""
    found = valuation(grams(1000), [came(2, 1000, 10000), came(9, 1000, None)], [used(12, 1000)])

    assert (found.fifo.cents, found.fifo.priced, found.fifo.unpriced) == (0, ZERO, grams(1000))
    assert (found.average.cents, found.average.priced, found.average.unpriced) == (
        5000,
        grams(500),
        grams(500),
    )


def test_what_no_delivery_brought_has_no_price() -> None:
    """A count found 60 g more than the 340 g that came."""
    found = valuation(grams(400), [came(2, 340, 3400)], [Change(date(2024, 1, 5), grams(60))])

    assert (found.found, found.fifo.cents, found.fifo.unpriced) == (grams(60), 3400, grams(60))
    assert (found.average.cents, found.average.unpriced) == (3400, grams(60))


def test_an_empty_cabinet_is_worth_nothing() -> None:
    found = valuation(ZERO, [came(2, 340, 3400)], [used(3, 340)])

    assert (found.layers, found.fifo.cents, found.average.cents) == ((), 0, 0)
    assert valuation(ZERO, [], []).average.cents == 0


@given(
    st.lists(st.tuples(st.integers(1, 5000), st.one_of(st.none(), st.integers(0, 100000))), max_size=8),
    st.integers(0, 100),
)
def test_both_methods_account_for_every_gram_and_for_no_cent_too_many(
    bought: list[tuple[int, int | None]], percent: int
) -> None:
    receipts = [came(at + 1, mass, cents) for at, (mass, cents) in enumerate(bought)]
    had = total(one.mass for one in receipts)
    out = Mass(had.ug * percent // 100)
    paid = sum(one.cents or 0 for one in receipts)

    found = valuation(had - out, receipts, [Change(date(2024, 1, 20), -out)])

    for worth in (found.fifo, found.average):
        assert worth.priced + worth.unpriced == had - out
        assert 0 <= worth.cents <= paid + len(receipts)  # each layer is rounded by itself
    assert out > ZERO or abs(found.fifo.cents - paid) <= len(receipts)
