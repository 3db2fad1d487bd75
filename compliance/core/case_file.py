"""The case file: one job, everything, on one paper, for a comeback or an insurer.

First what was put in and how far off it could be at the very worst, then what is missing, then the records themselves.
What was not written down is printed as missing; nothing is filled in, no price stands here and no other customer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.case_file_facts import CaseFileFacts
from compliance.core.case_file_tables import (
    checks_of,
    equipment_of,
    label_of,
    origins_of,
    tickets_of,
    visits_of,
)
from compliance.core.certificate import people
from compliance.core.certificate_charge import charge_blocks, charge_ticket
from compliance.core.certificate_corrections import corrections_table
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.certificate_final import final
from compliance.core.certificate_stages import (
    absent,
    evacuations,
    leak_checks,
    leak_test,
    recoveries,
    since_last,
)
from compliance.core.certificate_words import in_words
from compliance.core.charge_sum import charge_sum, tolerance_text
from compliance.core.known import known
from compliance.core.paper import Block, Note, Pairs, Paper, Picture, Pictures, Signature, Words
from compliance.core.wording import (
    day,
    fingerprint,
    grams,
    listed,
    made_line,
    moment,
    said,
    sentence,
)
from shop.core.phrase import joined, phrase, word

TITLE = phrase("CASE FILE")
STATEMENT = phrase(
    "This file was put together from the shop's records as they stood then. Nothing in it was written for it, and what"
    " is missing is said."
)


def case_file(facts: CaseFileFacts, pictures: Sequence[Picture] = ()) -> Paper:
    """The paper of one case. ``pictures`` are the photos that the facts name, for the PDF."""
    one = facts.certificate
    return Paper(
        title=TITLE,
        number=facts.number,
        version=facts.version,
        dated=joined(
            " · ", [day(facts.made_at), phrase("job {job} of {day}", job=one.job, day=day(one.job_day))]
        ),
        shop=(one.shop.name, said(one.shop.address), said(one.shop.phone)),
        blocks=tuple(_blocks(facts, pictures)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        foot=(
            phrase(
                "Certificate {paper} is a paper of its own; its check address says whether it holds.",
                paper=paper_of(one),
            ),
        ),
        practice=facts.practice,
    )


def paper_of(one: CertificateFacts) -> str:
    return (
        one.number
        if one.version == 1
        else phrase("{number} version {version}", number=one.number, version=one.version)
    )


def worst_case(one: CertificateFacts) -> str:
    """ "503 g, give or take 4.5 g at the worst, against 500 g ± 20 g": every reading off by half a step in the worst
    direction at once, hoses, purge and the scale itself at their limits."""
    charge, system = one.charge, one.system
    if charge is None:
        return phrase("Nothing was put into the vehicle.")
    sums = charge_sum(charge)
    put_in, worst = grams(sums.vehicle, sums.places), grams(charge.worst_ug, 1)
    if system.charge_ug is None:
        return phrase(
            "{put_in}, give or take {worst} at the worst. The label's charge is not recorded.",
            put_in=put_in,
            worst=worst,
        )
    against = " ".join(
        part
        for part in (
            grams(system.charge_ug, 0 if system.charge_ug % 1_000_000 == 0 else 1),
            tolerance_text(system),
        )
        if part
    )
    told = phrase(
        "{put_in}, give or take {worst} at the worst, against {against}.",
        put_in=put_in,
        worst=worst,
        against=against,
    )
    return joined(" ", [told, _at_the_worst(one)])


def _at_the_worst(one: CertificateFacts) -> str:
    charge, system = one.charge, one.system
    if charge is None or charge.deviation_ug is None:
        return phrase("The system was not emptied first, so its total is unknown.")
    below, above = system.tolerance_below_ug, system.tolerance_above_ug
    if below is None or above is None:
        return phrase("The label gives no tolerance.")
    low, high = charge.deviation_ug - charge.worst_ug, charge.deviation_ug + charge.worst_ug
    if -below <= low and high <= above:
        return phrase("Even at the worst it is inside the tolerance.")
    if high < -below or low > above:
        return phrase("Even at the worst it is outside the tolerance.")
    return phrase("At the worst it could be outside the tolerance.")


def missing(facts: CaseFileFacts) -> list[str]:
    """What somebody would look for and not find, in the order of the work."""
    one = facts.certificate
    asked = (
        (not one.car.vin, phrase("the VIN")),
        (not one.car.odometer, phrase("the odometer")),
        (one.system.charge_ug is None, phrase("the label's charge")),
        (not any(photo.what == "label" for photo in facts.photos), phrase("a photo of the label")),
        (not any(photo.what == "scale" for photo in facts.photos), phrase("a photo of the scale")),
        (not one.recoveries, phrase("a recovery")),
        (not one.leak_checks, phrase("a leak check")),
        (not one.evacuations, phrase("an evacuation")),
        (not any(each.hold_minutes for each in one.evacuations), phrase("a vacuum hold")),
        (one.charge is None, phrase("a charge")),
        (one.final is None, phrase("final readings")),
        (
            any(not each.card for each in one.doers),
            phrase("a 609 card in force for somebody who did a stage"),
        ),
    )
    found: list[str] = [what for lacks, what in asked if lacks]
    for check in facts.checks:
        if not check.day and check.side == "before":
            found.append(phrase("a check of {scale} before the job", scale=check.scale))
        elif not check.day:
            found.append(phrase("a check of {scale} after the job", scale=check.scale))
    return found


def _blocks(facts: CaseFileFacts, pictures: Sequence[Picture]) -> Iterator[Block]:
    one = facts.certificate
    yield Words(joined("\n", [in_words(one), worst_case(one)]))
    if one.charge is not None:
        yield charge_ticket(one, one.charge)
    yield Pairs(phrase("This case"), tuple(_case(facts)))
    lacks = missing(facts)
    yield Note(
        sentence(listed(lacks)) if lacks else phrase("Nothing that this file asks for."), phrase("Missing")
    )
    yield tickets_of(facts)
    if one.charge is not None:
        yield from charge_blocks(one, one.charge)
    yield checks_of(facts)
    yield label_of(facts)
    yield from _work(one)
    yield people(one)
    yield equipment_of(facts)
    yield origins_of(facts)
    yield from corrections_table(one.corrections)
    if not one.corrections:
        yield Note(phrase("None."), phrase("Corrected after closing"))
    if one.remarks:
        yield Note(joined("\n", [sentence(remark) for remark in one.remarks]), phrase("Remarks"))
    yield visits_of(facts)
    yield from _photos(facts, pictures)
    yield Signature(STATEMENT, known(said(facts.signed)))


def _work(one: CertificateFacts) -> Iterator[Block]:
    """The stages as the certificate prints them."""
    yield from recoveries(one)
    yield from since_last(one)
    yield from leak_checks(one)
    yield Note(sentence(one.repairs) or absent(one, "Repair", phrase("none")), phrase("Repair"))
    yield from evacuations(one)
    yield from leak_test(one)
    if one.final is not None:
        yield final(one)


def _case(facts: CaseFileFacts) -> Iterator[tuple[str, str]]:
    one, hold = facts.certificate, facts.hold
    yield phrase("Why"), sentence(said(facts.why))
    yield (
        phrase("Certificate"),
        joined(", ", [paper_of(one), phrase("signed: {signed}", signed=known(said(one.signed)))]),
    )
    yield phrase("Customer"), said(one.car.customer)
    yield phrase("Vehicle"), said(one.car.description)
    yield phrase("VIN"), said(one.car.vin)
    yield phrase("Plate"), said(one.car.plate)
    yield phrase("Odometer"), said(one.car.odometer)
    yield phrase("Complaint"), word(said(one.car.complaint))
    on = (
        phrase("since {moment}, {by}: {why}", moment=moment(hold.at), by=hold.by, why=hold.why)
        if hold
        else phrase("no")
    )
    yield phrase("On hold"), on


def _photos(facts: CaseFileFacts, pictures: Sequence[Picture]) -> Iterator[Block]:
    if not facts.photos:
        yield Note(phrase("No photo was taken."), phrase("Photos"))
        return
    lines = [
        joined(
            ", ",
            [word(one.what), said(one.caption) if one.caption else word(one.stage), one.by, moment(one.at)],
        )
        for one in facts.photos
    ]
    yield Pictures(phrase("Photos"), tuple(lines), tuple(pictures))
