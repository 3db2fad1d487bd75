"""The charge sum of one job: what left the cans, where it went, how sure that is, and what does not add up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from inventory.core.weighing import CanKind, Origin, Style, Ticket, ticket_problems, u_ticket
from inventory.core.weighing_rules import FILL_ALLOWANCE, LABEL_FILL_SPREAD_G, K
from shop.core.decision import Verdict, combined, conformity, u_rectangular, verdict
from shop.core.findings import Finding, blocked, noted, warned
from shop.core.mass import ZERO, Mass, Unit, total
from shop.core.phrase import phrase

SEEN_G = 0.05  # what is less than this above the label is rounding


@dataclass(frozen=True, slots=True)
class CanWeights:
    """One can on a job: its tickets in order, what the book had in it, and its last ticket from before the job."""

    code: str
    lot: str
    refrigerant: str
    kind: CanKind
    book: Mass
    sealed: bool
    tickets: tuple[Ticket, ...]
    previous: Ticket | None
    emptied: bool


@dataclass(frozen=True, slots=True)
class Losses:
    """What left the cans and is not in the vehicle. Half widths are rectangular, ``recovered_back_u_g`` is standard."""

    hoses: Mass
    hoses_half_width_g: float
    purge: Mass
    purge_half_width_g: float
    released: Mass
    recovered_back: Mass
    recovered_back_u_g: float

    @property
    def all(self) -> Mass:
        return self.hoses + self.purge + self.released + self.recovered_back


@dataclass(frozen=True, slots=True)
class ChargeFacts:
    """One job. Tolerances are the vehicle label's own; ``gain_half_width`` is a fraction of what was weighed."""

    refrigerant: str
    cans: tuple[CanWeights, ...]
    losses: Losses
    label: Mass | None
    tolerance_below: Mass | None
    tolerance_above: Mass | None
    gain_half_width: float = 0.001
    repeatability_g: float = 0.0
    recovered_first: bool = True


@dataclass(frozen=True, slots=True)
class Draw:
    """One can's part. ``left`` is what the book still has in it, ``heel`` what it weighs above its shell now.

    With tap or hose on the pan nobody knows what is above the shell: then the heel is what the book has left.
    """

    code: str
    lot: str
    before: Ticket
    after: Ticket
    out: Mass
    heel: Mass
    heel_measured: bool
    left: Mass


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """The sum. ``u_g`` is standard, ``expanded_g`` twice that (about 95 %), ``worst_g`` all parts at their limits."""

    draws: tuple[Draw, ...]
    cans_out: Mass
    vehicle: Mass
    losses: Losses
    u_g: float
    expanded_g: float
    worst_g: float
    deviation: Mass | None
    probability: float | None
    verdict: Verdict
    findings: tuple[Finding, ...]

    @property
    def balances(self) -> bool:
        """Cans out = vehicle + hoses + purge + released + recovered back, to the microgram."""
        return self.cans_out == self.vehicle + self.losses.all


def reconcile(facts: ChargeFacts) -> Reconciliation:
    """Add up one job. Draws are each can's first reading less its last; everything else follows or is a finding."""
    draws = tuple(_draw(can) for can in facts.cans if len(can.tickets) > 1)
    cans_out = total(draw.out for draw in draws)
    vehicle = cans_out - facts.losses.all
    u = _u(facts, cans_out)
    deviation = vehicle - facts.label if facts.label is not None and facts.recovered_first and draws else None
    probability = _probability(facts, deviation, u)
    findings = [
        *(finding for can in facts.cans for finding in _can_findings(can, facts.refrigerant)),
        *_sum_findings(facts, draws, vehicle, deviation),
    ]
    return Reconciliation(
        draws,
        cans_out,
        vehicle,
        facts.losses,
        u,
        2 * u,
        _worst(facts, cans_out),
        deviation,
        probability,
        verdict(probability),
        tuple(findings),
    )


def _draw(can: CanWeights) -> Draw:
    """A can cannot take refrigerant back in: what it weighs more at the end is frost, and then it gave nothing."""
    before, after = can.tickets[0], can.tickets[-1]
    out = max(before.gross - after.gross, ZERO)
    bare, left = after.style is Style.BARE, can.book - out
    heel = after.gross - can.kind.shell if bare else max(left, ZERO)
    measured = bare and after.origin is not Origin.LABEL
    return Draw(can.code, can.lot, before, after, out, heel, measured, left)


def _readings(facts: ChargeFacts) -> list[tuple[Ticket, CanKind]]:
    """The two tickets of each can that count."""
    return [
        (ticket, can.kind)
        for can in facts.cans
        if len(can.tickets) > 1
        for ticket in (can.tickets[0], can.tickets[-1])
    ]


def _u(facts: ChargeFacts, cans_out: Mass) -> float:
    """Standard uncertainty of the vehicle's mass, in grams. The scale's gain is one term, common to all cans."""
    readings, losses = _readings(facts), facts.losses
    return combined(
        *(u_ticket(ticket, kind) for ticket, kind in readings),
        facts.repeatability_g * math.sqrt(len(readings)),
        u_rectangular(facts.gain_half_width * cans_out.grams),
        u_rectangular(losses.hoses_half_width_g),
        u_rectangular(losses.purge_half_width_g),
        losses.recovered_back_u_g,
    )


def _worst(facts: ChargeFacts, cans_out: Mass) -> float:
    """Every part at its limit at once, in grams."""
    losses = facts.losses
    limits = (
        2 * LABEL_FILL_SPREAD_G + kind.shell_spread_g
        if ticket.origin is Origin.LABEL
        else ticket.division.grams / 2
        for ticket, kind in _readings(facts)
    )
    back = losses.recovered_back_u_g * math.sqrt(6)
    gain = facts.gain_half_width * cans_out.grams
    return sum(limits) + gain + losses.hoses_half_width_g + losses.purge_half_width_g + back


def _probability(facts: ChargeFacts, deviation: Mass | None, u: float) -> float | None:
    if deviation is None or facts.tolerance_below is None or facts.tolerance_above is None:
        return None
    return conformity(deviation.grams, u, facts.tolerance_below.grams, facts.tolerance_above.grams)


def _can_findings(can: CanWeights, refrigerant: str) -> Iterator[Finding]:
    if can.refrigerant != refrigerant:
        sentence = phrase(
            "{can} is {refrigerant}; this car takes {takes}. Look at the can again.",
            can=can.code,
            refrigerant=can.refrigerant,
            takes=refrigerant,
        )
        yield blocked("wrong-refrigerant", sentence, can.code)
    previous, first = can.previous, True
    for ticket in can.tickets:
        yield from ticket_problems(
            ticket,
            kind=can.kind,
            can=can.code,
            previous=previous,
            sealed=can.sealed and first,
            first_in_job=first,
            field=can.code,
        )
        previous, first = ticket, False
    if len(can.tickets) < 2:
        yield blocked(
            "missing-after",
            phrase("{can} has a weight before and none after. Weigh it.", can=can.code),
            can.code,
        )
        return
    yield from _more_than_held(can)


def _more_than_held(can: CanWeights) -> Iterator[Finding]:
    draw = _draw(can)
    over = draw.out.grams - can.book.grams
    u = combined(u_ticket(draw.before, can.kind), u_ticket(draw.after, can.kind))
    if over > K * u + FILL_ALLOWANCE * can.kind.net.grams:
        gave, held = draw.out.rounded(Unit.G, 0), can.book.rounded(Unit.G, 0)
        sentence = phrase(
            "{can} gave {gave} g; the book had {held} g in it. That is {over:.0f} g too much: another can, a"
            " unit slip, or a wrong weight? Look at its tickets.",
            can=can.code,
            gave=gave,
            held=held,
            over=over,
        )
        yield blocked("more-than-held", sentence, can.code)
    elif over >= SEEN_G:
        yield noted(
            "fill-difference",
            phrase("{can} gave {over:.1f} g more than the book had in it.", can=can.code, over=over),
            can.code,
        )


def _sum_findings(
    facts: ChargeFacts, draws: tuple[Draw, ...], vehicle: Mass, deviation: Mass | None
) -> Iterator[Finding]:
    if draws and vehicle < ZERO:
        sentence = phrase(
            "Hoses, purge, released and recovered back come to more than the cans gave. Check these numbers."
        )
        yield blocked("losses-exceed-draw", sentence, "hoses")
    if draws and not facts.recovered_first:
        yield noted(
            "total-unknown",
            phrase("Charged without recovery or evacuation: what the system holds in all is unknown."),
        )
    if deviation is not None and facts.tolerance_above is not None and deviation > facts.tolerance_above:
        yield warned(
            "over-label",
            phrase("Over by {deviation} g. What next?", deviation=deviation.rounded(Unit.G, 0)),
            "vehicle",
        )
