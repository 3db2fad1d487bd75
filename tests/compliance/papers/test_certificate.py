"""The service certificate says what was done, in one order, and nothing it cannot know."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CanFacts, CertificateFacts, System
from compliance.core.charge_sum import charge_sum
from compliance.core.paper import Paper, Table
from tests.compliance.papers.reading import figure, text
from tests.compliance.papers.sample import G, certificate_facts, stopped_facts

# 17.6 oz is 498.951607 g: 17.6 x 28.349523125 (NIST SP 811, App. B.8).
IN_OUNCES = System(
    "R-1234yf", "17.6 oz", 498_951_607, "0.5 oz", 14_174_762, 14_174_762, "service information"
)


def cans(paper: Paper) -> Table:
    return next(block for block in paper.blocks if isinstance(block, Table))


def topped_up(facts: CertificateFacts) -> CertificateFacts:
    """The same charge on top of what was in the system."""
    assert facts.charge is not None
    charge = replace(facts.charge, deviation_ug=None, verdict="no verdict", probability="")
    return replace(facts, recoveries=(), charge=charge, skipped=(("Recovery", "not needed: top-up"),))


def test_the_top_says_the_job_in_words() -> None:
    said = text(certificate(certificate_facts()))

    assert (
        "We put 503 grams (17.7 oz) of R-134a into your car's air conditioning. The label under the hood asks for"
        " 500 grams (17.6 oz), give or take 20 g. We first took out 210 grams (7.4 oz). We looked for leaks by eye,"
        " with an electronic detector and with a 15-minute vacuum hold and saw none."
    ) in said


def test_the_parts_stand_in_one_order() -> None:
    said = text(certificate(certificate_facts()))
    order = [
        "SERVICE CERTIFICATE",
        "We put",
        "418 Quarry Road",
        "Ana Sample",
        "Label charge",
        "Taken out (recovery)",
        "Leak check",
        "Repair Not needed: nothing to repair.",
        "Evacuation",
        "Put in (charge)",
        "Final readings",
        "People and 609 cards",
        "Advice",
        "Signature",
        "Recorded under",
    ]
    places = [said.find(part) for part in order]

    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize(
    "sentence",
    [
        "repair order 20931",
        "ZZZ1SAMPXE7000417",
        "RC-02, 5595 g before, 5805 g after",
        "K-0311 L24B-07 466 g 128 g 338 11.9",
        "K-0312 L24B-07 464 g 293 g 171 6.0",
        "Into the vehicle 503 17.7",
        "The label asks for ± 20 g 500 17.6",
        "Check: 509 = 503 + 6 + 0 + 0 (vehicle, hoses, recovered back, released).",
        "Give or take 2.6 g (two standard uncertainties), 4.5 g at the worst.",
        "Inside the label's tolerance, shown.",
        "15 min, from 600 microns to 720 microns. Held.",
        "Dev Larkin held Section 609 proof of certification SAMPLE-7741, issued Mar 12, 2019, on this date.",
        "No test finds every leak.",
        "Air conditioning is under pressure; have it opened by a certified technician.",
        "SC-1, checked Jun 5 2026, passed",
        "Dev Larkin, signed on as dev, Jun 11 2026 12:04 pm",
    ],
)
def test_it_prints(sentence: str) -> None:
    assert text(certificate(certificate_facts())).count(sentence) == 1


def test_four_decimals_do_not_claim_certainty() -> None:
    said = text(certificate(certificate_facts()))

    assert "more than 0.9999" in said
    assert "1.0000" not in said


def test_a_job_that_was_not_charged_says_so_in_its_title_and_why() -> None:
    paper = certificate(stopped_facts())
    said = text(paper)

    assert paper.title == "SERVICE CERTIFICATE – NOT CHARGED"
    assert "We did not charge your car's air conditioning." in said
    assert "Leak found at the condenser, lower left." in said
    assert "180 g taken out, system empty, ports capped." in said
    assert "Declined the repair by phone at 2:15 pm, told to Lee Okonma." in said
    assert "What was taken out stays with the shop for recycling or shipment." in said
    assert "Final readings Stopped: leak found." in said
    assert "come back and bring this paper" not in said


def test_a_top_up_never_states_a_total() -> None:
    said = text(certificate(topped_up(certificate_facts())))

    assert "the total in it now is unknown" in said
    assert "Total in the system unknown" in said
    assert "Difference unknown unknown" in said
    assert "Not needed: top-up." in said
    assert "+3" not in said


@pytest.mark.parametrize(
    ("verdict", "probability", "sentence"),
    [
        (
            "shown",
            "0.9937",
            "Inside the label's tolerance, shown. The calculated chance of being inside is 0.9937",
        ),
        ("not shown", "0.6910", "Not shown either way: the weights cannot tell"),
        (
            "outside",
            "0.0000",
            "Outside the label's tolerance, shown. The calculated chance of being inside is less",
        ),
    ],
)
def test_the_verdict_is_said_in_plain_words(verdict: str, probability: str, sentence: str) -> None:
    facts = certificate_facts()
    assert facts.charge is not None
    facts = replace(facts, charge=replace(facts.charge, verdict=verdict, probability=probability))

    assert sentence in text(certificate(facts))


def test_without_a_tolerance_there_is_no_verdict() -> None:
    facts = certificate_facts()
    bare = replace(facts.system, tolerance="", tolerance_below_ug=None, tolerance_above_ug=None)
    said = text(certificate(replace(facts, system=bare)))

    assert "No tolerance on the label, so no verdict." in said
    assert "give or take 20" not in said


def test_a_label_in_ounces_keeps_its_own_figure() -> None:
    said = text(certificate(replace(certificate_facts(), system=IN_OUNCES)))

    assert "The service information asks for 499 grams (17.6 oz), give or take 0.5 oz." in said
    assert "R-1234yf FLAMMABLE" in said


def test_what_was_not_recorded_is_never_blank() -> None:
    facts = certificate_facts()
    facts = replace(
        facts,
        car=replace(facts.car, vin="", plate="", customer=""),
        final=None,
        doers=(),
        leak_checks=(),
        skipped=(),
    )
    said = text(certificate(facts))

    for name in ("Customer", "VIN", "Plate"):
        assert f"{name} not recorded" in said
    assert "Final readings Not recorded." in said
    assert "People and 609 cards Not recorded." in said
    assert "Leak check Not recorded. No test finds every leak." in said


def test_remarks_and_stages_left_out_are_said() -> None:
    facts = replace(
        certificate_facts(),
        remarks=("K-0312 was 12 g lighter than on its last job.",),
        skipped=(("Leak-test charge", "not needed: none asked for"), ("Check-in", "stopped: lot full")),
    )
    said = text(certificate(facts))

    assert "Remarks K-0312 was 12 g lighter than on its last job." in said
    assert "Leak-test charge Not needed: none asked for." in said
    assert "Check-in Stopped: lot full." in said


def test_a_can_that_was_not_weighed_is_marked() -> None:
    facts = certificate_facts()
    assert facts.charge is not None
    first, second = facts.charge.cans
    facts = replace(facts, charge=replace(facts.charge, cans=(replace(first, origin="from label"), second)))

    assert "K-0311 from label" in text(certificate(facts))


def test_an_earlier_leak_is_not_passed_over() -> None:
    facts = certificate_facts()
    found = replace(facts.leak_checks[0], result="leak found", detail="condenser")
    facts = replace(facts, leak_checks=(found, facts.leak_checks[0]), repairs="condenser replaced")
    said = text(certificate(facts))

    assert "Repaired: condenser replaced. We found a leak first (condenser). We looked again by eye" in said


def test_a_second_version_names_the_one_it_replaces() -> None:
    facts = replace(certificate_facts(), version=2, replaces="Replaces version 1 of Jun 11. Name put right.")
    said = text(certificate(facts))

    assert "Replaces version 1 of Jun 11. Name put right." in said
    assert "C26-0187 · version 2" in said


def test_a_sum_that_does_not_hold_makes_no_paper() -> None:
    facts = certificate_facts()
    assert facts.charge is not None

    with pytest.raises(ValueError, match="where the charge went"):
        certificate(replace(facts, charge=replace(facts.charge, vehicle_ug=504 * G)))


@given(
    outs=st.lists(st.integers(1, 400 * G), min_size=1, max_size=6),
    parts=st.lists(st.integers(0, 40 * G), min_size=4, max_size=4),
)
def test_the_cans_and_the_losses_add_up_as_printed(outs: list[int], parts: list[int]) -> None:
    facts = certificate_facts()
    assert facts.charge is not None
    hoses, purge, released, back = parts
    charge = replace(
        facts.charge,
        cans=tuple(CanFacts(f"K-{n}", "L", "1 g", "1 g", out, "SC-1", "", "") for n, out in enumerate(outs)),
        out_ug=sum(outs),
        hoses_ug=hoses,
        purge_ug=purge,
        released_ug=released,
        recovered_back_ug=back,
        vehicle_ug=sum(outs) - sum(parts),
        deviation_ug=None,
    )
    rows = {row[0]: figure(row[4]) for row in cans(certificate(replace(facts, charge=charge))).rows[:-2]}
    weighed = sum(value for name, value in rows.items() if name.startswith("K-"))
    went = sum(rows.get(name, 0) for name in ("Left in the hoses", "Purged", "Recovered back", "Released"))

    assert weighed == rows["Out of cans"]
    assert rows["Out of cans"] + went == rows["Into the vehicle"]
    assert abs(rows["Into the vehicle"] * G // 10 - charge.vehicle_ug) < G // 10
    assert charge_sum(charge).check.startswith(
        cans(certificate(replace(facts, charge=charge))).rows[len(outs)][4]
    )
