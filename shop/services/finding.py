"""What makes a thing findable: its words, put down in the transaction that writes the thing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shop.core.finding import Findable, Kind, tails
from shop.models import Establishment, SearchTail, Vehicle

AT_ONCE = 1000  # rows of one statement


def make_findable(establishment: Establishment, *things: Findable) -> None:
    """Let these things be found by their words from now on, beside the words they had. Nothing is signed here: what
    the words say was signed with the thing itself."""
    rows = [row for thing in things for row in _tails(establishment, thing)]
    SearchTail.objects.bulk_create(rows, batch_size=AT_ONCE, ignore_conflicts=True)


def find_anew(establishment: Establishment, things: Iterable[Findable]) -> int:
    """Forget all words of a shop and put down these; call it inside a transaction. How many things there were."""
    SearchTail.objects.filter(establishment=establishment).delete()
    number, waiting = 0, []
    for thing in things:
        number += 1
        waiting += list(_tails(establishment, thing))
        if len(waiting) >= AT_ONCE:
            SearchTail.objects.bulk_create(waiting, batch_size=AT_ONCE, ignore_conflicts=True)
            waiting = []
    SearchTail.objects.bulk_create(waiting, batch_size=AT_ONCE, ignore_conflicts=True)
    return number


def forget(establishment: Establishment, kind: Kind, keys: Sequence[str]) -> None:
    """Let these things be found no more; call it inside a transaction, before the words that they keep."""
    for start in range(0, len(keys), AT_ONCE):
        some = keys[start : start + AT_ONCE]
        SearchTail.objects.filter(establishment=establishment, kind=kind, key__in=some).delete()


def findable_car(vehicle: Vehicle, *plates: str) -> Findable:
    """A car, by its VIN and by every plate it was seen with."""
    return Findable(Kind.CAR, str(vehicle.pk), (vehicle.vin, vehicle.plate, *plates))


def _tails(establishment: Establishment, thing: Findable) -> Iterator[SearchTail]:
    """Whole words before endings: where two words end alike, the first row stays."""
    words = [ends for ends in map(tails, thing.words) if ends]
    ordered = [(ends[0], ends[0]) for ends in words] + [(ends[0], end) for ends in words for end in ends[1:]]
    for word, tail in ordered:
        yield SearchTail(
            establishment=establishment,
            kind=thing.kind,
            key=thing.key,
            word=word,
            tail=tail.encode(),
            inner=tail != word,
        )
