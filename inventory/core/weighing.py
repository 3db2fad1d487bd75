"""Weigh tickets of cans, and the slips that show in them while the can can still be weighed again.

What is asked stands in inventory/core/weighing_rules.py as data; here it is asked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, time
from enum import StrEnum

from inventory.core.weighing_rules import TERMS, TICKET
from shop.core.findings import Finding
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import phrase, word
from shop.core.reading import decimals_of
from shop.core.rule_rows import Look


class Style(StrEnum):
    """What else was on the pan. Before and after must be weighed the same way."""

    BARE = phrase("bare can")
    TAP = phrase("can with tap")
    ZEROED = phrase("on the scale, hose zeroed")


class Origin(StrEnum):
    WEIGHED = phrase("weighed")
    LABEL = phrase("from label")
    TYPED_LATER = phrase("typed later")


@dataclass(frozen=True, slots=True)
class CanKind:
    """Label net and nominal shell of one kind of can; shells vary by plus or minus ``shell_spread_g``."""

    net: Mass
    shell: Mass
    shell_spread_g: float = 4.0

    @property
    def full(self) -> Mass:
        return self.net + self.shell


@dataclass(frozen=True, slots=True)
class Ticket:
    """One reading of one can on one scale, whose division was this on that day."""

    reading: Reading
    division: Mass
    style: Style
    origin: Origin = Origin.WEIGHED
    number: int = 0

    @property
    def gross(self) -> Mass:
        return self.reading.mass


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What was probably meant: the one-tap guess."""

    text: str
    unit: Unit
    mass: Mass
    why: str


def u_difference(division: Mass) -> float:
    """Standard uncertainty, in grams, of a difference of two readings on one display: d/sqrt(6)."""
    return division.grams / math.sqrt(6)


def u_ticket(ticket: Ticket, kind: CanKind) -> float:
    """Standard uncertainty of one gross weight, in grams: of the display, or of fill and shell when from the label."""
    return math.sqrt(_look(ticket, kind, None).value("u2")) / 1e6


def ticket_problems(
    ticket: Ticket,
    *,
    kind: CanKind,
    can: str,
    previous: Ticket | None,
    sealed: bool,
    first_in_job: bool,
    since: datetime | time | None = None,
    field: str = "reading",
) -> list[Finding]:
    """What looks wrong with this reading of this can: the first row of the table that speaks, if one does.

    ``previous`` is the can's ticket before this one; ``first_in_job`` says that it comes from another day or job, so
    that the can should weigh what it weighed then; ``since`` when it came off this car before, if it did. Blocks on
    what cannot be, warns of what should be read again.
    """
    look = _look(ticket, kind, previous, can=can, sealed=sealed, first=first_in_job, since=since)
    return [replace(one, field=field) if one.field == "reading" else one for one in look.judge(TICKET)]


def likely_reading(ticket: Ticket, kind: CanKind, previous: Ticket | None) -> Suggestion | None:
    """The same number in another unit, when it cannot be this can's weight as it stands and would be there.

    The can weighs at least its shell, at most what it weighed before or a full can weighs, within 3 %.
    """
    alike = replace(previous, style=ticket.style) if previous is not None else None
    look = _look(ticket, kind, alike)
    slip = next((one for one in look.judge(TICKET) if one.code == "unit-slip"), None)
    if slip is None:
        return None
    number, unit = ticket.reading.text, look.value("meant")
    return Suggestion(number, unit, Mass.of(number, unit), slip.message)


def likely_digits(
    ticket: Ticket, kind: CanKind, previous: Ticket | None, *, sealed: bool
) -> Suggestion | None:
    """The number with two digits swapped, when that is what the can weighed last, or a full can for a sealed one."""
    alike = replace(previous, style=ticket.style) if previous is not None else None
    look = _look(ticket, kind, alike)
    if previous is None and not sealed:
        return None
    return meant_digits(ticket.reading, look.value("swapped" if previous is not None else "swapped_full"))


def meant_digits(typed: Reading, number: str | None) -> Suggestion | None:
    """The suggestion to take ``number`` in the unit that was typed in."""
    if not number or number == typed.text:
        return None
    why = phrase("Two digits may have been swapped: {number} {unit}.", number=number, unit=typed.unit)
    return Suggestion(number, typed.unit, Mass.of(number, typed.unit), why)


def typed_facts(reading: Reading) -> dict[str, object]:
    """What the tables of rules know of a number that was typed."""
    return {
        "number": reading.text,
        "unit": reading.unit.value,
        "reading": str(reading),
        "gross": reading.mass.ug,
    }


def _look(ticket: Ticket, kind: CanKind, previous: Ticket | None, **more: object) -> Look:
    facts = typed_facts(ticket.reading) | {
        "division": ticket.division.ug,
        "places": decimals_of(ticket.division, ticket.reading.unit),
        "style": ticket.style.value,
        "origin": ticket.origin.value,
        "net": kind.net.ug,
        "shell": kind.shell.ug,
        "spread": round(kind.shell_spread_g * 1_000_000),
    }
    if previous is not None:
        facts |= {
            "before": previous.gross.ug,
            "before_division": previous.division.ug,
            "before_style": word(previous.style.value),
            "before_origin": previous.origin.value,
            "before_reading": str(previous.reading),
        }
    return Look(TERMS, facts | more)
