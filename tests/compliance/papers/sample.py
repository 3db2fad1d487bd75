"""The invented shop of the examples, Copper Gulch Auto Repair: its job J26-0187, and by import its second quarter.

Shop, people, vehicles, numbers and addresses are invented. The job: 503 g into a car that asks for 500 g give or take
20. Its uncertainty: four readings at 1 g divisions, hoses 6 g give or take 2 g, scale gain 0.1 % of 509 g; standard
uncertainty sqrt(4/12 + 4/3 + 0.509**2/3) = 1.324 g, so 2.6 g at two of them, and at worst 2 + 2 + 0.509 = 4.5 g.
"""

from __future__ import annotations

from dataclasses import replace

from compliance.core.certificate_facts import (
    CanFacts,
    Car,
    CertificateFacts,
    ChargeFactsPrinted,
    Doer,
    EvacuationFacts,
    FinalFacts,
    LeakCheckFacts,
    RecoveryFacts,
    StopFacts,
    System,
)
from tests.compliance.papers.quarter import SHOP, G, draft_facts, usage_report_facts

__all__ = ["G", "certificate_facts", "charge", "draft_facts", "stopped_facts", "usage_report_facts"]
DEV = "Dev Larkin held Section 609 proof of certification SAMPLE-7741, issued Mar 12, 2019, on this date."


def _doer(stage: str) -> Doer:
    return Doer(stage, "Dev Larkin", "2026-06-11", "SAMPLE-7741", "Sample Program", "2019-03-12", DEV)


def certificate_facts() -> CertificateFacts:
    """Job J26-0187: 210 g out, none seen leaking, 503 g in."""
    return CertificateFacts(
        number="C26-0187",
        version=1,
        job="J26-0187",
        job_day="2026-06-11",
        made_at="2026-06-11T12:04-07:00",
        made_by="Dev Larkin",
        shop=SHOP,
        car=Car(
            customer="Ana Sample",
            description="2014 sedan, blue",
            vin="ZZZ1SAMPXE7000417",
            plate="SMP-417",
            odometer="118,402",
            complaint="blows warm",
            repair_order="20931",
        ),
        system=System("R-134a", "500 g", 500 * G, "20 g", 20 * G, 20 * G, "under-hood label"),
        recoveries=(
            RecoveryFacts(
                turn=1,
                by="Dev Larkin",
                started="2026-06-11T10:12-07:00",
                ended="2026-06-11T10:31-07:00",
                machine="RE-1",
                cylinder="RC-02",
                before="5595 g",
                after="5805 g",
                out_ug=210 * G,
            ),
        ),
        leak_checks=(
            LeakCheckFacts(
                by="Dev Larkin",
                at="2026-06-11T10:38-07:00",
                methods="eyes, electronic detector",
                instrument="LD-1, checked Jun 8",
                places="compressor, hoses, condenser, service ports, evaporator drain",
                result="no leak seen",
                detail="no oil trace, at rest",
            ),
        ),
        evacuations=(
            EvacuationFacts(
                by="Dev Larkin",
                pump="VP-1",
                started="2026-06-11T10:42-07:00",
                stopped="2026-06-11T11:25-07:00",
                minutes=43,
                deepest="600 microns",
                hold_minutes=15,
                hold_from="600 microns",
                hold_to="720 microns",
                result="held",
                gauge="VG-1",
            ),
        ),
        leak_test=None,
        charge=charge(),
        final=FinalFacts(
            by="Dev Larkin",
            at="2026-06-11T12:01-07:00",
            low_side="31 psi",
            high_side="195 psi",
            vent="44 °F",
            outdoor="84 °F",
            humidity="38 %",
            engine="1500 rpm",
            blower="high",
            mode="recirculate",
            caps_on=True,
        ),
        stop=None,
        doers=tuple(_doer(stage) for stage in ("Recovery", "Leak check", "Evacuation", "Charge")),
        skipped=(("Repair", "not needed: nothing to repair"),),
        repairs="",
        remarks=(),
        signed="Dev Larkin, signed on as dev, Jun 11 2026 12:04 pm",
        recorded_under="shop rules as of 2026-06-11",
        check_url="https://book.example/check/C26-0187/1/",
    )


def charge() -> ChargeFactsPrinted:
    """509 g out of two cans = 503 in the vehicle + 6 in the hoses."""
    return ChargeFactsPrinted(
        by="Dev Larkin",
        started="2026-06-11T11:41-07:00",
        ended="2026-06-11T11:58-07:00",
        cans=(
            CanFacts("K-0311", "L24B-07", "466 g", "128 g", 338 * G, "SC-1", "bare can", "weighed"),
            CanFacts("K-0312", "L24B-07", "464 g", "293 g", 171 * G, "SC-1", "bare can", "weighed"),
        ),
        out_ug=509 * G,
        hoses_ug=6 * G,
        hoses_basis="shop allowance, give or take 2 g",
        purge_ug=0,
        released_ug=0,
        released_why="",
        recovered_back_ug=0,
        vehicle_ug=503 * G,
        deviation_ug=3 * G,
        expanded_ug=2_648_000,
        worst_ug=4_509_000,
        probability="1.0000",
        verdict="shown",
        scale_check="checked 2026-06-05, passed",
    )


def stopped_facts() -> CertificateFacts:
    """Job J26-0190: a leak at the condenser, the customer said no, nothing was charged."""
    return replace(
        certificate_facts(),
        number="C26-0190",
        job="J26-0190",
        check_url="https://book.example/check/C26-0190/1/",
        recoveries=(replace(certificate_facts().recoveries[0], after="5775 g", out_ug=180 * G),),
        leak_checks=(
            LeakCheckFacts(
                by="Dev Larkin",
                at="2026-06-11T10:38-07:00",
                methods="eyes, dye",
                instrument="",
                places="condenser",
                result="leak found",
                detail="condenser, lower left, steady",
            ),
        ),
        evacuations=(),
        charge=None,
        final=None,
        stop=StopFacts(
            why="leak found at the condenser, lower left",
            state_now="180 g taken out, system empty, ports capped",
            choice="declined the repair by phone at 2:15 pm, told to Lee Okonma",
            by="Dev Larkin",
            at="2026-06-11T14:20-07:00",
        ),
        doers=tuple(_doer(stage) for stage in ("Recovery", "Leak check")),
        skipped=(
            ("Repair", "stopped: the customer declined"),
            ("Evacuation", "stopped: leak found"),
            ("Charge", "stopped: leak found"),
            ("Final readings", "stopped: leak found"),
        ),
        signed="Dev Larkin, signed on as dev, Jun 11 2026 2:20 pm",
    )
