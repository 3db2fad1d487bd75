"""The service certificate: from the facts of one job to the blocks of its paper.

The fifteen parts stand in one order: head, words, shop, vehicle, system, recovery, leak check, repair, evacuation,
charge, final readings, people, advice, signature, foot. A job that was not charged says instead of the charge and
the final readings what stopped it, how the car stands now, and what the customer chose.
"""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.certificate_charge import charge_blocks, charge_ticket
from compliance.core.certificate_corrections import corrections_table
from compliance.core.certificate_facts import (
    CertificateFacts,
    StopFacts,
)
from compliance.core.certificate_final import final
from compliance.core.certificate_stages import (
    FEDERAL,
    SHOP_RULE,
    absent,
    evacuations,
    leak_checks,
    leak_test,
    left_out,
    recoveries,
    since_last,
)
from compliance.core.certificate_words import in_words, taken_out_first
from compliance.core.charge_sum import label_text, tolerance_text
from compliance.core.known import known, known_list
from compliance.core.paper import Block, Note, Pairs, Paper, Signature, Ticket, Words
from compliance.core.wording import (
    NOT_RECORDED,
    day,
    fingerprint,
    grams,
    listed,
    made_line,
    moment,
    ounces,
    said,
    sentence,
    words,
)
from inventory.core.refrigerants import FLAMMABLE
from shop.core.phrase import joined, made, phrase, word

CHARGED = phrase("SERVICE CERTIFICATE")
NOT_CHARGED = phrase("SERVICE CERTIFICATE – NOT CHARGED")
UNDER_PRESSURE = phrase("Air conditioning is under pressure; have it opened by a certified technician.")
MAY_BE = phrase("It may still hold refrigerant under pressure; have it opened by a certified technician.")
SIGNED_UNDER = phrase(
    "The numbers above were recorded as the work was done; what was not weighed, or was typed later,"
    " is marked."
)


def certificate(facts: CertificateFacts) -> Paper:
    """The paper of one job. Raises ValueError when the sum over the cans does not hold exactly."""
    charged = facts.charge is not None and facts.stop is None
    order = (
        phrase(" · repair order {repair_order}", repair_order=facts.car.repair_order)
        if facts.car.repair_order
        else ""
    )
    return Paper(
        title=CHARGED if charged else NOT_CHARGED,
        number=facts.number,
        version=facts.version,
        dated=joined("", [day(facts.job_day), order]),
        shop=(facts.shop.name,),
        blocks=tuple(_blocks(facts, charged=charged)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        foot=(
            phrase(
                "Job {job}. Recorded under: {recorded_under}. A correction makes a new version; the check address"
                " says whether this one was replaced.",
                job=facts.job,
                recorded_under=known(said(facts.recorded_under)),
            ),
            *(
                (phrase("Rules looked at: {rules}.", rules=known_list(facts.rules_looked_at)),)
                if facts.rules_looked_at
                else ()
            ),
        ),
        replaces=known(facts.replaces),
        practice=facts.practice,
    )


def _blocks(facts: CertificateFacts, *, charged: bool) -> Iterator[Block]:
    yield Words(in_words(facts))
    yield _ticket(facts, charged=charged)
    yield from _who_and_what(facts)
    yield from recoveries(facts)
    yield from since_last(facts)
    yield from leak_checks(facts)
    yield Note(sentence(facts.repairs) or absent(facts, "Repair", phrase("none")), phrase("Repair"))
    if charged or facts.evacuations:
        yield from evacuations(facts)
    yield from leak_test(facts)
    if facts.charge is not None:
        yield from charge_blocks(facts, facts.charge)
    if charged or facts.final is not None:
        yield final(facts)
    if not charged:
        yield from _stopped(facts)
    yield people(facts)
    yield from _asked(facts)
    yield from _advice(facts, charged=charged)
    yield from corrections_table(facts.corrections)
    yield Signature(SIGNED_UNDER, known(said(facts.signed)))


def _ticket(facts: CertificateFacts, *, charged: bool) -> Ticket:
    if charged and facts.charge is not None:
        return charge_ticket(facts, facts.charge)
    first = taken_out_first(facts)
    taken = (
        (phrase("Taken out first"), grams(first), ounces(first))
        if facts.recoveries
        else (phrase("Taken out first"), phrase("nothing"), "")
    )
    return Ticket(((phrase("Into the vehicle"), phrase("not charged"), ""), taken))


# --- Parts 3 to 5


def _who_and_what(facts: CertificateFacts) -> Iterator[Block]:
    shop, car, system = facts.shop, facts.car, facts.system
    reach = [said(shop.address), phrase("phone {phone}", phone=said(shop.phone))]
    if shop.state_number:
        reach.append(phrase("state number {state_number}", state_number=shop.state_number))
    yield Note(joined("\n", [shop.name, joined(" · ", reach)]), phrase("Shop"))
    yield Pairs(
        phrase("Vehicle and customer"),
        (
            (phrase("Customer"), said(car.customer)),
            (phrase("Vehicle"), said(car.description)),
            (phrase("VIN"), said(car.vin)),
            (phrase("Plate"), said(car.plate)),
            (phrase("Odometer"), said(car.odometer)),
            (phrase("Complaint"), word(said(car.complaint))),
        ),
        SHOP_RULE,
    )
    asks = joined(" ", [part for part in (label_text(system), tolerance_text(system)) if part])
    yield Pairs(
        phrase("System"),
        (
            (phrase("Refrigerant"), _tag(system.refrigerant)),
            (phrase("Label charge"), asks),
            (phrase("Source"), words(system.source)),
            *(((phrase("Retrofit"), words(system.retrofit)),) if system.retrofit else ()),
            *(((phrase("Compressor"), words(system.compressor)),) if system.compressor else ()),
        ),
        SHOP_RULE,
    )


def _tag(refrigerant: str) -> str:
    """The name, with the word that its container carries when it burns."""
    return (
        phrase("{refrigerant} FLAMMABLE", refrigerant=refrigerant)
        if refrigerant in FLAMMABLE
        else said(refrigerant)
    )


# --- Parts 12 and 13


def _stopped(facts: CertificateFacts) -> Iterator[Block]:
    stop = facts.stop or StopFacts("", "", "", "", "")
    yield Pairs(
        phrase("Why it stopped"),
        (
            (phrase("Cause"), sentence(said(stop.why))),
            (phrase("Car now"), sentence(said(stop.state_now))),
            (phrase("Choice"), sentence(said(stop.choice))),
            (phrase("Noted by"), joined(", ", [said(stop.by), moment(stop.at)])),
        ),
        SHOP_RULE,
    )
    if any(one.out_ug for one in facts.recoveries):
        yield Note(
            phrase("What was taken out stays with the shop for recycling or shipment."),
            phrase("What came out"),
        )


def people(facts: CertificateFacts) -> Block:
    """Who did what, and the 609 card that was in force on that day."""
    if not facts.doers:
        return Note(sentence(NOT_RECORDED), phrase("People and 609 cards"))
    stages: dict[tuple[str, str, str], list[str]] = {}
    for one in facts.doers:
        stages.setdefault((one.name, one.day, one.standing), []).append(one.stage)
    rows = tuple((name, _stood(facts, on, standing, done)) for (name, on, standing), done in stages.items())
    return Pairs(phrase("People and 609 cards"), rows, FEDERAL)


def _stood(facts: CertificateFacts, on: str, standing: str, done: list[str]) -> str:
    did = sentence(listed([made(str.lower, word(stage)) for stage in dict.fromkeys(done)]))
    when = "" if on == facts.job_day else phrase(" On {on}:", on=day(on))
    return joined(" ", [joined("", [did, when]), sentence(known(standing))])


def _asked(facts: CertificateFacts) -> Iterator[Block]:
    """What a state or a place asks to be looked at or said, with the answers."""
    for one in facts.asked:
        rows = tuple(
            (made(_capital, word(item)), sentence(joined(": ", [word(answer), *([why] if why else [])])))
            for item, answer, why in one.answers
        )
        yield Pairs(word(one.title), (*rows, (phrase("Written in"), known(one.basis))), word(one.asked_by))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _advice(facts: CertificateFacts, *, charged: bool) -> Iterator[Block]:
    shown = ALWAYS_IN_PLACE | (ONLY_WHEN_CHARGED if charged else frozenset())
    left = [(stage, reason) for stage, reason in facts.skipped if stage not in shown]
    if left:
        yield Pairs(
            phrase("Stages left out"),
            tuple((word(stage), sentence(left_out(reason))) for stage, reason in left),
        )
    if facts.remarks:
        yield Note(joined("\n", [sentence(remark) for remark in facts.remarks]), phrase("Remarks"))
    back = phrase("If it blows warm again, come back and bring this paper. ") if charged else ""
    yield Note(
        phrase(
            "{back}Keep this; the next shop will want these numbers.{line}{under_pressure}",
            back=back,
            line="\n",
            under_pressure=UNDER_PRESSURE if charged else MAY_BE,
        ),
        phrase("Advice"),
    )


# Stages whose reason for being left out is said where the stage stands.
ALWAYS_IN_PLACE = frozenset({"Recovery", "Leak check", "Repair", "Leak-test charge"})
ONLY_WHEN_CHARGED = frozenset({"Evacuation", "Final readings"})
