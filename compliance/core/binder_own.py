"""The second part of the binder: the shop's own records, and what its state asks for."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.binder_facts import BinderFacts, CheckedLine, CountFacts, MachineFacts, ShipmentLine
from compliance.core.binder_federal import TabOf
from compliance.core.binder_work import work_tab
from compliance.core.paper import Block, Note, Pairs, Table
from compliance.core.usage_account import Accounts
from compliance.core.usage_lists import job_tables, purchases_table, releases_table
from compliance.core.wording import day, grams, moment, number, said, signed
from shop.core.phrase import joined, phrase, word

SHOP_RULE = phrase("Shop rule")


def own_tabs(facts: BinderFacts, sums: Accounts) -> Iterator[TabOf]:
    usage = facts.usage
    yield TabOf("shop", phrase("The shop"), "", (_shop(facts),))
    yield work_tab(facts)
    pieces = phrase(
        "pieces: {pieces}, checks: {checks}", pieces=len(facts.equipment), checks=len(facts.checks)
    )
    yield TabOf("equipment", phrase("Equipment and its checks"), pieces, tuple(_equipment(facts)))
    if facts.shipments:
        sent = grams(sum(one.net_ug for one in facts.shipments))
        yield TabOf("shipments", phrase("Shipments by weight"), sent, (_shipments(facts.shipments),))
    jobs = f"{len(usage.jobs):,}"
    yield TabOf("jobs", phrase("Jobs"), jobs, tuple(job_tables(usage, sums)))
    not_weighed = f"{len(facts.unweighed):,}"
    yield TabOf("weighings", phrase("Weights not read from a scale"), not_weighed, (_unweighed(facts),))
    lines = f"{len(usage.purchases):,}"
    yield TabOf("purchases", phrase("Purchases"), lines, (purchases_table(usage, sums),))
    counts = f"{len({one.day for one in facts.counts}):,}"
    yield TabOf("counts", phrase("Counts and differences"), counts, (_counts(facts.counts),))
    slips = f"{len({one.slip for one in facts.corrections}):,}"
    yield TabOf("corrections", phrase("Corrections"), slips, (_corrections(facts),))
    releases = f"{len(usage.releases):,}"
    yield TabOf("releases", phrase("Releases"), releases, (releases_table(usage, sums),))
    rules = f"{len(facts.rules):,}" if facts.rules else phrase("none on file")
    yield TabOf("rules", phrase("State and local rules"), rules, tuple(_rules(facts)))
    visits = f"{len(facts.visits):,}"
    yield TabOf("visits", phrase("Earlier visits"), visits, (_visits(facts),))


def _shop(facts: BinderFacts) -> Pairs:
    return Pairs(
        phrase("The shop"),
        (
            (phrase("Name"), facts.shop.name),
            (phrase("In law"), said(facts.legal_name)),
            (phrase("Address"), said(facts.shop.address)),
            (phrase("Phone"), said(facts.shop.phone)),
            (phrase("State number"), said(facts.shop.state_number)),
            (phrase("Owner"), joined(", ", facts.owners) or said("")),
            (phrase("May sign too"), joined(", ", facts.officers) or phrase("none named")),
            (phrase("Rule packs"), facts.packs),
        ),
    )


def _equipment(facts: BinderFacts) -> Iterator[Block]:
    yield Table(
        phrase("Equipment"),
        (phrase("Code"), phrase("What"), phrase("On its plate"), phrase("In service")),
        tuple((one.code, _what(one), _plate(one), _service(one)) for one in facts.equipment),
        empty=phrase("None is on file."),
        asked_by=SHOP_RULE,
    )
    yield Table(
        phrase("Checks"),
        (phrase("Day"), phrase("Code"), phrase("Against"), phrase("Off, g"), phrase("Result")),
        tuple(_check(one) for one in facts.checks),
        numeric=(3,),
        empty=phrase("No check was made in these days."),
        asked_by=SHOP_RULE,
    )


def _what(one: MachineFacts) -> str:
    does = [word(one.does)] if one.does else []
    return joined("\n", [word(one.kind), *does, *([one.refrigerants] if one.refrigerants else [])])


def _plate(one: MachineFacts) -> str:
    named = joined(", ", [part for part in (one.maker, one.model, one.made, one.serial) if part])
    return joined("\n", [part for part in (named, one.standard) if part]) or said("")


def _service(one: MachineFacts) -> str:
    if not one.until:
        return phrase("since {day}", day=day(one.since))
    return phrase("{first} to {last}", first=day(one.since), last=day(one.until))


def _check(one: CheckedLine) -> tuple[str, ...]:
    off = signed(one.off_ug, 1) if one.off_ug is not None else "–"
    return (
        day(one.day),
        one.code,
        one.against,
        off,
        phrase("passed") if one.passed else phrase("did not pass"),
    )


def _shipments(lines: tuple[ShipmentLine, ...]) -> Table:
    rows = [
        (
            day(one.day),
            one.number,
            one.facility,
            one.cylinder,
            one.refrigerant,
            number(one.net_ug),
            number(one.theirs_ug) if one.theirs_ug is not None else "–",
            one.receipt or phrase("none yet"),
        )
        for one in lines
    ]
    rows.append((phrase("All"), "", "", "", "", number(sum(one.net_ug for one in lines)), "", ""))
    columns = (
        phrase("Day"),
        phrase("Shipment"),
        phrase("Facility"),
        phrase("Cylinder"),
        phrase("Holds"),
        phrase("Ours, g"),
        phrase("Theirs, g"),
        phrase("Receipt"),
    )
    return Table(
        phrase("Shipments"), columns, tuple(rows), numeric=(5, 6), strong=(len(rows) - 1,), asked_by=SHOP_RULE
    )


def _unweighed(facts: BinderFacts) -> Table:
    return Table(
        phrase("Not read from a scale at the time"),
        (
            phrase("Day"),
            phrase("Ticket"),
            phrase("Of"),
            phrase("Says"),
            phrase("How"),
            phrase("By"),
            phrase("Job"),
        ),
        tuple(
            (
                day(one.day),
                f"{one.ticket}",
                one.container,
                one.reading,
                word(one.origin),
                one.by,
                one.job or "–",
            )
            for one in facts.unweighed
        ),
        numeric=(1,),
        empty=phrase("Every weigh ticket of these days was read from a scale."),
        asked_by=SHOP_RULE,
    )


def _counts(lines: tuple[CountFacts, ...]) -> Table:
    return Table(
        phrase("Counts of the cabinet"),
        (
            phrase("Day"),
            phrase("Refrigerant"),
            phrase("Cans"),
            phrase("Expected, g"),
            phrase("Found, g"),
            phrase("Difference, g"),
            phrase("Signed"),
        ),
        tuple(_count(one) for one in lines),
        numeric=(2, 3, 4, 5),
        empty=phrase("The cabinet was not counted in these days."),
        asked_by=SHOP_RULE,
        notes=(
            phrase("Found less expected is the difference; it is booked and never spread over other lines."),
        ),
    )


def _count(one: CountFacts) -> tuple[str, ...]:
    found, expected = one.found_ug, one.expected_ug
    remarks = [phrase("first count")] if one.opening else []
    if one.left_out:
        remarks.append(phrase("{count} left out", count=one.left_out))
    masses = (number(expected), number(found), "–" if one.opening else signed(found - expected))
    return (day(one.day), one.refrigerant, f"{one.lines:,}", *masses, joined("\n", [one.by, *remarks]))


def _corrections(facts: BinderFacts) -> Table:
    return Table(
        phrase("Correction slips"),
        (
            phrase("Slip"),
            phrase("What"),
            phrase("It read"),
            phrase("It should read"),
            phrase("Why, who, when"),
        ),
        tuple(
            (
                joined("\n", [one.slip, one.job, one.certificate]),
                one.what,
                phrase("not shown here") if one.private else one.old or "–",
                phrase("not shown here") if one.private else one.new or "–",
                joined("\n", [one.why, one.by, moment(one.at)]),
            )
            for one in facts.corrections
        ),
        empty=phrase("Nothing was put right in these days."),
        asked_by=SHOP_RULE,
    )


def _rules(facts: BinderFacts) -> Iterator[Block]:
    yield Note(
        joined("\n", [part for part in (facts.packs, facts.state_said) if part]), phrase("Recorded under")
    )
    yield Table(
        phrase("What they ask for"),
        (phrase("Asked by"), phrase("Where"), phrase("What")),
        tuple((one.asked_by, said(one.cite), one.sentence) for one in facts.rules),
        empty=phrase("No state or local rule is on file for this shop."),
        notes=(phrase("What was answered on a job stands on its certificate."),) if facts.rules else (),
    )


def _visits(facts: BinderFacts) -> Table:
    return Table(
        phrase("Visit slips"),
        (
            phrase("Visit"),
            phrase("Day"),
            phrase("Agency"),
            phrase("Here for"),
            phrase("Shown"),
            phrase("Copies"),
        ),
        tuple(
            (one.number, day(one.day), said(one.agency), said(one.why), f"{one.shown:,}", f"{one.copies:,}")
            for one in facts.visits
        ),
        numeric=(4, 5),
        empty=phrase("No earlier visit is recorded."),
        asked_by=SHOP_RULE,
    )
