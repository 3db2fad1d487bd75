"""A usage report to look at: what went into vehicles and came out of them, month by month."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.paper import Bar, Bars
from compliance.core.usage_account import Accounts
from compliance.core.usage_report_facts import JobLine, UsageReportFacts
from compliance.core.wording import GLUE, grams
from shop.core.days import MONTHS

NOTE = "Solid: put into vehicles. Outlined: taken out of them first. Each month by the day of the work."


def month_bars(facts: UsageReportFacts, sums: Accounts) -> Iterator[Bars]:
    """A chart for each refrigerant, when the period has more than one month; one month is a figure already."""
    months = _months(facts)
    if len(months) < 2:
        return
    for gas in dict.fromkeys(line.refrigerant for line in facts.jobs):
        lines = [line for line in facts.jobs if line.refrigerant == gas]
        bars = tuple(bar for month in months for bar in _bars(month, lines, sums))
        if any(bar.amount for bar in bars):
            yield Bars(f"{gas} by month", bars, NOTE)


def _months(facts: UsageReportFacts) -> list[str]:
    """Every month that the period touches, such as "2026-04"; also one in which nothing was done."""
    year, month = int(facts.first[:4]), int(facts.first[5:7])
    found = []
    while (said := f"{year}-{month:02}") <= facts.last[:7]:
        found.append(said)
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    return found


def _bars(month: str, lines: list[JobLine], sums: Accounts) -> Iterator[Bar]:
    mine = [line for line in lines if line.day[:7] == month]
    into, out = sum(line.charged_ug or 0 for line in mine), sum(line.recovered_ug for line in mine)
    name = f"{MONTHS[int(month[5:]) - 1]}{GLUE}{month[:4]}"
    yield Bar(f"{name}, in", into, grams(into, sums.places))
    yield Bar(f"{name}, out", out, grams(out, sums.places), solid=False)
