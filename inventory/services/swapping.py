"""What puts containers right afterwards: two cans that were taken for each other, a cylinder that is mixed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ledger import Leg, Purpose
from inventory.core.weighing import u_difference
from inventory.core.weighing_rules import FROST, K
from inventory.models import Container, CountLine, MixedMark, Movement, SwapSlip, WeighTicket
from inventory.posting import post
from inventory.queries import last_ticket
from inventory.services.weighing import TicketIn, weigh
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass, Unit
from shop.core.phrase import phrase
from shop.models import Person
from shop.services import next_number


@dataclass(frozen=True, slots=True)
class SwapIn:
    """Two cans weighed now: ``heavier`` shows more than its last ticket, ``lighter`` less by as much."""

    heavier: Container
    lighter: Container
    heavier_now: TicketIn
    lighter_now: TicketIn
    why: str


@transaction.atomic
def swap_cans(swap: SwapIn, *, on: date, at: datetime, by: Person) -> SwapSlip:
    """One slip for two cans that were taken for each other: the book moves what the scale shows, and both are weighed.

    Refused unless the one gained what the other lost, within the scale and a frost film on each (3 g), and when an open
    job has either of them: there the tickets themselves can be put right.
    """
    refuse_if_blocked(_swap_problems(swap))
    establishment, moved = swap.heavier.establishment, _moved(swap)
    number = f"CS{on:%y}-{next_number(f'CS{on:%y}', establishment, by=by):04d}"
    text = f"{number}: {swap.lighter} was used and written against {swap.heavier}"
    entry = post(establishment, _legs(swap, moved), on=on, text=text, at=at, by=by)
    return SwapSlip.objects.create(
        establishment=establishment,
        number=number,
        heavier=swap.heavier,
        lighter=swap.lighter,
        heavier_ticket=weigh(swap.heavier, swap.heavier_now, at=at, by=by),
        lighter_ticket=weigh(swap.lighter, swap.lighter_now, at=at, by=by),
        entry=entry,
        why=swap.why.strip(),
        at=at,
        by=by,
    )


def _legs(swap: SwapIn, moved: Mass) -> list[Leg]:
    """From the lighter can to the heavier one. What a count has booked of it as a difference is taken back first."""
    heavier, lighter, legs = swap.heavier.code, swap.lighter.code, []
    lacked = min(moved, max(ZERO - _counted(swap.lighter), ZERO))
    if lacked > ZERO:
        legs.append(Leg("unexplained", lighter, lacked, Purpose.COUNTED))
    legs.append(Leg(lighter, heavier, moved, Purpose.SWAPPED))
    too_much = min(moved, max(_counted(swap.heavier), ZERO))
    if too_much > ZERO:
        legs.append(Leg(heavier, "unexplained", too_much, Purpose.COUNTED))
    return legs


def _moved(swap: SwapIn) -> Mass:
    """What the book moves: what both cans show, and no more than the lighter one's book had before a count."""
    more = gained(swap.heavier, swap.heavier_now.reading.mass)
    less = ZERO - gained(swap.lighter, swap.lighter_now.reading.mass)
    code = swap.lighter.code
    held = Movement.objects.balances([code])[code] + max(ZERO - _counted(swap.lighter), ZERO)
    return min((more, less, held), key=lambda mass: mass.ug)


def gained(can: Container, now: Mass) -> Mass:
    """What the can weighs more than it should by its last ticket before a count; less than nothing when it lost."""
    last = _last_before_count(can)
    should = last.gross if last is not None else can.can.type.net + can.can.type.shell
    return now - should


def _count_line(can: Container) -> CountLine | None:
    """The line of the count that weighed the can last, when nothing has been weighed since."""
    last = last_ticket(can)
    if last is None:
        return None
    lines = CountLine.objects.filter(container=can, how=CountLine.How.WEIGHED, count__opening=False)
    return lines.filter(count__at__gte=last.at).order_by("-pk").first()


def _counted(can: Container) -> Mass:
    """What that count booked as this can's difference."""
    line = _count_line(can)
    return ZERO if line is None else line.difference


def _last_before_count(can: Container) -> WeighTicket | None:
    last = last_ticket(can)
    if last is None or _count_line(can) is None:
        return last
    tickets = WeighTicket.objects.filter(container=can, set_aside=None, number__lt=last.number)
    return tickets.order_by("-number").first()


def _swap_problems(swap: SwapIn) -> list[Finding]:
    heavier, lighter, found = swap.heavier, swap.lighter, []
    for can, field in ((heavier, "heavier"), (lighter, "lighter")):
        if can.kind != "can" or hasattr(can, "fate"):
            sentence = phrase("{can} is no can in use. Read its number again.", can=can.code)
            found.append(blocked("swap-no-can", sentence, field))
        for waiting in can.spoken_for.all()[:1]:
            sentence = phrase(
                "{can} is on the open job {job}. Put its tickets right there.",
                can=can.code,
                job=waiting.holder,
            )
            found.append(blocked("spoken-for", sentence, field))
    if heavier.pk == lighter.pk or heavier.refrigerant_id != lighter.refrigerant_id:
        sentence = phrase("Take two cans of one refrigerant.")
        found.append(blocked("swap-which", sentence, "lighter"))
    if len(swap.why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say in a few words how it came."), "why"))
    return found or _masses_disagree(swap)


def _masses_disagree(swap: SwapIn) -> list[Finding]:
    """The one must have gained what the other lost, to what two readings of each and some frost can hide."""
    more = gained(swap.heavier, swap.heavier_now.reading.mass)
    less = ZERO - gained(swap.lighter, swap.lighter_now.reading.mass)
    slack = K * (
        u_difference(swap.heavier_now.scale.division) + u_difference(swap.lighter_now.scale.division)
    )
    if more > ZERO and less > ZERO and abs((more - less).grams) <= slack + 2 * FROST.grams:
        return []
    sentence = phrase(
        "{heavier} shows {more} g more than it should and {lighter} {less} g less. Two swapped cans would show the"
        " same. Look further, or weigh both again.",
        heavier=swap.heavier.code,
        more=more.rounded(Unit.G, 0),
        lighter=swap.lighter.code,
        less=less.rounded(Unit.G, 0),
    )
    return [blocked("swap-differs", sentence, "lighter_reading")]


@transaction.atomic
def mark_mixed(cylinder: Container, *, since: datetime, why: str, at: datetime, by: Person) -> MixedMark:
    """Say that nobody knows any more what a cylinder holds. There is no way back; it can only be shipped."""
    found = []
    if cylinder.kind != "cylinder":
        found.append(blocked("mixed-no-cylinder", phrase("Only a cylinder can be marked as mixed."), ""))
    if MixedMark.objects.filter(container=cylinder).exists():
        sentence = phrase("{cylinder} is marked as mixed already.", cylinder=cylinder.code)
        found.append(blocked("mixed-already", sentence, ""))
    if since > at:
        found.append(blocked("mixed-later", phrase("That time lies after now. Check the clock."), "since"))
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say in a few words how it came."), "why"))
    refuse_if_blocked(found)
    return MixedMark.objects.create(container=cylinder, since=since, why=why.strip(), at=at, by=by)
