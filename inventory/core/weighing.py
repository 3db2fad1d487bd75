"""Weigh tickets of cans, and the slips that show in them.

k = 3 standard uncertainties of a difference of two readings on one display, u = d/sqrt(6) (GUM F.2.2.1, differences of two).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.core.findings import Finding, blocked, noted, warned
from shop.core.mass import MICROGRAMS, Mass, Reading, Unit, grams

K = 3
FROST = grams(3)  # a can may gain so much by frost; the tool's own choice
SEALED_LIGHT = grams(10)
FILL_ALLOWANCE = 0.02  # of the label's net; the tool's own choice
RATIO_SLACK = 0.03


class Style(StrEnum):
    """What else was on the pan. Before and after must be weighed the same way."""

    BARE = "bare can"
    TAP = "can with tap"
    ZEROED = "on the scale, hose zeroed"


class Origin(StrEnum):
    WEIGHED = "weighed"
    LABEL = "from label"
    TYPED_LATER = "typed later"


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


def ticket_problems(
    ticket: Ticket,
    *,
    kind: CanKind,
    can: str,
    previous: Ticket | None,
    sealed: bool,
    first_in_job: bool,
    field: str = "reading",
) -> list[Finding]:
    """Everything that looks wrong with this reading of this can, while it can still be weighed again."""
    if previous is not None and previous.style is not ticket.style:
        if not first_in_job:
            sentence = f"{can} was weighed as {previous.style} before and as {ticket.style} now. Weigh it the same way."
            return [blocked("style-differs", sentence, "style")]
        previous = None
    guess = likely_reading(ticket, kind, previous)
    outside = list(_outside(ticket, kind, can, field))
    if guess is not None and (outside or not _plausible(ticket, kind, previous)):
        sentence = f"{ticket.reading} looks like {guess.why} (= {guess.mass.rounded(Unit.G, 0)} g). Use that?"
        return [blocked("unit-slip", sentence, field)]
    return outside or [
        *_against_previous(ticket, can, previous, first_in_job, field),
        *_light(ticket, kind, can, sealed, field),
    ]


def likely_reading(ticket: Ticket, kind: CanKind, previous: Ticket | None) -> Suggestion | None:
    """The reading that was probably meant, when the typed number fits this can in another unit only."""
    typed = _number(ticket.reading)
    if typed is None:
        return None
    expected = previous.gross if previous is not None else kind.full
    for unit in (Unit.G, Unit.OZ, Unit.LB, Unit.KG):
        if unit is ticket.reading.unit:
            continue
        meant = Mass.of(typed, unit)
        if previous is None or _is_slip(ticket.gross, expected):
            fits = kind.shell.grams * (1 - RATIO_SLACK) <= meant.grams <= kind.full.grams * (1 + RATIO_SLACK)
            if fits:
                return Suggestion(ticket.reading.text, unit, meant, f"{ticket.reading.text} {unit}")
    return None


def _number(reading: Reading) -> Decimal | None:
    return None if reading.unit is Unit.LB_OZ else Decimal(reading.text)


def _is_slip(gross: Mass, expected: Mass) -> bool:
    """Whether a reading is off by a factor that only another unit gives; below half or above twice what is expected."""
    return gross.ug * 2 < expected.ug or gross.ug > expected.ug * 2


def _plausible(ticket: Ticket, kind: CanKind, previous: Ticket | None) -> bool:
    upper = previous.gross if previous is not None else kind.full + grams(20)
    return kind.shell.grams - 20 <= ticket.gross.grams <= upper.grams + 20


def _outside(ticket: Ticket, kind: CanKind, can: str, field: str) -> Iterator[Finding]:
    slack = K * u_difference(ticket.division) + kind.shell_spread_g
    tap = 250.0 if ticket.style is Style.TAP else 0.0
    if ticket.style is Style.ZEROED:
        return
    if ticket.gross.grams > kind.full.grams + slack + FILL_ALLOWANCE * kind.net.grams + tap:
        full = kind.full.rounded(Unit.G, 0)
        yield blocked(
            "can-above-full", f"A full can of this kind weighs about {full} g. Read the scale again.", field
        )
    if ticket.gross.grams < kind.shell.grams - slack:
        shell = kind.shell.rounded(Unit.G, 0)
        sentence = f"An empty shell of this kind weighs about {shell} g; {can} cannot weigh less. Check zero and unit."
        yield blocked("can-below-shell", sentence, field)


def _against_previous(
    ticket: Ticket, can: str, previous: Ticket | None, first_in_job: bool, field: str
) -> Iterator[Finding]:
    if previous is None:
        return
    wide = K * u_difference(max(ticket.division, previous.division))
    change = ticket.gross - previous.gross
    swapped = _swapped_digits(ticket, previous, wide) if first_in_job else None
    if swapped is not None and abs(change.grams) > wide:
        sentence = f"{can} should weigh about {previous.reading}. Were two digits swapped: {swapped}?"
        yield warned("digits-swapped", sentence, field)
    elif change.grams > max(wide + ticket.division.grams, FROST.grams):
        sentence = (
            f"{can} got heavier: {ticket.reading} after {previous.reading}. A can cannot gain."
            " Is it the right can? Wipe it and weigh again."
        )
        yield blocked("can-gained", sentence, field)
    elif change.grams > 0:
        yield noted(
            "frost",
            f"{can} shows {change.rounded(Unit.G, 0)} g more than before: frost or water. Wipe it.",
            field,
        )
    elif first_in_job and -change.grams > wide:
        lost = (-change).rounded(Unit.G, 0)
        sentence = (
            f"{can} lost {lost} g since its last ticket ({previous.reading}). A leaking tap, another can,"
            " or used without a ticket?"
        )
        yield warned("can-lost-on-shelf", sentence, field)


def _swapped_digits(ticket: Ticket, previous: Ticket, wide: float) -> str | None:
    text = ticket.reading.text
    for place in range(len(text) - 1):
        a, b = text[place], text[place + 1]
        if a == b or not (a + b).isdigit():
            continue
        other = text[:place] + b + a + text[place + 2 :]
        if (
            ticket.reading.unit in MICROGRAMS
            and abs((Mass.of(other, ticket.reading.unit) - previous.gross).grams) <= wide
        ):
            return f"{other} {ticket.reading.unit}"
    return None


def _light(ticket: Ticket, kind: CanKind, can: str, sealed: bool, field: str) -> Iterator[Finding]:
    if sealed and ticket.style is Style.BARE and kind.full - ticket.gross > SEALED_LIGHT:
        light = (kind.full - ticket.gross).rounded(Unit.G, 0)
        sentence = f"{can} is sealed but {light} g under a full can. Weigh it again; it may have come short or leaked here."
        yield warned("sealed-light", sentence, field)
