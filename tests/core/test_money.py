"""Bills, against sums done by hand beside them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from inventory.core.money import Bill, Per, PricedLine, price_change, what_is_off
from shop.core.mass import Unit, grams


def line(cents: int, *, cans: int = 36, per: Per = Per.CAN, what: str = "R-134a 12-oz can") -> PricedLine:
    return PricedLine(what, cans, cents, per, 12, grams(340))


@pytest.mark.parametrize(
    ("cents", "cans", "per", "amount"),
    [
        (1690, 36, Per.CAN, 60840),  # 16.90 x 36
        (20280, 36, Per.CASE, 60840),  # 202.80 x 3 cases
        (20280, 35, Per.CASE, 59150),  # 202.80 x 35 / 12
        (1001, 1, Per.CASE, 83),  # 10.01 / 12 = 0.834
        (1002, 1, Per.CASE, 84),  # 10.02 / 12 = 0.835, half cents up
        (59840, 36, Per.ALL, 59840),
    ],
)
def test_a_line_comes_to_its_price_times_its_cans(cents: int, cans: int, per: Per, amount: int) -> None:
    assert line(cents, cans=cans, per=per).amount == amount


def test_a_bill_is_lines_and_tax_and_deposit_less_credit() -> None:
    # 598.40 + 43.78 + 12.00 - 17.10 = 637.08
    bill = Bill(63708, (line(59840, per=Per.ALL),), tax=4378, deposits=1200, credit=1710, refused=1)

    assert bill.adds_up_to == 63708
    assert bill.off == 0
    assert what_is_off(bill) == ""


def test_without_a_price_nobody_can_say() -> None:
    assert Bill(64218).off is None
    assert what_is_off(Bill(64218)) == ""


@pytest.mark.parametrize(
    ("total", "refused", "says"),
    [
        # 35 x 16.90 = 591.50; + one more = 608.40
        (60840, 1, "off by exactly one can's price: did the bill include the refused can?"),
        (60840, 0, "off by exactly one can's price of R-134a 12-oz can: count the cans on the bill."),
        (57460, 1, "off by exactly one can's price of R-134a 12-oz can: count the cans on the bill."),
        (62530, 2, "off by exactly the price of 2 cans: did the bill include the refused can?"),
        (59250, 0, "The total is off by $1.00. Read the bill again."),
        (59050, 0, "The total is off by −$1.00. Read the bill again."),
    ],
)
def test_a_bill_that_is_off_says_by_what(total: int, refused: int, says: str) -> None:
    assert says in what_is_off(Bill(total, (line(1690, cans=35),), refused=refused))


@pytest.mark.parametrize(
    ("part", "name"), [({"tax": 4378}, "tax"), ({"deposits": 1200}, "deposit"), ({"credit": 900}, "credit")]
)
def test_a_part_that_is_in_the_prices_already_is_named(part: dict[str, int], name: str) -> None:
    bill = Bill(59840, (line(59840, per=Per.ALL),), **part)

    assert what_is_off(bill) == f"The total is off by exactly the {name}: is it in the prices already?"


def test_a_case_price_typed_as_a_can_price_is_seen() -> None:
    # Three cases at 202.80 are 608.40; 36 cans at 202.80 would be 7,300.80.
    bill = Bill(60840, (line(20280),))

    assert what_is_off(bill) == "The total fits if the price of R-134a 12-oz can is per case, not per can."


def test_a_can_costs_so_much_a_gram_and_an_ounce() -> None:
    # 16.90 / 340 g = 4.970588... cents a gram; 340 g = 11.99308 oz, so 140.914... cents an ounce
    priced = line(1690)

    assert priced.per_mass(Unit.G) == Fraction(1690, 340)
    assert round(float(priced.per_mass(Unit.OZ)), 2) == 140.91


@pytest.mark.parametrize(
    ("before", "now", "percent"), [(1690, 1842, 9), (1690, 1690, 0), (1842, 1690, -8), (0, 1, None)]
)
def test_a_price_is_compared_with_the_last_one(before: int, now: int, percent: int | None) -> None:
    # 18.42 / 16.90 = 1.0899; 16.90 / 18.42 = 0.9175
    assert price_change(line(now), line(before)) == percent
