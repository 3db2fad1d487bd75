"""The rest of a period's facts: what came, what was carried away, how good the scales were, what is booked already."""

from __future__ import annotations

from collections import Counter

from django.db.models import Count as Number
from django.db.models import Exists, OuterRef, Q, Sum

from compliance.queries.difference_facts import Reading
from compliance.queries.facts import local
from inventory.core.ledger import Purpose
from inventory.core.suspect_facts import BookedFacts, DeliveryFacts, MovedFacts, ScaleFacts
from inventory.models import DeliveredCan, Delivery, Label, Spot
from inventory.queries import last_moves, movements_between
from shop.core.mass import ZERO, total
from shop.models import Equipment

AWAY = (Spot.Kind.VAN, Spot.Kind.OUTSIDE)


def delivery_facts(read: Reading) -> tuple[DeliveryFacts, ...]:
    """Deliveries of the period that brought this refrigerant, with their labels and their twins."""
    low = read.before.entry_id if read.before else 0
    inside = {"entry__gt": low, "entry__lt": read.count.entry_id}
    later = {f"receipts__{name}": pk for name, pk in inside.items()}
    mine = Delivery.objects.filter(establishment=read.count.establishment_id, undone=None)
    mine = mine.filter(Q(**inside) | Q(**later), lines__type__refrigerant=read.refrigerant).distinct()
    deliveries = list(mine.prefetch_related("lines__type").order_by("pk"))
    cans: dict[int, list[tuple[str, bool]]] = {}
    rows = DeliveredCan.objects.filter(line__delivery__in=deliveries, sound=True)
    rows = rows.filter(container__refrigerant=read.refrigerant, container__damages=None)
    printed = Exists(Label.objects.filter(container=OuterRef("container")))
    for delivery, code, has_label in (
        rows.annotate(has_label=printed)
        .order_by("pk")
        .values_list("line__delivery", "container", "has_label")
    ):
        cans.setdefault(delivery, []).append((code, has_label))
    twins = _twins(read, deliveries)
    return tuple(
        _delivery(one, cans.get(one.pk, []), twins.get(one.pk, ""), read.refrigerant) for one in deliveries
    )


def _delivery(one: Delivery, cans: list[tuple[str, bool]], twin: str, refrigerant: str) -> DeliveryFacts:
    lines = [line for line in one.lines.all() if line.type.refrigerant_id == refrigerant]
    return DeliveryFacts(
        one.number,
        tuple(code for code, _ in cans),
        max(line.type.net for line in lines),
        tuple(code for code, has_label in cans if not has_label),
        sum(1 for _, has_label in cans if has_label),
        twin,
        sum(line.to_come for line in lines),
    )


def _twins(read: Reading, deliveries: list[Delivery]) -> dict[int, str]:
    """Deliveries that say the same as an earlier one of that day and supplier."""
    days = {one.on for one in deliveries}
    rows = Delivery.objects.filter(
        establishment=read.count.establishment_id, undone=None, on__in=days
    ).prefetch_related("lines")
    first: dict[tuple[object, ...], str] = {}
    found: dict[int, str] = {}
    for one in rows.order_by("pk"):
        said = Counter((line.type_id, line.on_slip) for line in one.lines.all())
        key = (one.supplier_id, one.on, frozenset(said.items()))
        if key in first:
            found[one.pk] = first[key]
        first.setdefault(key, one.number)
    return found


def moved_facts(read: Reading) -> tuple[MovedFacts, ...]:
    moves = last_moves(read.count.establishment).filter(container__refrigerant=read.refrigerant)
    away = moves.filter(Q(arrived=None) | Q(to__kind__in=AWAY))
    return tuple(
        MovedFacts(
            one.container_id,
            str(one.to),
            not hasattr(one, "arrived"),
            local(read.count.establishment, one.at).date(),
        )
        for one in away
    )


def scale_facts(read: Reading) -> tuple[ScaleFacts, ...]:
    """Scales of the period's tickets that failed a check, or whose check was overdue when the cabinet was counted."""
    used = {ticket.scale_id for ticket in read.tickets}
    made = []
    gain = float(read.rules.scale_gain_percent) / 100
    for scale in Equipment.objects.filter(pk__in=used).prefetch_related("checks").order_by("code"):
        checks = sorted(scale.checks.all(), key=lambda check: (check.on, check.pk))
        before = [check for check in checks if check.on <= read.count.on]
        after = [check for check in checks if check.on > read.count.on]
        failed = next((check for check in (*before[-1:], *after[:1]) if not check.passed), None)
        since = before[-1].on if before else None
        late = since is None or (read.count.on - since).days > read.rules.scale_check_days
        if failed is None and not late:
            continue
        counted = [one for one in read.tickets if one.scale_id == scale.pk and read.is_counts(one)]
        drawn = sum(abs(draw.grams) for draw in read.draws if draw.last.scale_id == scale.pk)
        made.append(
            ScaleFacts(
                scale.code,
                since,
                error=failed.error if failed else ZERO,
                known=failed.known if failed else ZERO,
                readings=len(counted),
                weighed_g=drawn + total(one.gross for one in counted).grams,
                gain=gain,
                division_g=scale.division.grams,
            )
        )
    return tuple(made)


def booked_facts(read: Reading) -> tuple[BookedFacts, ...]:
    wanted = [Purpose.RELEASED.value, Purpose.FILL.value]
    rows = movements_between(read.count, read.before, read.refrigerant).filter(purpose__in=wanted)
    summed = rows.order_by("purpose").values_list("purpose").annotate(times=Number("pk"), moved=Sum("mass"))
    return tuple(BookedFacts(purpose, times, moved) for purpose, times, moved in summed)
