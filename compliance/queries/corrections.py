"""What of a closed job can be put right, and the job as its correction slips put it right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from compliance.core.certificate_notes import CorrectionFacts
from compliance.core.stages import HoldResult, LabelSource, LeakResult, Outcome, StageKind
from compliance.models import CheckIn, Closing, CorrectedField, Correction, Job, Label
from compliance.queries.doers import DoerSpot, doer_spots
from compliance.queries.spots import Spot
from inventory.models import WeighTicket
from shop.core.mass import Mass, Unit
from shop.core.phrase import joined, phrase
from shop.models import Establishment

if TYPE_CHECKING:
    from compliance.queries.sheets import Sheet

UNITS = (Unit.G, Unit.OZ, Unit.LB, Unit.KG, Unit.LB_OZ)
# what each stage keeps that a slip may put right: attribute, words, longest text
TYPED: dict[StageKind, tuple[tuple[str, str, int], ...]] = {
    StageKind.CHECK_IN: (
        ("customer", phrase("Customer"), 80),
        ("plate", phrase("Plate"), 12),
        ("odometer", phrase("Odometer"), 12),
        ("complaint", phrase("Complaint"), 120),
        ("repair_order", phrase("Repair order"), 20),
    ),
    StageKind.RECOVERY: (
        ("gauge", phrase("Gauge before"), 24),
        ("note", phrase("Note"), 200),
    ),
    StageKind.LEAK_CHECK: (
        ("places", phrase("Places looked at"), 200),
        ("instrument", phrase("Instrument"), 80),
        ("detail", phrase("What was seen"), 300),
    ),
    StageKind.EVACUATION: (
        ("pump", phrase("Pump"), 40),
        ("gauge", phrase("Vacuum gauge"), 40),
        ("deepest", phrase("Deepest reading"), 24),
        ("hold_from", phrase("Hold, first reading"), 24),
        ("hold_middle", phrase("Hold, half way"), 24),
        ("hold_to", phrase("Hold, last reading"), 24),
    ),
    StageKind.FINAL_READINGS: (
        ("low_side", phrase("Low side"), 24),
        ("high_side", phrase("High side"), 24),
        ("vent", phrase("Vent"), 24),
        ("inlet", phrase("Air going in"), 24),
        ("outdoor", phrase("Outdoor"), 24),
        ("humidity", phrase("Humidity"), 24),
        ("engine", phrase("Engine speed"), 24),
        ("note", phrase("Note"), 200),
    ),
}
DETAIL = {
    StageKind.CHECK_IN: "checkin",
    StageKind.RECOVERY: "recovery",
    StageKind.LEAK_CHECK: "leakcheck",
    StageKind.EVACUATION: "evacuation",
    StageKind.FINAL_READINGS: "finalreadings",
}


def spots(sheet: Sheet) -> list[Spot]:
    """Everything on this job that can be put right, in the order of the work."""
    doers = list(doer_spots(sheet))
    return [*_car(sheet), *_label(sheet), *_stages(sheet), *_tickets(sheet), *_losses(sheet), *doers]


def _car(sheet: Sheet) -> Iterator[Spot]:
    vehicle = sheet.job.vehicle
    yield Spot("vehicle-vin", phrase("Car"), phrase("VIN"), "text", vehicle, "vin", 20)
    yield Spot("vehicle-description", phrase("Car"), phrase("Vehicle"), "text", vehicle, "description", 80)


def _label(sheet: Sheet) -> Iterator[Spot]:
    stage, group = sheet.check_in.stage, phrase("Label")
    label = sheet.label or _no_label()
    yield Spot("label-charge", group, phrase("Label charge"), "mass", label, "charge", stage=stage)
    yield Spot("label-tolerance", group, phrase("Tolerance"), "mass", label, "tolerance", stage=stage)
    sources = tuple(str(one) for one in LabelSource if one is not LabelSource.OTHER)
    where = phrase("Where it was read")
    yield Spot("label-source", group, where, "choice", label, "source", 30, stage=stage, choices=sources)


def _no_label() -> Label:
    """The label of a car whose label was not typed: a slip may say what it asked for."""
    return Label(charge_text="", charge_unit="", charge=Mass(0), tolerance=Mass(0), source="")


def _stages(sheet: Sheet) -> Iterator[Spot]:
    for stage in sheet.written:
        kind = StageKind(stage.kind)
        if kind not in TYPED or stage.outcome != Outcome.DONE:
            continue
        row = getattr(stage, DETAIL[kind])
        again = "" if stage.turn == 1 else phrase(", time {place}", place=stage.turn)
        group, start = joined("", [kind.label, again]), f"{stage.kind}-{stage.turn}"
        for attr, label, most in TYPED[kind]:
            yield Spot(f"{start}-{attr}", group, label, "text", row, attr, most, stage=stage)
        if kind is StageKind.LEAK_CHECK:
            seen = tuple(str(one) for one in LeakResult)
            yield Spot(
                f"{start}-result", group, phrase("Result"), "choice", row, "result", 20, stage, None, seen
            )
        if kind is StageKind.EVACUATION:
            held = tuple(str(one) for one in HoldResult)
            minutes = phrase("Minutes of the hold")
            yield Spot(f"{start}-hold_minutes", group, minutes, "whole", row, "hold_minutes", 4, stage)
            yield Spot(
                f"{start}-result", group, phrase("Result"), "choice", row, "result", 20, stage, None, held
            )


def _tickets(sheet: Sheet) -> Iterator[Spot]:
    for place, one in enumerate(sheet.recoveries, 1):
        again = "" if place == 1 else phrase(", time {place}", place=place)
        group = joined("", [phrase("Recovery"), again])
        for ticket, when in ((one.before, phrase("before")), (one.after, phrase("after"))):
            words = phrase("{container} {when}", container=ticket.container_id, when=when)
            yield _ticket(ticket, group, words)
    for can in sheet.cans:
        for row in can.tickets:
            words = phrase("{container} {when}", container=can.container.code, when=row.moment)
            yield _ticket(row.ticket, phrase("Weigh ticket"), words)


def _ticket(ticket: WeighTicket, group: str, words: str) -> Spot:
    return Spot(
        f"ticket-{ticket.number}", group, words, "mass", ticket, "reading", ticket=ticket, moves_mass=True
    )


def _losses(sheet: Sheet) -> Iterator[Spot]:
    kept = sheet.charge
    if kept is None:
        return
    for attr, label in (
        ("hoses", phrase("Left in the hoses")),
        ("purge", phrase("Purged")),
        ("released", phrase("Released")),
    ):
        yield Spot(
            f"charge-{attr}", phrase("Charge"), label, "exact", kept, attr, stage=kept.stage, moves_mass=True
        )
    why = phrase("Released, why")
    yield Spot(
        "charge-released_why", phrase("Charge"), why, "text", kept, "released_why", 200, stage=kept.stage
    )


def put_right(sheet: Sheet) -> None:
    """Let a job sheet say what its correction slips say; the rows stay as they were signed. An open job has none."""
    if not hasattr(sheet.job, "closing"):
        return
    rows = CorrectedField.objects.filter(correction__closing__job=sheet.job).order_by("pk")
    found: dict[str, Spot] = {}
    for row in rows.select_related("doer__person"):
        found = found or {spot.key: spot for spot in spots(sheet)}
        spot = found[row.key]
        if isinstance(spot, DoerSpot):
            spot.stand(row.doer.person or row.doer.name)
        else:
            spot.put(row.new, row.unit)


def put_check_ins_right(seen: Mapping[int, CheckIn]) -> None:
    """The same for check-ins alone, by the key of their job; with their label where it was read. One query."""
    rows = CorrectedField.objects.filter(correction__closing__job__in=list(seen)).order_by("pk")
    rows = rows.filter(Q(key__startswith="check-in-") | Q(key__startswith="label-"))
    for job, key, new, unit in rows.values_list("correction__closing__job", "key", "new", "unit"):
        kind, _, attr = key.rpartition("-")
        stage = seen[job].stage
        row = seen[job] if kind == "check-in-1" else getattr(stage, "label", None) or _no_label()
        how = "mass" if key in ("label-charge", "label-tolerance") else "text"
        Spot(key, "", "", how, row, attr, stage=stage).put(new, unit or Unit.G)


def corrections(establishment: Establishment) -> QuerySet[Correction]:
    """All slips, newest first, with what they put right."""
    rows = Correction.objects.filter(establishment=establishment).order_by("-pk")
    return rows.select_related("by", "closing__job__vehicle", "document", "entry").prefetch_related("fields")


def corrections_of(job: Job) -> QuerySet[Correction]:
    """The slips of one job, oldest first."""
    return corrections(job.establishment).filter(closing__job=job).order_by("pk")


def corrections_printed(closing: Closing) -> tuple[CorrectionFacts, ...]:
    """Everything that was put right on this job so far, as papers print it."""
    zone = ZoneInfo(closing.job.establishment.time_zone)
    return tuple(
        CorrectionFacts(
            slip=slip.number,
            what=field.label,
            old=field.old,
            new=field.shown,
            why=slip.why,
            by=slip.by.name,
            at=slip.at.astimezone(zone).isoformat(timespec="minutes"),
        )
        for slip in closing.corrections.select_related("by").prefetch_related("fields")
        for field in slip.fields.all()
    )
