"""Days as people say them, in whatever language the page is read."""

from __future__ import annotations

from datetime import date

from shop.core.phrase import Phrase, phrase

MONTHS = (
    phrase("Jan"),
    phrase("Feb"),
    phrase("Mar"),
    phrase("Apr"),
    phrase("May"),
    phrase("Jun"),
    phrase("Jul"),
    phrase("Aug"),
    phrase("Sep"),
    phrase("Oct"),
    phrase("Nov"),
    phrase("Dec"),
)


def said_day(on: date) -> Phrase:
    """ "Apr 3 2024", "3 abr 2024"."""
    return phrase("{month} {day} {year}", month=MONTHS[on.month - 1], day=on.day, year=on.year)


def said_day_of_year(on: date) -> Phrase:
    """ "Apr 3", "3 abr": the year is plain."""
    return phrase("{month} {day}", month=MONTHS[on.month - 1], day=on.day)
