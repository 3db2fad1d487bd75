"""The book's one pen. Only services write with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime

from inventory.core.ledger import Leg, Purpose, mirrored
from inventory.models import Entry, MonthClose, Movement, Place
from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import Mass, Unit
from shop.core.phrase import phrase
from shop.models import Establishment, Person


def post(
    establishment: Establishment,
    legs: Sequence[Leg],
    *,
    on: date,
    text: str,
    at: datetime,
    by: Person,
    late: date | None = None,
) -> Entry:
    """Write one entry with its movements; call it inside the service's transaction.

    Takes the containers' rows first and in order, so that two people drawing on one can are served one after the
    other. Raises ``Refused`` when a container would give more than it holds, or when the month of ``on`` is closed and
    no later day is given to book on instead. The database's own triggers stand behind both checks.
    """
    closed = _closed(establishment, on)
    if late is None:
        refuse_if_blocked(closed)
    elif closed:
        on = late
    places = _locked_places(legs)
    refuse_if_blocked(_overdrawn(legs, places))
    entry = Entry.objects.create(establishment=establishment, on=on, text=text, at=at, by=by)
    Movement.objects.bulk_create([_movement(entry, leg, places) for leg in legs])
    return entry


def reverse(entry: Entry, *, on: date, text: str, at: datetime, by: Person) -> Entry:
    """Answer an entry with its mirror image. Refused when a container has already given away what it got."""
    rows = entry.movements.order_by("pk")
    legs = mirrored([Leg(row.source_id, row.target_id, row.mass, _purpose(row)) for row in rows])
    refuse_if_blocked(_closed(entry.establishment, on))
    places = _locked_places(legs)
    refuse_if_blocked(_overdrawn(legs, places))
    answer = Entry.objects.create(
        establishment=entry.establishment, on=on, text=text, at=at, by=by, reverses=entry
    )
    Movement.objects.bulk_create([_movement(answer, leg, places) for leg in legs])
    return answer


def _purpose(row: Movement) -> Purpose:
    return Purpose(row.purpose)


def _closed(establishment: Establishment, on: date) -> list[Finding]:
    last = (
        MonthClose.objects.filter(establishment=establishment, last_day__gte=on).order_by("-last_day").first()
    )
    if last is None:
        return []
    sentence = phrase(
        "The book is closed up to {day} by a signed report. Use a later day.", day=said_day(last.last_day)
    )
    return [blocked("month-closed", sentence, "on")]


def _locked_places(legs: Iterable[Leg]) -> dict[str, Place]:
    codes = sorted({code for leg in legs for code in (leg.source, leg.target)})
    rows = Place.objects.filter(code__in=codes, kind__in=["can", "cylinder"]).select_related("container")
    held = {place.code: place for place in rows.order_by("code").select_for_update(of=("self",), no_key=True)}
    outside = {code: Place(code, code) for code in codes if code not in held}
    return held | outside


def _overdrawn(legs: Sequence[Leg], places: dict[str, Place]) -> list[Finding]:
    giving = sorted({leg.source for leg in legs if places[leg.source].kind in ("can", "cylinder")})
    held = Movement.objects.balances(giving)
    leaving, arriving = Counter[str](), Counter[str]()
    for leg in legs:
        leaving[leg.source] += leg.mass.ug
        arriving[leg.target] += leg.mass.ug
    found = []
    for code in giving:
        out, into = leaving[code], arriving[code]
        if out > held[code].ug + into:
            sentence = (
                f"{code} holds {held[code].rounded(Unit.G, 1)} g by the book; {Mass(out).rounded(Unit.G, 1)} g"
                " cannot leave it. Weigh it again, or look at who else drew from it."
            )
            found.append(blocked("more-than-held", sentence))
    return found


def _movement(entry: Entry, leg: Leg, places: dict[str, Place]) -> Movement:
    source, target = places[leg.source], places[leg.target]
    inside = source if source.kind in ("can", "cylinder") else target
    return Movement(
        entry=entry,
        source_id=source.code,
        target_id=target.code,
        mass=leg.mass,
        purpose=leg.purpose.value,
        refrigerant_id=inside.container.refrigerant_id,
        establishment_id=entry.establishment_id,
        on=entry.on,
        source_kind=source.kind,
        target_kind=target.kind,
    )
