"""What a slip says when it is typed in, and everything that can be wrong with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from inventory.models import ContainerType, Delivery, DeliveryLine, DeliveryUndone, Supplier
from inventory.queries import delivery_of_slip, looks_like
from shop.core.findings import Finding, blocked
from shop.core.phrase import phrase
from shop.models import Establishment

MOST_CANS = 2000


@dataclass(frozen=True, slots=True)
class LineIn:
    """Cans of one kind. ``lots`` gives (lot, cans) pairs; cans beyond them have no lot. ``ordered`` may be unknown;
    ``due`` is when the supplier says the rest comes."""

    type: ContainerType
    on_slip: int
    sound: int
    damaged: int = 0
    lots: tuple[tuple[str, int], ...] = ()
    ordered: int | None = None
    due: date | None = None


@dataclass(frozen=True, slots=True)
class DeliveryIn:
    """``another`` says that somebody looked at the delivery this one resembles, and it is not the same."""

    supplier: Supplier
    slip: str
    on: date
    lines: tuple[LineIn, ...] = field(default_factory=tuple)
    asked: str = Delivery.Asked.NOT_ASKED
    asked_of: str = ""
    another: bool = False


@dataclass(frozen=True, slots=True)
class RestLineIn:
    """Cans of a line that was short, come later."""

    line: DeliveryLine
    sound: int
    damaged: int = 0
    lots: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class RestIn:
    on: date
    lines: tuple[RestLineIn, ...]


def as_slip(typed: str) -> str:
    """A slip's number as it is kept: capitals, single spaces."""
    return " ".join(typed.upper().split())


def slip_problems(supplier: Supplier, slip: str) -> list[Finding]:
    first = delivery_of_slip(supplier, slip)
    if first is None:
        return []
    sentence = phrase(
        "Slip {slip} from {supplier} is already in: {first}, received {on:%b} {day}. Open {first} instead of typing it"
        " again.",
        slip=slip,
        supplier=supplier.name,
        first=first.number,
        on=first.on,
        day=first.on.day,
    )
    return [blocked("slip-already-in", sentence, "slip")]


def twin_problems(delivery: DeliveryIn, establishment: Establishment) -> list[Finding]:
    """The same kinds and numbers of cans from the same supplier on the same day: one delivery with two papers?"""
    cans = Counter((line.type.pk, line.on_slip) for line in delivery.lines)
    twin = looks_like(establishment, delivery.supplier, delivery.on, cans)
    if delivery.another or twin is None:
        return []
    sentence = phrase(
        "This looks like slip {slip}, already in as {number}. Same one?", slip=twin.slip, number=twin.number
    )
    return [blocked("delivery-looks-like", sentence)]


def delivery_problems(delivery: DeliveryIn, today: date) -> list[Finding]:
    found = []
    if not delivery.slip.strip():
        found.append(blocked("slip-empty", phrase("Type the number on the packing slip."), "slip"))
    if delivery.on > today:
        sentence = phrase("That day has not come yet. Use the day it arrived.")
        found.append(blocked("delivery-future", sentence, "on"))
    if (today - delivery.on).days > 366:
        sentence = phrase("That is more than a year ago. Older stock comes in by an opening count.")
        found.append(blocked("delivery-old", sentence, "on"))
    if not delivery.lines:
        found.append(blocked("delivery-empty", phrase("Say which cans came: at least one line."), ""))
    if delivery.asked == Delivery.Asked.CARD_SHOWN and not delivery.asked_of.strip():
        found.append(blocked("asked-of", phrase("Type whose 609 card was shown."), "asked_of"))
    return found


def line_problems(number: int, line: LineIn, on: date) -> list[Finding]:
    found = _can_problems(str(line.type), number, line.sound, line.damaged, line.lots)
    if min(line.on_slip, line.ordered or 0) < 0:
        found.append(_below_zero(number))
    if line.sound + line.damaged < 1:
        sentence = phrase("{what}: no can came. Leave the line out.", what=str(line.type))
        found.append(blocked("line-empty", sentence, f"sound_{number}"))
    if line.sound + line.damaged > max(line.on_slip, line.ordered or 0):
        sentence = phrase(
            "{what}: {sound} sound and {damaged} damaged are more than the {slip} on the slip. Count again, or put the"
            " slip's number right.",
            what=str(line.type),
            sound=line.sound,
            damaged=line.damaged,
            slip=line.on_slip,
        )
        found.append(blocked("line-too-many", sentence, f"sound_{number}"))
    if max(line.on_slip, line.ordered or 0) > MOST_CANS:
        sentence = phrase(
            "{cans} cans on one line? Type cases and cans apart; {most} is the most.",
            cans=max(line.on_slip, line.ordered or 0),
            most=MOST_CANS,
        )
        found.append(blocked("line-absurd", sentence, f"sound_{number}"))
    if line.due is not None and line.due < on:
        sentence = phrase("The rest comes after this delivery, not before it. Check the day.")
        found.append(blocked("due-before", sentence, f"due_{number}"))
    return found


def _can_problems(
    what: str, number: int, sound: int, damaged: int, lots: Sequence[tuple[str, int]]
) -> list[Finding]:
    in_lots = sum(cans for _, cans in lots)
    if min(sound, damaged, *(cans for _, cans in lots), 0) < 0:
        return [_below_zero(number)]
    if in_lots > sound:
        sentence = phrase(
            "{what}: the lots hold {lots} cans, but {sound} came sound.", what=what, lots=in_lots, sound=sound
        )
        return [blocked("line-lots", sentence, f"lots_{number}")]
    return []


def _below_zero(number: int) -> Finding:
    return blocked("line-negative", phrase("Numbers of cans cannot be below zero."), f"sound_{number}")


def rest_problems(delivery: Delivery, rest: RestIn, today: date) -> list[Finding]:
    found = []
    if DeliveryUndone.objects.filter(delivery=delivery).exists():
        sentence = phrase("{delivery} is undone. It takes no more cans.", delivery=delivery.number)
        found.append(blocked("delivery-undone", sentence))
    if not delivery.on <= rest.on <= today:
        sentence = phrase("The rest came after the first cans, and not after today. Check the day.")
        found.append(blocked("rest-day", sentence, "on"))
    if not any(one.sound + one.damaged for one in rest.lines):
        found.append(blocked("rest-empty", phrase("Say how many cans came.")))
    standing = {line.pk: line for line in delivery.lines.select_related("not_coming")}
    for number, one in enumerate(rest.lines):
        found += _can_problems(str(one.line.type), number, one.sound, one.damaged, one.lots)
        wait = standing[one.line.pk].to_come
        if one.sound + one.damaged > wait:
            sentence = phrase(
                "{what}: {wait} to come, {came} came. Count again; cans of another slip are another delivery.",
                what=str(one.line.type),
                wait=wait,
                came=one.sound + one.damaged,
            )
            found.append(blocked("rest-too-many", sentence, f"sound_{number}"))
    return found
