"""The correction slips that touch a period: signed in it, signed for a job of it, or moving the book in it."""

from __future__ import annotations

from django.db.models import Count as Number
from django.db.models import Q

from compliance.core.usage_report_facts import CorrectionLine
from compliance.models import Correction
from compliance.queries.facts import local
from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import Movement
from shop.core.period import Period
from shop.models import Establishment

AIR = (Purpose.PURGED, Purpose.RELEASED)


def correction_lines(establishment: Establishment, period: Period) -> tuple[CorrectionLine, ...]:
    """In the order of signing, each with what the book moved for it."""
    days = (period.first, period.last)
    rows = Correction.objects.filter(establishment=establishment)
    signed = Q(at__range=period.instants(establishment.time_zone))
    rows = rows.filter(Q(closing__on__range=days) | Q(entry__on__range=days) | signed).order_by("pk")
    kin = ("closing__job", "entry", "by")
    found = rows.select_related(*kin).prefetch_related("fields", "entry__movements")
    return tuple(_line(establishment, period, slip) for slip in found)


def _line(establishment: Establishment, period: Period, slip: Correction) -> CorrectionLine:
    moved = list(slip.entry.movements.all()) if slip.entry is not None else []
    day = slip.entry.on if slip.entry is not None else local(establishment, slip.at).date()
    here = int(day in period) - int(slip.closing.on in period) if moved else 0
    check_in = slip.closing.job.stages.filter(kind="check-in").order_by("-version").first()
    return CorrectionLine(
        day=day.isoformat(),
        slip=slip.number,
        job=slip.closing.job.number,
        job_day=slip.closing.on.isoformat(),
        refrigerant=moved[0].refrigerant_id if moved else check_in.checkin.refrigerant_id if check_in else "",
        what="; ".join(f"{one.label} {one.old or '–'} → {one.shown or '–'}" for one in slip.fields.all()),
        why=slip.why,
        by=slip.by.name,
        charged_ug=_net(moved, (Purpose.CHARGED,), PlaceKind.VEHICLES),
        recovered_ug=-_net(moved, (Purpose.RECOVERED,), PlaceKind.VEHICLES),
        released_ug=_net(moved, AIR, PlaceKind.AIR),
        here=here,
    )


def _net(moved: list[Movement], purposes: tuple[Purpose, ...], place: PlaceKind) -> int:
    """What arrived at places of one kind for these purposes, less what left them."""
    mine = [row for row in moved if row.purpose in purposes]
    into = sum(row.mass.ug for row in mine if row.target_kind == place)
    return into - sum(row.mass.ug for row in mine if row.source_kind == place)


def corrections_moved(establishment: Establishment, period: Period) -> dict[tuple[str, str], int]:
    """How many movements of the period were made by slips, by refrigerant and purpose: they are no events."""
    rows = Movement.objects.filter(
        establishment=establishment, on__range=(period.first, period.last), entry__correction__isnull=False
    )
    sums = rows.order_by().values_list("refrigerant_id", "purpose").annotate(rows=Number("pk"))
    return {(gas, purpose): number for gas, purpose, number in sums}
