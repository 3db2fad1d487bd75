"""A stretch of days, first and last included, as people say it ("April 1 to June 30")."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from shop.core.days import said_day
from shop.core.findings import Finding, blocked
from shop.core.phrase import phrase

EARLIEST = 1900  # the year before which nobody kept a book of refrigerant


@dataclass(frozen=True, slots=True, order=True)
class Period:
    """Both days belong to the period."""

    first: date
    last: date

    @classmethod
    def quarter(cls, year: int, number: int) -> Period:
        """The calendar quarter 1..4 of a year."""
        first = date(year, 3 * number - 2, 1)
        after = date(year + number // 4, (3 * number) % 12 + 1, 1)
        return cls(first, after - timedelta(days=1))

    @classmethod
    def month(cls, day: date) -> Period:
        """The calendar month of a day."""
        first = day.replace(day=1)
        after = (first + timedelta(days=31)).replace(day=1)
        return cls(first, after - timedelta(days=1))

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last

    def __str__(self) -> str:
        return str(self.said)

    @property
    def said(self) -> str:
        """ "Apr 1 2026 to Jun 30 2026", in the language of the page."""
        return phrase("{first} to {last}", first=said_day(self.first), last=said_day(self.last))

    def instants(self, time_zone: str) -> tuple[datetime, datetime]:
        """The first and the last instant of the period on a shop's own clock."""
        zone = ZoneInfo(time_zone)
        return datetime.combine(self.first, time.min, zone), datetime.combine(self.last, time.max, zone)

    @property
    def day_before(self) -> date:
        return self.first - timedelta(days=1)


def period_problems(first: date, last: date, *, today: date) -> list[Finding]:
    """What is wrong with these two days as a period to report on."""
    if first.year < EARLIEST:
        sentence = phrase(
            "The year {year:04d} cannot be meant. Type all four digits of the year.", year=first.year
        )
        return [blocked("period-year", sentence, "first")]
    if last < first:
        return [blocked("period-backwards", "The last day is before the first day. Swap them.", "last")]
    if last > today:
        return [blocked("period-future", "The last day has not come yet. Choose a day up to today.", "last")]
    return []
