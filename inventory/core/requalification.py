"""When a recovery cylinder has to be requalified, and what may be done with it after that.

A stamp gives month and year; here it counts to the end of that month (the tool's own reading). The period is the
shop's rule. 49 CFR 180.209(a) Table 1 allows five years or more by specification, and 40 CFR 82 Subpart B App. C,
7.3.3 asks five for the tank of a machine, so the shop begins with five.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from decimal import Decimal

from shop.core.days import said_day
from shop.core.findings import Finding, blocked, noted, warned
from shop.core.phrase import phrase

SOON = timedelta(days=90)
BASIS = "shop rule; 49 CFR 180.209(a), 40 CFR 82 Subpart B App. C 7.3.3"


def good_until(stamped: date, years: Decimal) -> date:
    """The last day on which a cylinder with this stamp may be filled."""
    months = stamped.month - 1 + int(years * 12)
    year, month = stamped.year + months // 12, months % 12 + 1
    return date(year, month, monthrange(year, month)[1])


def filling_findings(code: str, stamped: date, years: Decimal, day: date, field: str) -> list[Finding]:
    """Nothing goes into a cylinder that is past its day; the last 90 days before it are told."""
    until = good_until(stamped, years)
    if day > until:
        sentence = phrase(
            "{code} was to be requalified by {until}. Put nothing in; take another cylinder, and have this one"
            " requalified or sent off.",
            code=code,
            until=said_day(until),
        )
        return [blocked("requalification-past", sentence, field, BASIS)]
    if day > until - SOON:
        sentence = phrase("{code} is to be requalified by {until}.", code=code, until=said_day(until))
        return [noted("requalification-soon", sentence, field, BASIS)]
    return []


def sending_findings(code: str, stamped: date, years: Decimal, day: date, field: str) -> list[Finding]:
    """One that was filled in time may be sent off later (from memory, not read), so this asks and does not stop."""
    until = good_until(stamped, years)
    if day <= until:
        return []
    sentence = phrase(
        "{code} was to be requalified by {until}. Ask the facility and the carrier whether they take it so.",
        code=code,
        until=said_day(until),
    )
    return [warned("requalification-past", sentence, field, BASIS)]
