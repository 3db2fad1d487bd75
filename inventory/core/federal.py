"""Federal limits on containers: which can is a small one, and until when a cylinder may be filled."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

from shop.core.mass import Mass, Unit

SMALL_CAN = Mass.of(2, Unit.LB)  # 40 CFR 82.154(c)(1)(ix), read: designed to hold two pounds or less
VALVE_FROM = date(2018, 1, 1)  # same, read: made or imported on or after this day
LEAST_LOSS_G_YEAR = 3.0  # 40 CFR 82.154(c)(2)(ii), read: a closed valve loses 3.00 g a year at most
RETEST_YEARS = 5  # 40 CFR 82 Subpart B App. C 7.3.3, read; 49 CFR 180.209 allows longer to some cylinders


def is_small_can(net: Mass) -> bool:
    return net <= SMALL_CAN


def valve_suffices(made_on: date, *, self_sealing: bool) -> bool:
    """Whether a small can has the valve that its day of making asks for."""
    return self_sealing or made_on < VALVE_FROM


def valve_holds(grams_a_year: float) -> bool:
    """For a laboratory's figure: no scale of a shop can show three grams a year."""
    return grams_a_year <= LEAST_LOSS_G_YEAR


def fill_until(stamped: date) -> date:
    """The last day on which a cylinder of this stamp may be filled: the end of its month, five years on.

    A stamp gives a month; that it means the month's end is our reading of it (from memory).
    """
    year = stamped.year + RETEST_YEARS
    return date(year, stamped.month, monthrange(year, stamped.month)[1])


def may_fill(stamped: date, day: date, *, asme: bool = False) -> bool:
    """Whether it may be filled on a day; ASME tanks are exempt (App. C 7.3.4, read). It may always be emptied."""
    return asme or day <= fill_until(stamped)
