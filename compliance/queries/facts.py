"""From rows to the frozen facts that core computes with."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from compliance.core.federal.equipment import approval
from compliance.core.federal.vehicles import model_year
from compliance.core.job import (
    EvacuationSeen,
    JobFacts,
    LeakCheckSeen,
    LightCanSeen,
    RecoverySeen,
    StageFacts,
)
from compliance.core.reconcile import CanWeights, ChargeFacts, Losses, Reconciliation, reconcile
from compliance.core.rules.packs import RETROFIT_LABEL
from compliance.core.stages import HoldResult, Identified, LeakResult, Outcome, StageKind, UnitKind
from compliance.models import CanTicket, Job, Recovery, Stage
from compliance.queries.sheets import CanOnJob, Sheet
from inventory.core.federal import may_fill
from inventory.core.refrigerants import UNKNOWN
from inventory.core.weighing import CanKind, Origin, Style, Ticket, u_difference
from inventory.models import WeighTicket
from shop.core.mass import ZERO, Mass, grams, total
from shop.core.phrase import phrase
from shop.models import Establishment
from shop.queries import work_day


def local(establishment: Establishment, instant: datetime) -> datetime:
    """An instant on the shop's own clock."""
    return instant.astimezone(ZoneInfo(establishment.time_zone))


def checked_in_refrigerant(job: Job) -> str:
    """What the newest check-in says is in the car."""
    newest = job.stages.filter(kind=StageKind.CHECK_IN).order_by("-version").select_related("checkin").first()
    assert newest is not None  # noqa: S101 - a job is made by its check-in
    return newest.checkin.refrigerant_id


def ticket_facts(ticket: WeighTicket) -> Ticket:
    return Ticket(
        ticket.reading, ticket.division, Style(ticket.style), Origin(ticket.origin), number=ticket.number
    )


def can_kind(can: CanOnJob) -> CanKind:
    kind = can.container.can.type
    return CanKind(kind.net, kind.shell, float(kind.shell_spread_g))


def recovered(recovery: Recovery) -> Mass:
    return recovery.after.gross - recovery.before.gross


def first_draw(sheet: Sheet) -> CanTicket | None:
    """The first reading of this job that says a can gave something."""
    rows = [row for can in sheet.cans for row in can.tickets if row.moment != CanTicket.Moment.BEFORE]
    return min(rows, key=lambda row: row.ticket.number, default=None)


def recovered_back(sheet: Sheet) -> list[Recovery]:
    """Recoveries that began after the first can of this job was drawn from: they took back what had been charged."""
    first = first_draw(sheet)
    if first is None:
        return []
    return [one for one in sheet.recoveries if one.before.number > first.ticket.number]


def kept_apart(recovery: Recovery) -> bool:
    """Whether it went into a cylinder of which nobody can say what it holds."""
    cylinder = recovery.cylinder
    mixed = getattr(cylinder, "mixed", None)
    return cylinder.refrigerant_id == UNKNOWN or (mixed is not None and mixed.since <= recovery.before.at)


def recovered_back_mass(sheet: Sheet) -> Mass:
    """How much of this job's charge those took back; what a wrong can had put in is none of it."""
    back = recovered_back(sheet)
    good = total(recovered(one) for one in back if not kept_apart(one))
    unknown = total(recovered(one) for one in back if kept_apart(one))
    wrong = total(one.before.gross - one.after.gross for one in sheet.mischarges)
    return good + max(unknown - wrong, ZERO)


def emptied_first(sheet: Sheet) -> bool:
    """Whether the system was recovered or evacuated before anything was charged; else its total is unknown."""
    first = first_draw(sheet)
    pumped = [stage for stage in _done(sheet, StageKind.EVACUATION) if first is None or stage.at <= first.at]
    return bool(taken_out(sheet) or pumped)


def taken_out(sheet: Sheet) -> list[Recovery]:
    """Recoveries of what the car came with."""
    back = {recovery.pk for recovery in recovered_back(sheet)}
    return [recovery for recovery in sheet.recoveries if recovery.pk not in back]


def losses(sheet: Sheet) -> Losses:
    """What did not stay in the car; before the charge is kept as done, the shop's hose allowance stands in.

    What a can lost while it waited with a tap on it was released, whoever noticed.
    """
    kept, leaked = sheet.charge, total(can.lost_waiting for can in sheet.cans)
    back = recovered_back(sheet)
    back_u = sum(u_difference(recovery.after.division) ** 2 for recovery in back) ** 0.5
    if kept is None:
        gave = any(can.before.ticket.gross > can.tickets[-1].ticket.gross for can in sheet.cans)
        hoses = grams(sheet.rules.hose_allowance_g) if gave else ZERO
        half = float(sheet.rules.hose_give_or_take_g)
        return Losses(hoses, half, ZERO, 0.0, leaked, recovered_back_mass(sheet), back_u)
    return Losses(
        kept.hoses,
        kept.hoses_give_or_take.grams,
        kept.purge,
        kept.purge.grams / 2,
        kept.released + leaked,
        recovered_back_mass(sheet),
        back_u,
    )


def charge_facts(sheet: Sheet) -> ChargeFacts:
    """What reconcile() asks for."""
    label = sheet.label
    tolerance = label.tolerance if label is not None and label.tolerance > ZERO else None
    return ChargeFacts(
        refrigerant=sheet.refrigerant,
        cans=tuple(can_weights(can) for can in sheet.cans),
        losses=losses(sheet),
        label=label.charge if label is not None else None,
        tolerance_below=tolerance,
        tolerance_above=tolerance,
        gain_half_width=float(sheet.rules.scale_gain_percent) / 100,
        recovered_first=emptied_first(sheet),
    )


def can_weights(can: CanOnJob) -> CanWeights:
    return CanWeights(
        code=can.container.code,
        lot=can.container.lot_now,
        refrigerant=can.container.refrigerant_id,
        kind=can_kind(can),
        book=can.book,
        sealed=can.before.sealed,
        tickets=tuple(ticket_facts(row.ticket) for row in can.tickets),
        previous=ticket_facts(can.previous) if can.previous is not None else None,
        emptied=can.emptied,
    )


def reconciliation(sheet: Sheet) -> Reconciliation | None:
    """The sum of this job, or None when no can was weighed."""
    return reconcile(charge_facts(sheet)) if sheet.cans else None


def job_facts(sheet: Sheet, *, stopped: str = "", remark: str = "", owner_signs: bool = False) -> JobFacts:
    """Everything the closing rules look at."""
    refrigerant, shop = sheet.refrigerant, sheet.job.establishment
    return JobFacts(
        number=sheet.job.number,
        refrigerant=refrigerant,
        label_known=sheet.label is not None,
        stages={StageKind(stage.kind): _stage(sheet, stage) for stage in _latest(sheet)},
        recoveries=tuple(
            RecoverySeen(
                one.stage.turn,
                recovered(one),
                one.machine.code,
                one.identified == Identified.MIXED
                or bool(sheet.mischarges)
                or one.machine.takes(refrigerant),
                approval(refrigerant, one.machine.does, one.machine.standard, one.machine.in_service_on),
                one.cylinder_id,
                cylinder_due=not _may_be_filled(shop, one),
            )
            for one in sheet.recoveries
        ),
        leak_checks=tuple(
            LeakCheckSeen(local(shop, one.stage.at), LeakResult(one.result)) for one in sheet.leak_checks
        ),
        evacuations=tuple(
            EvacuationSeen(
                local(shop, stage.at),
                stage.evacuation.minutes,
                stage.evacuation.hold_minutes,
                HoldResult(stage.evacuation.result),
            )
            for stage in _done(sheet, StageKind.EVACUATION)
        ),
        reconciliation=reconciliation(sheet),
        cans_hanging=tuple(can.container.code for can in sheet.cans if can.hanging),
        stopped=stopped,
        remark=remark,
        uncertified=_uncertified(sheet),
        owner_signs=owner_signs,
        emptied_first=emptied_first(sheet),
        label=sheet.label.charge if sheet.label is not None else None,
        taken_out=total(recovered(one) for one in taken_out(sheet)),
        repaired_at=max((stage.at for stage in _done(sheet, StageKind.REPAIR)), default=None),
        light_cans=tuple(
            LightCanSeen(can.container.code, can.light.why, can.lacked)
            for can in sheet.cans
            if can.light is not None
        ),
        lost_waiting=tuple(
            (can.container.code, can.lost_waiting) for can in sheet.cans if can.lost_waiting > ZERO
        ),
        wrong_can=sheet.mischarge_open.container_id if sheet.mischarge_open is not None else "",
        wrong_cans=tuple(
            (one.container_id, one.container.refrigerant_id, one.before.gross - one.after.gross)
            for one in sheet.mischarges
        ),
        retrofit_lacks=retrofit_lacks(sheet),
        model_year=model_year(sheet.job.vehicle.vin),
        unit_kind=UnitKind(sheet.check_in.unit_kind),
        recorded=_read_at_the_end(sheet),
        rules=sheet.rules,
    )


def _may_be_filled(shop: Establishment, recovery: Recovery) -> bool:
    stamps = getattr(recovery.cylinder, "cylinder", None)
    return stamps is None or may_fill(stamps.requalified_on, local(shop, recovery.stage.at).date())


def _read_at_the_end(sheet: Sheet) -> frozenset[str]:
    """Which of the final readings were taken."""
    taken = {
        name
        for stage in _done(sheet, StageKind.FINAL_READINGS)[-1:]
        for name, value in (
            ("low side", stage.finalreadings.low_side),
            ("high side", stage.finalreadings.high_side),
            ("vent temperature", stage.finalreadings.vent),
        )
        if value
    }
    return frozenset(taken)


def _done(sheet: Sheet, kind: StageKind) -> list[Stage]:
    return [stage for stage in sheet.of(kind) if stage.outcome == Outcome.DONE]


def _uncertified(sheet: Sheet) -> dict[StageKind, str]:
    """Who did which stage without a 609 card; a charge is also known by its weighings."""
    named = {
        StageKind(one.kind): one.uncertified.name for one in sheet.written if hasattr(one, "uncertified")
    }
    hands = [row.hands for can in sheet.cans for row in can.tickets if row.hands]
    return named | ({StageKind.CHARGE: hands[0]} if hands else {})


def retrofit_lacks(sheet: Sheet) -> tuple[str, ...]:
    """What a change of refrigerant asks for and this car does not show."""
    found = getattr(sheet.check_in.stage, "retrofit", None)
    if found is None:
        return ()
    wanted = (
        (found.labelled, RETROFIT_LABEL),
        (found.fittings, phrase("ports of this refrigerant without adapters")),
        (found.removed, phrase("proof that the old refrigerant was removed")),
    )
    return tuple(what for there, what in wanted if not there)


def _latest(sheet: Sheet) -> list[Stage]:
    return [stage for kind in StageKind if (stage := sheet.last(kind)) is not None]


def _stage(sheet: Sheet, stage: Stage) -> StageFacts:
    day = local(sheet.job.establishment, stage.at).date()
    return StageFacts(
        StageKind(stage.kind), Outcome(stage.outcome), stage.reason, stage.at, work_day(stage.by, day)
    )


def leak_test_drawn(sheet: Sheet) -> Mass:
    """What the cans gave up to their leak-test weighing."""
    drawn = ZERO
    for can in sheet.cans:
        after = next((row for row in can.tickets if row.moment == "leak test"), None)
        if after is not None:
            drawn += can.before.ticket.gross - after.ticket.gross
    return drawn
