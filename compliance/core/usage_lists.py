"""The lists of a usage report: releases, jobs, technicians, purchases, closures. Each foots to the accounts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.certificate_words import leak_result
from compliance.core.paper import Table
from compliance.core.usage_account import Accounts
from compliance.core.usage_corrections import ROW, corrections_table, parted
from compliance.core.usage_report_facts import (
    JobLine,
    PurchaseLine,
    ReleaseLine,
    TechnicianLine,
    UsageReportFacts,
)
from compliance.core.wording import GLUE, footed, grams, number, said, short_date, signed

INSIDE = {"shown": "inside", "not shown": "not shown", "outside": "outside", "no verdict": "no verdict"}
CLOSURES = {
    "count": "Count: sealed cans found",
    "shelf": "Shelf: a can between two jobs",
    "can": "Can: full less empty against its label",
    "job": "Job: the book against the tickets",
}


def list_tables(facts: UsageReportFacts, sums: Accounts) -> Iterator[Table]:
    """Releases, jobs, technicians and purchases, in this order."""
    yield releases_table(facts, sums)
    yield from job_tables(facts, sums)
    yield _technicians(facts, sums)
    yield from _lots(facts, sums)
    if facts.corrections:
        yield corrections_table(facts, sums.places)
    yield purchases_table(facts, sums)


def job_tables(facts: UsageReportFacts, sums: Accounts) -> Iterator[Table]:
    """The jobs of a period, refrigerant by refrigerant."""
    apart = [line.refrigerant for line in facts.corrections if line.here]
    gases = list(dict.fromkeys([*(line.refrigerant for line in facts.jobs), *apart]))
    if not gases:
        yield Table("Jobs", ("Day",), ())
    for gas in gases:
        mine = [line for line in facts.jobs if line.refrigerant == gas]
        yield _jobs(facts, gas, mine, sums)


def closure_table(facts: UsageReportFacts) -> Table:
    """The four closures that do not depend on each other: each would catch what the others miss."""
    rows = tuple(
        (
            CLOSURES.get(line.name, line.name),
            line.refrigerant,
            f"{line.cases:,}",
            signed(line.residual_ug, 1) if line.cases else "–",
            number(line.u_ug, 1) if line.cases else "–",
            said(line.says),
        )
        for line in facts.closures
    )
    return Table(
        "Four closures",
        ("Closure, in grams", "Refrigerant", "Cases", "Left over", "Give or take", "Where to look"),
        rows,
        numeric=(2, 3, 4),
        notes=(
            "Left over is what does not close, added up over the cases; give or take is one standard uncertainty of"
            " it. More than three times that deserves a look. None of them is made to balance.",
        ),
        empty="Nothing to compare in this period.",
    )


def _to(goal: int, exact: Sequence[int], places: int) -> tuple[tuple[int, ...], bool]:
    """Round a list so that it comes to a figure of the account; False when the exact sums are not the same figure."""
    own = sum(exact)
    if abs(own - goal) < 1_000_000 // 10**places:
        return footed(exact, goal, places), True
    return footed(exact, own, places), False


def _differs(what: str, own: int, goal: int, places: int) -> tuple[str, ...]:
    return (f"▲ Look: {what} come to {grams(own, places)} here and to {grams(goal, places)} in the account.",)


# --- Releases


def releases_table(facts: UsageReportFacts, sums: Accounts) -> Table:
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    notes: tuple[str, ...] = ()
    for gas in dict.fromkeys(line.refrigerant for line in facts.releases):
        lines = [line for line in facts.releases if line.refrigerant == gas]
        goal = sums.released(gas)
        apart = parted(facts.corrections, gas)[2]
        shown, same = _to(goal, [*(line.mass_ug for line in lines), apart], sums.places)
        rows += [_release(facts, line, mass, sums) for line, mass in zip(lines, shown[:-1], strict=True)]
        if apart:
            rows.append(("", ROW, gas, sums.number(shown[-1]), "of another period, below"))
        strong.append(len(rows))
        rows.append((f"All {gas}", "", "", sums.number(sum(shown)), ""))
        if not same and goal > sum(shown):
            notes += (
                f"{gas}: {grams(goal - sum(shown), sums.places)} more in the account was purged from hoses.",
            )
        elif not same:
            notes += _differs(f"releases of {gas}", sum(shown), goal, sums.places)
    return Table(
        "Released, recorded",
        ("Day", "Job", "Refrigerant", "Grams", "Why"),
        tuple(rows),
        numeric=(3,),
        strong=tuple(strong),
        notes=notes,
        empty="No release was recorded in this period.",
    )


def _release(facts: UsageReportFacts, line: ReleaseLine, mass: int, sums: Accounts) -> tuple[str, ...]:
    on = short_date(line.day, facts.first, facts.last)
    return (on, said(line.job), line.refrigerant, sums.number(mass), said(line.why))


# --- Jobs and technicians


def _jobs(facts: UsageReportFacts, gas: str, lines: Sequence[JobLine], sums: Accounts) -> Table:
    places = sums.places
    more_in, more_out, _ = parted(facts.corrections, gas)
    out, out_same = _to(sums.out_of_vehicles(gas), [*(line.recovered_ug for line in lines), more_out], places)
    into, into_same = _to(
        sums.into_vehicles(gas), [*(line.charged_ug or 0 for line in lines), more_in], places
    )
    notes: tuple[str, ...] = ()
    if not out_same:
        notes += _differs("recoveries", sum(out), sums.out_of_vehicles(gas), places)
    if not into_same:
        notes += _differs("charges", sum(into), sums.into_vehicles(gas), places)
    rows = [_job(facts, *line, sums) for line in zip(lines, out[:-1], into[:-1], strict=True)]
    if more_in or more_out:
        moved = (signed(out[-1], places), "", signed(into[-1], places))
        rows.append(("", ROW, "of another period, below", *moved, "", "", ""))
    jobs = f"{len(lines):,}{GLUE}jobs"
    rows.append(("All", jobs, "", sums.number(sum(out)), "", sums.number(sum(into)), "", "", ""))
    return Table(
        f"Jobs, {gas}, in grams",
        ("Day", "Job", "Vehicle", "Out", "Leaks", "In", "Label", "Difference", "By"),
        tuple(rows),
        numeric=(3, 5, 6, 7),
        strong=(len(rows) - 1,),
        notes=notes,
    )


def _job(facts: UsageReportFacts, line: JobLine, out: int, into: int, sums: Accounts) -> tuple[str, ...]:
    paper = line.certificate.replace(" version ", " v")
    charged = line.charged_ug is not None
    label = number(line.label_ug) if line.label_ug is not None and charged else "–"
    away = (
        signed(line.deviation_ug, sums.places)
        if line.deviation_ug is not None
        else "unknown"
        if charged
        else "–"
    )
    verdict = INSIDE.get(line.verdict, "") if line.deviation_ug is not None else ""
    return (
        short_date(line.day, facts.first, facts.last),
        f"{line.job}\n{paper}",
        said(line.vehicle),
        sums.number(out),
        leak_result(line.leak) + ("" if charged else "\nnot charged"),
        sums.number(into) if charged else "–",
        label,
        "\n".join(part for part in (away, verdict) if part),
        said(line.technician),
    )


def _technicians(facts: UsageReportFacts, sums: Accounts) -> Table:
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    notes: tuple[str, ...] = ()
    for gas in dict.fromkeys(line.refrigerant for line in facts.technicians):
        lines = [line for line in facts.technicians if line.refrigerant == gas]
        goal = sums.into_vehicles(gas)
        apart = parted(facts.corrections, gas)[0]
        shown, same = _to(goal, [*(line.charged_ug for line in lines), apart], sums.places)
        rows += [_technician(line, mass, sums) for line, mass in zip(lines, shown[:-1], strict=True)]
        if apart:
            rows.append((ROW, gas, "", signed(shown[-1], sums.places), "of another period"))
        strong.append(len(rows))
        jobs, cards = sum(line.jobs for line in lines), sum(line.cards_in_force for line in lines)
        rows.append((f"All {gas}", "", f"{jobs:,}", sums.number(sum(shown)), f"{cards:,} of {jobs:,}"))
        notes += () if same else _differs(f"charges of {gas}", sum(shown), goal, sums.places)
    return Table(
        "By technician",
        ("Technician", "Refrigerant", "Jobs", "Charged, g", "609 cards"),
        tuple(rows),
        numeric=(2, 3, 4),
        strong=tuple(strong),
        notes=(*notes, "609 cards: the jobs on whose day the technician's card was in force.")
        if rows
        else (),
        empty="No charge in this period.",
    )


def _technician(line: TechnicianLine, mass: int, sums: Accounts) -> tuple[str, ...]:
    cards = f"{line.cards_in_force:,} of {line.jobs:,}"
    return (said(line.name), line.refrigerant, f"{line.jobs:,}", sums.number(mass), cards)


# --- Lots


def _lots(facts: UsageReportFacts, sums: Accounts) -> Iterator[Table]:
    """Out of cans by lot: into vehicles, hoses, back into cylinders or released. Foots to itself only, since a can
    that is lost outside a car is in the account and on no job."""
    if not facts.lots:
        return
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    for gas in dict.fromkeys(line.refrigerant for line in facts.lots):
        lines = [line for line in facts.lots if line.refrigerant == gas]
        out = [line.out_ug for line in lines]
        shown = footed(out, sum(out), sums.places)
        for line, mass in zip(lines, shown, strict=True):
            lot = line.lot or "no lot"
            rows.append((gas, lot, f"{line.cans:,}", f"{line.jobs:,}", sums.number(mass)))
        strong.append(len(rows))
        rows.append((f"All {gas}", "", f"{sum(line.cans for line in lines):,}", "", sums.number(sum(shown))))
    yield Table(
        "By lot, out of cans",
        ("Refrigerant", "Lot", "Cans", "Jobs", "Out, g"),
        tuple(rows),
        numeric=(2, 3, 4),
        strong=tuple(strong),
        notes=("Out of the cans on jobs: into vehicles, left in hoses, recovered back, purged or released.",),
    )


# --- Purchases


def purchases_table(facts: UsageReportFacts, sums: Accounts) -> Table:
    lines = facts.purchases
    exact = [line.mass_ug for line in lines]
    received = sum(one.received for one in sums.new)
    shown, same = _to(received, exact, sums.places)
    rows = [_purchase(facts, line, mass, sums) for line, mass in zip(lines, shown, strict=True)]
    if rows:
        cans = sum(line.cans for line in lines)
        rows.append(("All", "", "", "", "", f"{cans:,}", sums.number(sum(shown)), ""))
    return Table(
        "Purchases",
        ("Day", "Supplier", "Slip\ninvoice", "Lots", "What", "Cans", "Grams", "609 card asked for"),
        tuple(rows),
        numeric=(5, 6),
        strong=(len(rows) - 1,) if rows else (),
        notes=() if same or not rows else _differs("purchases", sum(shown), received, sums.places),
        empty="Nothing was received in this period.",
    )


def _purchase(facts: UsageReportFacts, line: PurchaseLine, mass: int, sums: Accounts) -> tuple[str, ...]:
    papers = f"{said(line.slip)}\n{line.invoice or 'no invoice'}"
    what = (said(line.supplier), papers, said(line.lots), said(line.what))
    on = short_date(line.day, facts.first, facts.last)
    return (on, *what, f"{line.cans:,}", sums.number(mass), said(line.asked))
