"""What stock cost: deliveries' invoices beside the book's grams. Money never enters the book itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, Sum

from inventory.core.ledger import PlaceKind, Purpose
from inventory.core.valuation import Change, Receipt, Valuation, valuation
from inventory.models import Delivery, Movement
from shop.core.mass import ZERO, Mass, total
from shop.core.phrase import phrase
from shop.models import Establishment

NO_INVOICE = phrase("no invoice on file")
MIXED = phrase("its invoice names one total for several refrigerants")


@dataclass(frozen=True, slots=True)
class Priced:
    """One refrigerant's stock in cans on a day, and how many cans that is."""

    refrigerant: str
    cans: int
    valuation: Valuation


@dataclass(frozen=True, slots=True)
class Purchase:
    """One supplier's invoices up to the day."""

    supplier: str
    deliveries: int
    cents: int


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """The bookkeeper's sheet. ``recovered`` is what cylinders hold: it was never bought, so it has no price."""

    day: date
    stock: tuple[Priced, ...]
    purchases: tuple[Purchase, ...]
    unpriced: tuple[tuple[Delivery, str], ...]
    recovered: tuple[tuple[str, Mass], ...]


def price_sheet(establishment: Establishment, day: date) -> PriceSheet:
    """Stock in cans at the end of a day, valued two ways, with the purchases it rests on."""
    standing = list(_deliveries(establishment, day))
    receipts = _receipts(establishment, standing, day)
    changes = _changes(establishment, day)
    held, cylinders = _held(establishment, PlaceKind.CAN, day), _held(establishment, PlaceKind.CYLINDER, day)
    mine = sorted(receipts.keys() | changes.keys())
    stock = [_priced(one, held, receipts.get(one, []), changes.get(one, [])) for one in mine]
    by_supplier: dict[str, list[int]] = {}
    for delivery in standing:
        if (cents := price_of(delivery)) is not None:
            by_supplier.setdefault(delivery.supplier.name, []).append(cents)
    return PriceSheet(
        day,
        tuple(stock),
        tuple(Purchase(name, len(paid), sum(paid)) for name, paid in sorted(by_supplier.items())),
        tuple((one, why) for one in standing if (why := why_unpriced(one))),
        tuple((one, total(held.values())) for one, held in sorted(cylinders.items()) if held),
    )


def price_of(delivery: Delivery) -> int | None:
    """What a delivery cost, cents with tax and deposit: its newest invoice row. None without an invoice.

    An invoice that comes late still prices the stock of an earlier day; a sheet that was handed on keeps its own
    figures.
    """
    invoices = list(delivery.invoices.all())
    return invoices[-1].total_cents if invoices else None


def why_unpriced(delivery: Delivery) -> str:
    """Why a delivery's grams have no price; "" when they have one."""
    if price_of(delivery) is None:
        return NO_INVOICE
    return MIXED if len({line.type.refrigerant_id for line in delivery.lines.all()}) > 1 else ""


def _deliveries(establishment: Establishment, day: date) -> Iterable[Delivery]:
    """Deliveries that stand in the book at the end of the day."""
    rows = Delivery.objects.filter(establishment=establishment, entry__on__lte=day)
    rows = rows.filter(Q(undone=None) | Q(undone__entry__on__gt=day)).order_by("entry__on", "pk")
    return rows.select_related("supplier", "entry").prefetch_related("lines__type", "invoices")


def _receipts(
    establishment: Establishment, deliveries: Iterable[Delivery], day: date
) -> dict[str, list[Receipt]]:
    """By refrigerant: what came with deliveries, and what stood there before the book, which has no price."""
    receipts: dict[str, list[Receipt]] = {}
    for on, refrigerant, mass in _opening(establishment, day):
        opening = Receipt("", on, mass, None, phrase("stood there before the book"))
        receipts.setdefault(refrigerant, []).append(opening)
    for delivery in deliveries:
        why = why_unpriced(delivery)
        cents = None if why else price_of(delivery)
        masses: dict[str, Mass] = {}
        for line in delivery.lines.all():
            kind = line.type
            masses[kind.refrigerant_id] = masses.get(kind.refrigerant_id, ZERO) + kind.net * line.sound
        for refrigerant, mass in masses.items():
            if mass > ZERO:
                one = Receipt(delivery.number, delivery.entry.on, mass, cents, why)
                receipts.setdefault(refrigerant, []).append(one)
    return receipts


def _opening(establishment: Establishment, day: date) -> Iterator[tuple[date, str, Mass]]:
    rows = Movement.objects.filter(establishment=establishment, on__lte=day, purpose=Purpose.OPENING)
    into = rows.filter(target_kind=PlaceKind.CAN).order_by("on", "refrigerant")
    yield from into.values_list("on", "refrigerant").annotate(Sum("mass"))


def _changes(establishment: Establishment, day: date) -> dict[str, list[Change]]:
    """By refrigerant and day: what cans gained or lost otherwise. A delivery that was undone is neither."""
    rows = Movement.objects.filter(establishment=establishment, on__lte=day).exclude(
        purpose__in=(Purpose.OPENING, Purpose.RECEIVED)
    )
    moved: dict[tuple[str, date], Mass] = {}
    for side, sign in (("target_kind", 1), ("source_kind", -1)):
        summed = rows.filter(**{side: PlaceKind.CAN}).order_by().values_list("refrigerant", "on")
        for refrigerant, on, mass in summed.annotate(Sum("mass")):
            moved[refrigerant, on] = moved.get((refrigerant, on), ZERO) + mass * sign
    changes: dict[str, list[Change]] = {}
    for (refrigerant, on), mass in sorted(moved.items()):
        if mass != ZERO:
            changes.setdefault(refrigerant, []).append(Change(on, mass))
    return changes


def _held(establishment: Establishment, kind: PlaceKind, day: date) -> dict[str, dict[str, Mass]]:
    """refrigerant -> container -> what it holds by the book at the end of the day, where that is anything."""
    rows = Movement.objects.filter(establishment=establishment, on__lte=day).order_by()
    held: dict[str, dict[str, Mass]] = {}
    for side, sign in (("target", 1), ("source", -1)):
        summed = rows.filter(**{f"{side}_kind": kind}).values_list("refrigerant", side)
        for refrigerant, code, mass in summed.annotate(Sum("mass")):
            mine = held.setdefault(refrigerant, {})
            mine[code] = mine.get(code, ZERO) + mass * sign
    return {one: {code: mass for code, mass in mine.items() if mass != ZERO} for one, mine in held.items()}


def _priced(
    refrigerant: str, held: dict[str, dict[str, Mass]], receipts: list[Receipt], changes: list[Change]
) -> Priced:
    mine = held.get(refrigerant, {})
    return Priced(refrigerant, len(mine), valuation(total(mine.values()), receipts, changes))
