"""The charge on a service certificate: the sum over the cans, how sure it is, and what the label makes of it."""

from __future__ import annotations

from compliance.core.certificate_facts import CanFacts, CertificateFacts, ChargeFactsPrinted, System
from compliance.core.charge_sum import (
    VERDICTS,
    ChargeSum,
    charge_sum,
    give_or_take,
    label_grams,
    label_ounces,
    tolerance_text,
    verdict_sentence,
)
from compliance.core.known import known
from compliance.core.paper import Pairs, Table, Ticket
from compliance.core.wording import (
    footed,
    grams,
    listed,
    number,
    ounce_number,
    ounces,
    said,
    sentence,
    signed,
    signed_ounces,
    span,
)
from shop.core.phrase import joined, phrase, word


def charge_ticket(facts: CertificateFacts, charge: ChargeFactsPrinted) -> Ticket:
    """What went into the vehicle, huge, beside what the label asks for."""
    sums, system = charge_sum(charge), facts.system
    figures: list[tuple[str, str, str]] = [
        (phrase("Into the vehicle"), grams(sums.vehicle, sums.places), ounces(sums.vehicle))
    ]
    if system.charge_ug is not None:
        unit = "  ".join(part for part in (label_ounces(system), tolerance_text(system)) if part)
        figures.append((phrase("The label asks for"), label_grams(system), unit))
        figures.append(_difference_figure(system, charge, sums))
    return Ticket(tuple(figures), _went(sums))


def _difference_figure(system: System, charge: ChargeFactsPrinted, sums: ChargeSum) -> tuple[str, str, str]:
    if charge.deviation_ug is None or system.charge_ug is None:
        return (phrase("Total in the system"), phrase("unknown"), phrase("not emptied first"))
    word = (
        VERDICTS.get(charge.verdict, phrase("no verdict"))
        if tolerance_text(system)
        else phrase("no tolerance, no verdict")
    )
    shown = signed(_difference(sums, system.charge_ug), sums.places)
    return (phrase("Difference"), f"{shown}\u00a0g", word)


def _difference(sums: ChargeSum, label_ug: int) -> int:
    """Of the two figures as they are printed, so that a reader gets the same."""
    (label,) = footed([label_ug], label_ug, sums.places)
    return sums.vehicle - label


def _went(sums: ChargeSum) -> str:
    """Where what left the cans went, in words; the parts that are nothing are left to the table."""
    parts = [
        (sums.vehicle, phrase("in the vehicle")),
        (sums.hoses, phrase("left in the hoses")),
        (sums.purge, phrase("purged")),
        (sums.released, phrase("released")),
        (sums.back, phrase("recovered back")),
    ]
    shown = [joined(" ", [grams(amount, sums.places), where]) for amount, where in parts if amount]
    return phrase(
        "{out} out of the cans = {where}.",
        out=grams(sums.out, sums.places),
        where=joined(" + ", shown) if shown else phrase("0 g anywhere"),
    )


def charge_blocks(facts: CertificateFacts, charge: ChargeFactsPrinted) -> tuple[Pairs, Table]:
    """Part 10 of a certificate."""
    scales = listed(list(dict.fromkeys(can.scale for can in charge.cans if can.scale)))
    put_in = Pairs(
        phrase("Put in (charge)"),
        (
            (phrase("By"), said(charge.by)),
            (phrase("When"), span(charge.started, charge.ended, facts.job_day)),
            (
                phrase("Scale"),
                joined(", ", [said(scales), known(charge.scale_check) or phrase("check not recorded")]),
            ),
            (
                phrase("Weighed as"),
                said(
                    listed(
                        [word(style) for style in dict.fromkeys(can.style for can in charge.cans) if style]
                    )
                ),
            ),
        ),
        phrase("Shop rule"),
    )
    return put_in, _table(facts.system, charge, charge_sum(charge))


def _table(system: System, charge: ChargeFactsPrinted, sums: ChargeSum) -> Table:
    rows = [_can(can, out, sums) for can, out in zip(charge.cans, sums.cans, strict=True)]
    strong = [len(rows)]
    rows.append(_total(phrase("Out of cans"), sums.out, sums))
    rows += [
        _part(name, amount, sums)
        for name, amount, always in (
            (phrase("Left in the hoses"), sums.hoses, True),
            (phrase("Purged"), sums.purge, False),
            (phrase("Recovered back"), sums.back, True),
            (phrase("Released"), sums.released, True),
        )
        if always or amount
    ]
    strong.append(len(rows))
    rows.append(_total(phrase("Into the vehicle"), sums.vehicle, sums))
    rows += _against_label(system, charge, sums)
    if charge.deviation_ug is not None and system.charge_ug is not None:
        strong.append(len(rows) - 1)
    return Table(
        phrase("Weighed, can by can"),
        (
            phrase("Can"),
            phrase("Lot"),
            phrase("Before"),
            phrase("After"),
            phrase("Out, g"),
            phrase("Out, oz"),
        ),
        tuple(rows),
        numeric=(2, 3, 4, 5),
        strong=tuple(strong),
        notes=_notes(system, charge, sums),
    )


def _can(can: CanFacts, out: int, sums: ChargeSum) -> tuple[str, ...]:
    code = can.code if can.origin in ("", "weighed") else joined("\n", [can.code, word(can.origin)])
    return (
        code,
        said(can.lot),
        said(can.before),
        said(can.after),
        number(out, sums.places),
        ounce_number(can.out_ug),
    )


def _total(name: str, amount: int, sums: ChargeSum) -> tuple[str, ...]:
    return (name, "", "", "", number(amount, sums.places), ounce_number(amount))


def _part(name: str, amount: int, sums: ChargeSum) -> tuple[str, ...]:
    return (name, "", "", "", number(-amount, sums.places), ounce_number(-amount))


def _against_label(system: System, charge: ChargeFactsPrinted, sums: ChargeSum) -> list[tuple[str, ...]]:
    if system.charge_ug is None:
        return [(phrase("The label asks for"), "", "", "", phrase("not recorded"), "")]
    label = (phrase("The label asks for"), "", "", tolerance_text(system))
    rows = [(*label, number(system.charge_ug, sums.places), ounce_number(system.charge_ug))]
    if charge.deviation_ug is None:
        return [*rows, (phrase("Difference"), "", "", "", phrase("unknown"), phrase("unknown"))]
    away = _difference(sums, system.charge_ug)
    return [*rows, (phrase("Difference"), "", "", "", signed(away, sums.places), signed_ounces(away))]


def _notes(system: System, charge: ChargeFactsPrinted, sums: ChargeSum) -> tuple[str, ...]:
    notes = [
        phrase(
            "Check: {check} (vehicle, hoses,{purged} recovered back, released).",
            check=sums.check,
            purged=phrase(" purged,") if sums.purge else "",
        ),
        phrase(
            "Give or take {charge} (two standard uncertainties), {worst_ug} at the worst.",
            charge=give_or_take(charge),
            worst_ug=grams(charge.worst_ug, 1),
        ),
        verdict_sentence(system, charge),
    ]
    if charge.hoses_ug or charge.hoses_basis:
        notes.append(sentence(phrase("Hoses: {hoses_basis}", hoses_basis=known(said(charge.hoses_basis)))))
    if charge.released_ug or charge.released_why:
        notes.append(sentence(phrase("Released: {released_why}", released_why=said(charge.released_why))))
    finer = phrase("; a tenth of a gram is shown where readings were not whole grams") if sums.places else ""
    notes.append(
        phrase("Grams add up as printed; ounces are each rounded by themselves{finer}.", finer=finer)
    )
    return tuple(notes)
