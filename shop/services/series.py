"""Numbers of jobs, papers and cans: without gaps, never twice."""

from __future__ import annotations

from django.db.models import F

from shop.models import Establishment, Person, Series


def next_numbers(name: str, count: int, establishment: Establishment, *, by: Person) -> range:
    """The next numbers of a series such as "C26". Call it inside the transaction that writes what bears them:
    if that is undone, so are the numbers, and the series keeps no gap. The update locks the series row until then."""
    series = Series.objects.filter(establishment=establishment, name=name)
    if not series.update(last=F("last") + count):
        Series.objects.get_or_create(establishment=establishment, name=name)
        series.update(last=F("last") + count)
    last = series.values_list("last", flat=True).get()
    return range(last - count + 1, last + 1)


def next_number(name: str, establishment: Establishment, *, by: Person) -> int:
    """The next single number of a series."""
    return next_numbers(name, 1, establishment, by=by)[0]
