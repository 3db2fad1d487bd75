"""Whether a bill adds up, and what a can costs. Whole cents; a price per can or gram is an exact fraction of them.

Nothing here knows what is in the refrigerant book: a price never moves a weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase


class Per(StrEnum):
    """What a printed price is for."""

    CAN = "can"
    CASE = "case"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class PricedLine:
    """Cans of one kind on a bill: how many were billed, and the price as printed, in cents."""

    what: str
    cans: int
    cents: int
    per: Per
    cans_per_case: int
    net: Mass

    @property
    def amount(self) -> int:
        """What the line comes to, in cents; part of a case is paid by the can, half cents up."""
        match self.per:
            case Per.CAN:
                return self.cents * self.cans
            case Per.CASE:
                return _half_up(Fraction(self.cents * self.cans, self.cans_per_case))
            case Per.ALL:
                return self.cents

    @property
    def per_can(self) -> Fraction:
        """Cents for one can; nothing where none was billed."""
        return Fraction(self.amount, self.cans) if self.cans > 0 else Fraction(0)

    def per_mass(self, unit: Unit) -> Fraction:
        """Cents for one gram, ounce or pound by the label."""
        return self.per_can / Fraction(self.net.to(unit))


@dataclass(frozen=True, slots=True)
class Bill:
    """An invoice's money in cents. ``refused`` cans of its deliveries are not to be paid for."""

    total: int
    lines: tuple[PricedLine, ...] = ()
    tax: int = 0
    deposits: int = 0
    credit: int = 0
    refused: int = 0

    @property
    def goods(self) -> int:
        return sum(line.amount for line in self.lines)

    @property
    def adds_up_to(self) -> int:
        return self.goods + self.tax + self.deposits - self.credit

    @property
    def off(self) -> int | None:
        """Total less what it should be made of; None while no line has a price."""
        return self.total - self.adds_up_to if self.lines else None


def what_is_off(bill: Bill) -> str:
    """One sentence on a bill that does not add up, with the likeliest reason; "" when it does or nobody can say."""
    if not bill.off:
        return ""
    return next(
        _reasons(bill), phrase("The total is off by {off}. Read the bill again.", off=_money(bill.off))
    )


def _reasons(bill: Bill) -> Iterator[str]:
    off = bill.off or 0
    for line in bill.lines:
        for cans in {1, bill.refused} - {0}:
            if abs(off) == _half_up(line.per_can * cans):
                yield _cans_off(bill, line, cans)
        if line.per is not Per.ALL and bill.total == bill.adds_up_to - line.amount + _as_printed_otherwise(
            line
        ):
            yield phrase(
                "The total fits if the price of {what} is per {other}, not per {per}.",
                what=line.what,
                other=(Per.CASE if line.per is Per.CAN else Per.CAN).value,
                per=line.per.value,
            )
    for part, name in (
        (bill.tax, phrase("tax")),
        (bill.deposits, phrase("deposit")),
        (bill.credit, phrase("credit")),
    ):
        if part and abs(off) == part:
            yield phrase("The total is off by exactly the {name}: is it in the prices already?", name=name)


def _cans_off(bill: Bill, line: PricedLine, cans: int) -> str:
    how_many = phrase("one can's price") if cans == 1 else phrase("the price of {cans} cans", cans=cans)
    if bill.off is not None and bill.off > 0 and cans == bill.refused:
        return phrase(
            "The total is off by exactly {how_many}: did the bill include the refused can?", how_many=how_many
        )
    return phrase(
        "The total is off by exactly {how_many} of {what}: count the cans on the bill.",
        how_many=how_many,
        what=line.what,
    )


def _as_printed_otherwise(line: PricedLine) -> int:
    """What the line comes to when the price is per case instead of per can, or the other way round."""
    other = Per.CASE if line.per is Per.CAN else Per.CAN
    return PricedLine(line.what, line.cans, line.cents, other, line.cans_per_case, line.net).amount


def price_change(now: PricedLine, before: PricedLine) -> int | None:
    """How much a can costs more than last time, in whole percent; None when last time was free."""
    if before.per_can <= 0:
        return None
    return _half_up((now.per_can - before.per_can) * 100 / before.per_can)


def owed(credits: Sequence[int], most: int) -> int:
    """What can still be credited of a bill, in cents; never below nothing."""
    return max(0, most - sum(credits))


def _half_up(amount: Fraction) -> int:
    return (amount + Fraction(1, 2)).__floor__()


def _money(cents: int) -> str:
    sign = "−" if cents < 0 else ""
    return f"{sign}${abs(cents) // 100:,}.{abs(cents) % 100:02d}"
