"""Numbers of jobs, papers and cans: without gaps, never twice."""

from __future__ import annotations

from shop.models import Establishment, Person, Series


def next_numbers(name: str, count: int, establishment: Establishment, *, by: Person) -> range:
    """The next numbers of a series such as "C26". Call it inside the transaction that writes what bears them:
    if that is undone, so are the numbers, and the series keeps no gap. The series row is locked until then."""
    Series.objects.get_or_create(establishment=establishment, name=name)
    series = Series.objects.select_for_update().get(establishment=establishment, name=name)
    first = series.last + 1
    series.last += count
    series.save(update_fields=["last"])
    return range(first, first + count)


def next_number(name: str, establishment: Establishment, *, by: Person) -> int:
    """The next single number of a series."""
    return next_numbers(name, 1, establishment, by=by)[0]
