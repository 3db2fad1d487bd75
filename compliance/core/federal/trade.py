"""Buying, selling and sending off refrigerant."""

from __future__ import annotations

from enum import StrEnum

from compliance.core.federal.work import State
from inventory.core.federal import is_small_can
from shop.core.mass import Mass, Unit

SMALL_CFC = Mass.of(20, Unit.LB)  # 40 CFR 82.34(b), read: class I or II in containers of less than this
FOR_CARS = frozenset(
    {"R-12", "R-134a", "R-1234yf", "R-152a", "R-744"}
)  # those acceptable in cars, R-12 for service


class Fate(StrEnum):
    RECYCLED_HERE = "recycled on site"
    RECLAIM = "sent for reclaim"
    DESTRUCTION = "sent for destruction"
    RETURNED = "returned contaminated"
    SOLD = "sold"
    RELEASED = "released on purpose"


def fate_allowed(fate: Fate, state: State, *, for_cars: bool = False) -> bool:
    """40 CFR 82.154(d), read; whether 42 USC 7675(h)(2)(B) forbids more is an open question of the design."""
    if fate is Fate.SOLD:
        return state is State.RECLAIMED or (state is State.RECYCLED and for_cars)
    return fate is not Fate.RELEASED


def may_buy(refrigerant: str, net: Mass, *, has_609: bool, has_608: bool = False) -> bool:
    """40 CFR 82.154(c)(1), read: a small can of what cars take may be bought by anybody."""
    if refrigerant in FOR_CARS and (has_609 or is_small_can(net)):
        return True
    return has_608


def salvage_may_be_charged(state: State, *, recycled_here: bool) -> bool:
    """40 CFR 82.34(d), read: what came from a scrapyard, when it goes into a car."""
    return state is State.RECLAIMED or (state is State.RECYCLED and recycled_here)


def sale_asks_for_a_card(ozone_class: str, net: Mass) -> bool:
    """40 CFR 82.34(b), read: class I and II in containers under 20 lb; the only case with a sign, too (82.42(c))."""
    return ozone_class in ("I", "II") and net < SMALL_CFC


def sale_asks_for_an_invoice(net: Mass) -> bool:
    """40 CFR 82.154(c)(3)(i), read: sellers of small cans need not keep one."""
    return not is_small_can(net)
