"""From a job sheet to the facts that its certificate prints."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.conf import settings

from compliance.core.certificate_facts import (
    CanFacts,
    Car,
    CertificateFacts,
    ChargeFactsPrinted,
    Doer,
    FinalFacts,
    LeakCheckFacts,
    LeakTestFacts,
    RecoveryFacts,
    Shop,
    StopFacts,
    System,
)
from compliance.core.certificate_holds import NO_DETECTOR
from compliance.core.job import JobFacts
from compliance.core.reconcile import Reconciliation
from compliance.core.stages import NEED_A_CARD, Compressor, Identified, Outcome, StageKind
from compliance.models import Recovery, Stage
from compliance.queries.evacuations import evacuation_facts
from compliance.queries.facts import local, recovered, recovered_back_mass
from compliance.queries.final_view import final_worked_facts
from compliance.queries.leak_view import leak_test_facts
from compliance.queries.sheets import Sheet
from compliance.queries.visits import since_last_facts
from shop.core.findings import Finding, Weight
from shop.core.mass import ZERO
from shop.core.phrase import phrase
from shop.models import Establishment, Person
from shop.queries import last_check, work_day

FINAL_AS_TYPED = (
    "low_side", "high_side", "vent", "inlet", "outdoor", "humidity", "engine", "blower", "mode", "caps_on", "note",
)  # fmt: skip


def shop_facts(establishment: Establishment) -> Shop:
    return Shop(establishment.name, establishment.address, establishment.phone, establishment.state_number)


def certificate_facts(
    sheet: Sheet,
    facts: JobFacts,
    findings: Sequence[Finding],
    *,
    number: str,
    check_url: str,
    stop: tuple[str, str, str] | None,
    at: datetime,
    by: Person,
) -> CertificateFacts:
    """Everything one certificate says, read once. ``stop`` is (why, state of the car now, what the customer chose)."""
    said = Said(sheet)
    return CertificateFacts(
        number=number,
        version=1,
        job=sheet.job.number,
        job_day=sheet.job.on.isoformat(),
        made_at=said.time(at),
        made_by=by.name,
        shop=shop_facts(sheet.job.establishment),
        car=said.car(),
        system=said.system(),
        recoveries=tuple(said.recovery(one) for one in sheet.recoveries),
        leak_checks=tuple(said.leak_check(stage) for stage in said.done(StageKind.LEAK_CHECK)),
        evacuations=tuple(
            evacuation_facts(sheet, stage, by=said.by(stage)) for stage in said.done(StageKind.EVACUATION)
        ),
        leak_test=said.leak_test(),
        charge=said.charge(facts.reconciliation) if facts.reconciliation is not None else None,
        final=said.final(),
        stop=StopFacts(*stop, by=by.name, at=said.time(at)) if stop is not None else None,
        doers=said.doers(),
        skipped=said.skipped(),
        repairs="; ".join(stage.reason for stage in said.done(StageKind.REPAIR)),
        remarks=tuple(one.message for one in findings if one.weight is not Weight.BLOCKS),
        signed=f"{by.name}, signed on as {by.username}, {said.time(at)}",
        recorded_under="shop rules as of " + sheet.job.on.isoformat(),
        check_url=check_url,
        practice=settings.PRACTICE,
        since_last=since_last_facts(sheet),
    )


class Said:
    """How one job's rows are worded for paper; instants on the shop's own clock, readings as typed."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.shop = sheet.job.establishment

    def time(self, instant: datetime) -> str:
        return local(self.shop, instant).isoformat(timespec="minutes")

    def done(self, kind: StageKind) -> list[Stage]:
        return [stage for stage in self.sheet.of(kind) if stage.outcome == Outcome.DONE]

    def car(self) -> Car:
        seen, vehicle = self.sheet.check_in, self.sheet.job.vehicle
        return Car(
            customer=seen.customer,
            description=vehicle.description,
            vin=vehicle.vin,
            plate=seen.plate,
            odometer=seen.odometer,
            complaint=seen.complaint,
            repair_order=seen.repair_order,
        )

    def system(self) -> System:
        label, seen = self.sheet.label, self.sheet.check_in
        retrofit = "changed to this refrigerant earlier" if hasattr(seen.stage, "retrofit") else ""
        driven = "" if seen.compressor == Compressor.BELT else seen.compressor
        if label is None:
            return System(self.sheet.refrigerant, "", None, "", None, None, "", retrofit, driven)
        tolerance = label.tolerance.ug if label.tolerance > ZERO else None
        return System(
            refrigerant=self.sheet.refrigerant,
            charge=str(label.reading),
            charge_ug=label.charge.ug,
            tolerance=f"{label.tolerance_text} {label.tolerance_unit}".strip(),
            tolerance_below_ug=tolerance,
            tolerance_above_ug=tolerance,
            source=label.source_note or label.source,
            retrofit=retrofit,
            compressor=driven,
        )

    def recovery(self, one: Recovery) -> RecoveryFacts:
        return RecoveryFacts(
            turn=one.stage.turn,
            by=self.by(one.stage),
            started=self.time(one.started_at),
            ended=self.time(one.stage.at),
            machine=one.machine.code,
            cylinder=one.cylinder_id,
            before=str(one.before.reading),
            after=str(one.after.reading),
            out_ug=recovered(one).ug,
            note=one.note,
            gauge=one.gauge,
            identified="" if one.identified == Identified.NOT_USED else one.identified,
            into="" if one.cylinder.refrigerant_id == self.sheet.refrigerant else one.cylinder.refrigerant_id,
        )

    def leak_check(self, stage: Stage) -> LeakCheckFacts:
        check = stage.leakcheck
        by_detector = "electronic detector" in check.methods.split(", ")
        return LeakCheckFacts(
            by=self.by(stage),
            at=self.time(stage.at),
            methods=check.methods,
            instrument=check.instrument,
            places=check.places,
            result=check.result,
            detail=check.detail,
            detector_scale=f"{self.sheet.rules.detector_g_year.normalize():f}"
            if by_detector
            else NO_DETECTOR,
        )

    def leak_test(self) -> LeakTestFacts | None:
        for stage in self.done(StageKind.LEAK_TEST)[-1:]:
            by, at = self.by(stage), self.time(stage.at)
            return leak_test_facts(self.sheet, stage.leaktest, by=by, at=at)
        return None

    def charge(self, sums: Reconciliation) -> ChargeFactsPrinted:
        tickets = [row for can in self.sheet.cans for row in can.tickets]
        scale = tickets[0].ticket.scale
        check = last_check(scale, self.sheet.job.on)
        rules = self.sheet.rules
        return ChargeFactsPrinted(
            by=", ".join(dict.fromkeys(row.hands or row.by.name for row in tickets)),
            started=self.time(min(row.at for row in tickets)),
            ended=self.time(max(row.at for row in tickets)),
            cans=tuple(self._can(draw.code, sums) for draw in sums.draws),
            out_ug=sums.cans_out.ug,
            hoses_ug=sums.losses.hoses.ug,
            hoses_basis=f"shop allowance, give or take {rules.hose_give_or_take_g} g",
            purge_ug=sums.losses.purge.ug,
            released_ug=sums.losses.released.ug,
            released_why=self._released_why(),
            recovered_back_ug=recovered_back_mass(self.sheet).ug,
            vehicle_ug=sums.vehicle.ug,
            deviation_ug=sums.deviation.ug if sums.deviation is not None else None,
            expanded_ug=round(sums.expanded_g * 1_000_000),
            worst_ug=round(sums.worst_g * 1_000_000),
            probability="" if sums.probability is None else f"{sums.probability:.4f}",
            verdict=sums.verdict.value,
            scale_check=f"checked {check.on.isoformat()}, {'passed' if check.passed else 'did not pass'}"
            if check
            else "",
        )

    def _released_why(self) -> str:
        kept = self.sheet.charge
        waited = [can.container.code for can in self.sheet.cans if can.lost_waiting > ZERO]
        why = [kept.released_why] if kept is not None and kept.released_why else []
        return "; ".join([*why, *(f"{code} leaked while it waited with its tap on" for code in waited)])

    def _can(self, code: str, sums: Reconciliation) -> CanFacts:
        can = next(one for one in self.sheet.cans if one.container.code == code)
        draw = next(one for one in sums.draws if one.code == code)
        return CanFacts(
            code=code,
            lot=can.container.lot,
            before=str(draw.before.reading),
            after=str(draw.after.reading),
            out_ug=draw.out.ug,
            scale=can.before.ticket.scale.code,
            style=draw.after.style.value,
            origin=draw.before.origin.value,
        )

    def final(self) -> FinalFacts | None:
        for stage in self.done(StageKind.FINAL_READINGS)[-1:]:
            seen = stage.finalreadings
            as_typed = {name: getattr(seen, name) for name in FINAL_AS_TYPED}
            return FinalFacts(
                by=self.by(stage),
                at=self.time(stage.at),
                minutes=f"{seen.minutes} min" if seen.minutes is not None else "",
                worked=final_worked_facts(self.sheet),
                **as_typed,
            )
        return None

    def doers(self) -> tuple[Doer, ...]:
        rows = []
        for stage in self.sheet.written:
            kind = StageKind(stage.kind)
            if stage.outcome == Outcome.DONE and kind in NEED_A_CARD:
                standing = work_day(stage.by, local(self.shop, stage.at).date())
                hands = self._hands(stage)
                if hands:
                    rows.append(self._uncertified(stage, hands, standing.day))
                    continue
                card = standing.card
                rows.append(
                    Doer(
                        stage=kind.label,
                        name=stage.by.name,
                        day=standing.day.isoformat(),
                        card=card.number if card else "",
                        program=card.program if card else "",
                        issued=card.issued_on.isoformat() if card else "",
                        standing=standing.sentence,
                    )
                )
        return tuple(rows)

    def _hands(self, stage: Stage) -> str:
        """Who did it, when that was somebody without a 609 card."""
        if hasattr(stage, "uncertified"):
            return stage.uncertified.name
        charged = stage.kind == StageKind.CHARGE
        rows = [row.hands for can in self.sheet.cans for row in can.tickets if row.hands and charged]
        return rows[0] if rows else ""

    def by(self, stage: Stage) -> str:
        return self._hands(stage) or stage.by.name

    def _uncertified(self, stage: Stage, name: str, day: date) -> Doer:
        sentence = phrase(
            "{name} held no Section 609 proof of certification; written down by {by}.",
            name=name,
            by=stage.by.name,
        )
        return Doer(StageKind(stage.kind).label, name, day.isoformat(), "", "", "", sentence)

    def skipped(self) -> tuple[tuple[str, str], ...]:
        left = [stage for stage in self.sheet.written if stage.outcome != Outcome.DONE]
        return tuple((StageKind(stage.kind).label, f"{stage.outcome}: {stage.reason}") for stage in left)
