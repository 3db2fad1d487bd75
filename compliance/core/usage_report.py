"""The usage report: from the facts of one period to the blocks of its paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from compliance.core.paper import Block, Note, Pairs, Paper, Signature, Ticket, Words
from compliance.core.usage_account import Accounts, accounts
from compliance.core.usage_bars import month_bars
from compliance.core.usage_co2e import co2e_table
from compliance.core.usage_corrections import changed_note
from compliance.core.usage_lists import closure_table, list_tables
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.core.usage_tables import account_tables
from compliance.core.usage_words import in_one_minute
from compliance.core.wording import (
    counted,
    day,
    fingerprint,
    grams,
    listed,
    made_line,
    moment,
    ounces,
    percent,
    said,
    sentence,
    signed,
)
from shop.core.days import MONTHS

TITLE = "USAGE REPORT"
DRAFT = "DRAFT – not signed"
STATEMENT = (
    "I have reviewed this report. It was made from records entered as the work was done; exceptions are listed"
    " under Quality of the numbers."
)
FORMULA = (
    "Expected = on hand + received − refused later + fill difference − into vehicles − left in hoses − recovered back"
    " − heels − purged or released − returned. Difference = counted − expected. Nothing else is let in, and a"
    " difference is never spread over other lines."
)
MEANINGS = (
    "New refrigerant came in cans from a supplier and is taken in at label weight; what the emptied cans gave more or"
    " less than their label is the fill difference. Recovered refrigerant came out of vehicles into cylinders.",
    "Left in hoses is the shop's allowance. Heels are what was left in an empty can. Released means it got into the"
    " air and was written down.",
    "This is the shop's own account of its refrigerant. It is printed because the shop keeps this book.",
)


def usage_report(facts: UsageReportFacts) -> Paper:
    """The paper of one period. Raises ValueError when an account does not hold to the microgram."""
    sums = accounts(facts)
    shop = facts.shop
    return Paper(
        title=TITLE,
        number=facts.number,
        version=facts.version,
        dated=f"{_period(facts)}",
        shop=(shop.name, said(shop.address), said(shop.phone)),
        blocks=tuple(_blocks(facts, sums)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        foot=(f"Recorded under: {said(facts.recorded_under)}. A correction makes a new version.",),
        replaces=facts.replaces,
        practice=facts.practice,
        state="" if facts.number else DRAFT,
    )


def _blocks(facts: UsageReportFacts, sums: Accounts) -> Iterator[Block]:
    yield Words(in_one_minute(facts, sums))
    if sums.new:
        yield _ticket(sums)
    yield from changed_note(facts)
    if facts.unfinished:
        yield Note("\n".join(sentence(one) for one in facts.unfinished), "Still open")
    yield from account_tables(facts, sums)
    yield from month_bars(facts, sums)
    yield from list_tables(facts, sums)
    if facts.co2e is not None:
        yield co2e_table(facts.co2e, sums)
    yield _quality(facts)
    yield closure_table(facts)
    yield Signature(
        STATEMENT,
        f"{said(facts.signed)}, {moment(facts.made_at)}" if facts.number else "Not signed: this is a draft.",
    )
    rounded = (
        "Every amount is shown to 0.1 g, because some readings were not whole grams; amounts are rounded so that the"
        " printed columns add up."
        if sums.places
        else "Every amount is whole grams. Ounces are rounded by themselves, one ounce being 28.349523125 g."
    )
    yield Note("\n".join([FORMULA, *MEANINGS, rounded]), "How to read this")


def _period(facts: UsageReportFacts) -> str:
    first, last = date.fromisoformat(facts.first), date.fromisoformat(facts.last)
    begin = f"{MONTHS[first.month - 1]}\u00a0{first.day}"
    return (
        f"{begin} to {day(facts.last)}"
        if first.year == last.year
        else f"{day(facts.first)} to {day(facts.last)}"
    )


def _ticket(sums: Accounts) -> Ticket:
    """What went into vehicles, refrigerant by refrigerant; the rest of a long list stands in the tables."""
    figures = []
    for one in sums.new[:3]:
        gas, total = one.facts.refrigerant, sums.into_vehicles(one.facts.refrigerant)
        caption = f"{gas} into {counted(one.facts.vehicle_jobs, 'vehicle')}"
        figures.append((caption, grams(total, sums.places), ounces(total)))
    known = [one for one in sums.new if one.difference is not None]
    parts = [
        f"{one.facts.refrigerant} {signed(one.difference, sums.places)}\u00a0g"
        for one in known
        if one.difference is not None
    ]
    line = f"Counted less expected: {listed(parts)}." if parts else "Not counted on the last day."
    return Ticket(tuple(figures), line)


def _quality(facts: UsageReportFacts) -> Pairs:
    one = facts.quality
    counts = listed([day(on) for on in facts.counts]) or "none in this period"
    weighed = (
        f"{one.weighed:,} of {counted(one.tickets, 'weigh ticket')} ({percent(one.weighed, one.tickets)})"
    )
    return Pairs(
        "Quality of the numbers",
        (
            ("Weighed", weighed),
            ("From label", counted(one.from_label, "ticket")),
            ("Typed later", counted(one.typed_later, "ticket")),
            ("Retyped", counted(one.retyped, "reading")),
            ("Scale checks", f"{one.scale_checks_passed:,} of {one.scale_checks:,} passed"),
            ("Corrections", f"{counted(one.corrections, 'certificate')} reissued in these days"),
            ("Counts", counts),
        ),
    )
