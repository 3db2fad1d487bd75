"""The tables of a case file: tickets, scale checks, label, equipment, where the cans came from, earlier visits."""

from __future__ import annotations

from compliance.core.case_file_facts import CaseFileFacts, ScaleCheckFacts
from compliance.core.certificate_words import leak_result
from compliance.core.charge_sum import label_text, tolerance_text
from compliance.core.paper import Pairs, Table
from compliance.core.wording import (
    day,
    grams,
    moment,
    number,
    said,
    signed,
    words,
)
from shop.core.phrase import joined, phrase, word


def tickets_of(facts: CaseFileFacts) -> Table:
    return Table(
        phrase("Weigh tickets, as read"),
        (phrase("Ticket"), phrase("Of"), phrase("Reading"), phrase("Scale"), phrase("When"), phrase("By")),
        tuple(
            (
                f"{one.number}",
                joined("\n", [one.container, word(one.moment)]),
                joined("\n", [one.reading, phrase("it read {stood}", stood=one.stood)])
                if one.stood
                else one.reading,
                joined("\n", [one.scale, word(one.how)]),
                moment(one.at),
                one.by,
            )
            for one in facts.tickets
        ),
        numeric=(0,),
        empty=phrase("Nothing was weighed."),
    )


def checks_of(facts: CaseFileFacts) -> Table:
    return Table(
        phrase("The scale, before and after"),
        (
            phrase("Scale"),
            phrase("Day"),
            phrase("Known, g"),
            phrase("Shown, g"),
            phrase("Off, g"),
            phrase("Result"),
        ),
        tuple(_check(one) for one in facts.checks),
        numeric=(2, 3, 4),
        empty=phrase("No scale was used."),
    )


def _check(one: ScaleCheckFacts) -> tuple[str, ...]:
    side = phrase("before the job") if one.side == "before" else phrase("after the job")
    name = joined("\n", [one.scale, side])
    if not one.day:
        return (name, phrase("missing"), "", "", "", phrase("no check on file"))
    result = phrase("passed") if one.passed else phrase("did not pass")
    if not one.known_ug:
        return (name, day(one.day), "–", "–", "–", joined(", ", [result, said(one.against)]))
    off = signed(one.shown_ug - one.known_ug, 1)
    return (name, day(one.day), number(one.known_ug, 1), number(one.shown_ug, 1), off, result)


def label_of(facts: CaseFileFacts) -> Pairs:
    one = facts.certificate.system
    shown = any(photo.what == "label" for photo in facts.photos)
    return Pairs(
        phrase("Label"),
        (
            (phrase("Refrigerant"), said(one.refrigerant)),
            (
                phrase("Label charge"),
                joined(" ", [part for part in (label_text(one), tolerance_text(one)) if part]),
            ),
            (phrase("Source"), words(one.source)),
            (phrase("Photo"), phrase("shown below") if shown else phrase("missing")),
        ),
    )


def equipment_of(facts: CaseFileFacts) -> Table:
    return Table(
        phrase("Equipment used"),
        (phrase("Code"), phrase("What"), phrase("Plate"), phrase("Standard on its plate")),
        tuple((one.code, word(one.what), said(one.plate), said(one.standard)) for one in facts.equipment),
        empty=phrase("None is on file."),
    )


def origins_of(facts: CaseFileFacts) -> Table:
    return Table(
        phrase("Where the refrigerant came from"),
        (
            phrase("Can"),
            phrase("Kind"),
            phrase("Lot"),
            phrase("Delivery"),
            phrase("Slip"),
            phrase("Supplier"),
            phrase("Day"),
        ),
        tuple(
            (
                one.can,
                one.what,
                said(one.lot),
                said(one.delivery),
                said(one.slip),
                said(one.supplier),
                day(one.day),
            )
            for one in facts.origins
        ),
        empty=phrase("No can was used."),
    )


def visits_of(facts: CaseFileFacts) -> Table:
    return Table(
        phrase("Earlier visits of this vehicle"),
        (
            phrase("Day"),
            phrase("Job"),
            phrase("Refrigerant"),
            phrase("Put in"),
            phrase("Leaks"),
            phrase("Certificate"),
        ),
        tuple(
            (
                day(one.day),
                one.job,
                one.refrigerant,
                grams(one.put_in_ug) if one.put_in_ug is not None else phrase("not charged"),
                leak_result(one.leak),
                one.certificate,
            )
            for one in facts.visits
        ),
        numeric=(3,),
        empty=phrase("This vehicle was not here before."),
    )
