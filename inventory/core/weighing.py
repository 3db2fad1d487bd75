"""Weigh tickets of cans, and the slips that show in them while the can can still be weighed again.

k = 3 standard uncertainties of a difference of two readings on one display, u = d/sqrt(6) (GUM F.2.2.1 for each).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from inventory.core.shell import SPREAD_G
from shop.core.decision import combined, u_rectangular, u_resolution
from shop.core.findings import Finding, blocked, noted, warned
from shop.core.mass import MICROGRAMS, ZERO, Mass, Reading, Unit, grams
from shop.core.phrase import phrase
from shop.core.reading import decimals_of

K = 3
# The tool's own choices, in this order: what frost or water can add; what attached tap and hose can add; a sealed can
# that is lighter than this is asked about; how far a can may be filled above its label; slack of a unit slip, and how
# far off a reading must be for one.
FROST = grams(3)
ATTACHED_G = 250.0
SEALED_LIGHT = grams(10)
FILL_ALLOWANCE, RATIO_SLACK, FAR_OFF = 0.02, 0.03, 0.5
LABEL_FILL_SPREAD_G = 2.0  # standard, per can; the tool's own choice until the shop's own cans show better
NAMES = {
    Unit.G: phrase("grams"),
    Unit.OZ: phrase("ounces"),
    Unit.LB: phrase("pounds"),
    Unit.KG: phrase("kilograms"),
}


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
    if ticket.origin is Origin.LABEL:
        return combined(LABEL_FILL_SPREAD_G, u_rectangular(kind.shell_spread_g))
    return u_resolution(ticket.division.grams)


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
    """Everything that looks wrong with this reading of this can.

    ``previous`` is the can's ticket before this one; ``first_in_job`` says that it comes from another day or job, so
    that the can should weigh what it weighed then. Blocks on what cannot be, warns of what should be read again.
    """
    if previous is not None and previous.style is not ticket.style:
        if not first_in_job:
            sentence = phrase(
                "{can} was weighed before as “{style}”. Weigh it the same way again.",
                can=can,
                style=previous.style,
            )
            return [blocked("style-differs", sentence, "style")]
        previous = None
    guess = likely_reading(ticket, kind, previous)
    if guess is not None:
        return [blocked("unit-slip", guess.why, field)]
    outside = list(_outside(ticket, kind, can, field))
    if outside:
        return outside
    if previous is not None:
        return list(_against_previous(ticket, kind, can, previous, first_in_job, field))
    return list(_sealed_and_light(ticket, kind, can, field)) if sealed else []


def likely_reading(ticket: Ticket, kind: CanKind, previous: Ticket | None) -> Suggestion | None:
    """The same number in another unit, when it cannot be this can's weight as it stands and would be there.

    The can weighs at least its shell, at most what it weighed before or a full can weighs, within 3 %.
    """
    if ticket.reading.unit is Unit.LB_OZ:
        return None
    lowest = kind.shell.grams - kind.shell_spread_g
    highest = previous.gross.grams if previous is not None else kind.full.grams + _attached(ticket.style)
    if lowest * (1 - FAR_OFF) < ticket.gross.grams < highest * (1 + FAR_OFF):
        return None
    number = Decimal(ticket.reading.text)
    meant = [Reading(ticket.reading.text, unit, Mass.of(number, unit)) for unit in NAMES]
    fits = [
        one for one in meant if lowest * (1 - RATIO_SLACK) <= one.mass.grams <= highest * (1 + RATIO_SLACK)
    ]
    nearest = min(fits, key=lambda one: abs(highest - one.mass.grams), default=None)
    return _suggestion(ticket, nearest) if nearest is not None else None


def likely_digits(
    ticket: Ticket, kind: CanKind, previous: Ticket | None, *, sealed: bool
) -> Suggestion | None:
    """The number with two digits swapped, when that is what the can weighed last, or a full can for a sealed one."""
    expected = previous.gross if previous is not None else kind.full if sealed else None
    if expected is None:
        return None
    wide = K * (
        combined(u_ticket(ticket, kind), u_ticket(previous, kind))
        if previous is not None
        else u_difference(ticket.division)
    )
    return meant_digits(ticket.reading, swapped_digits(ticket.reading, expected, wide))


def meant_digits(typed: Reading, number: str) -> Suggestion | None:
    """The suggestion to take ``number`` in the unit that was typed in."""
    if not number or number == typed.text:
        return None
    why = phrase("Two digits may have been swapped: {number} {unit}.", number=number, unit=typed.unit)
    return Suggestion(number, typed.unit, Mass.of(number, typed.unit), why)


def _suggestion(typed: Ticket, meant: Reading) -> Suggestion:
    unit = typed.reading.unit
    same = f"{meant.mass.rounded(unit, decimals_of(typed.division, unit))} {unit}"
    why = phrase(
        "{typed} looks like {unit} (= {same}). If so, type {same}.",
        typed=typed.reading.text,
        unit=NAMES[meant.unit],
        same=same,
    )
    return Suggestion(meant.text, meant.unit, meant.mass, why)


def _attached(style: Style) -> float:
    return 0.0 if style is Style.BARE else ATTACHED_G


def _said(mass: Mass, unit: Unit) -> str:
    """A mass in the unit of the scale at hand, as a sentence has it."""
    if unit is Unit.LB_OZ:
        pounds, ounces = divmod(mass.rounded(Unit.OZ, 1), 16)
        return f"{pounds} lb {ounces} oz" if pounds else f"{ounces} oz"
    places = {Unit.G: 0, Unit.OZ: 1}.get(unit, 3)
    return f"{mass.rounded(unit, places)} {unit}"


def _outside(ticket: Ticket, kind: CanKind, can: str, field: str) -> Iterator[Finding]:
    slack = K * u_difference(ticket.division) + max(kind.shell_spread_g, float(SPREAD_G))
    unit = ticket.reading.unit
    highest = kind.full.grams + FILL_ALLOWANCE * kind.net.grams + _attached(ticket.style) + slack
    if ticket.gross.grams > highest:
        sentence = phrase(
            "A full can of this kind weighs about {full}. Read the scale again.", full=_said(kind.full, unit)
        )
        yield blocked("can-above-full", sentence, field)
    if ticket.style is not Style.ZEROED and ticket.gross.grams < kind.shell.grams - slack:
        shell = _said(kind.shell, unit)
        sentence = phrase(
            "An empty shell of this kind weighs about {shell}; {can} cannot weigh less. Check the scale's"
            " zero.",
            shell=shell,
            can=can,
        )
        yield blocked("can-below-shell", sentence, field)


def _against_previous(
    ticket: Ticket, kind: CanKind, can: str, previous: Ticket, first_in_job: bool, field: str
) -> Iterator[Finding]:
    wide = K * combined(u_ticket(ticket, kind), u_ticket(previous, kind))
    change, unit = ticket.gross - previous.gross, ticket.reading.unit
    expected = _said(previous.gross, unit)
    swapped = swapped_digits(ticket.reading, previous.gross, wide) if first_in_job else ""
    if swapped and abs(change.grams) > wide:
        yield _digits(can, expected, f"{swapped} {unit}", field)
    elif change.grams > max(wide + ticket.division.grams, FROST.grams):
        sentence = phrase(
            "{can} got heavier: {reading} after {before}. A can cannot gain. Is it the right can? Wipe it"
            " and weigh it again.",
            can=can,
            reading=ticket.reading,
            before=previous.reading,
        )
        yield blocked("can-gained", sentence, field)
    elif change > ZERO:
        more = _said(change, unit)
        yield noted(
            "frost",
            phrase("{can} shows {more} more than before: frost or water. Wipe it.", can=can, more=more),
            field,
        )
    elif first_in_job and -change.grams > wide:
        sentence = phrase(
            "{can} should weigh about {expected} and is {change} lighter: a leaking tap, another can, or used"
            " without a ticket? Look, and weigh it again.",
            can=can,
            expected=expected,
            change=_said(-change, unit),
        )
        yield warned("can-lost-on-shelf", sentence, field)


def _digits(can: str, expected: str, swapped: str, field: str) -> Finding:
    sentence = phrase(
        "{can} should weigh about {expected}. Were two digits swapped: {swapped}? Read the scale again.",
        can=can,
        expected=expected,
        swapped=swapped,
    )
    return warned("digits-swapped", sentence, field)


def swapped_digits(reading: Reading, expected: Mass, wide: float) -> str:
    """The number with two neighbouring digits swapped, when that is the weight expected to ``wide`` grams; else ""."""
    if reading.unit not in MICROGRAMS:
        return ""
    digits = [place for place, mark in enumerate(reading.text) if mark != "."]
    for first, second in pairwise(digits):
        marks = list(reading.text)
        marks[first], marks[second] = marks[second], marks[first]
        other = "".join(marks)
        if abs((Mass.of(other, reading.unit) - expected).grams) <= wide:
            return other
    return ""


def _sealed_and_light(ticket: Ticket, kind: CanKind, can: str, field: str) -> Iterator[Finding]:
    light, unit = kind.full - ticket.gross, ticket.reading.unit
    if ticket.style is not Style.BARE or light <= SEALED_LIGHT:
        return
    swapped = swapped_digits(ticket.reading, kind.full, K * u_difference(ticket.division))
    if swapped:
        yield _digits(can, _said(kind.full, unit), f"{swapped} {unit}", field)
        return
    sentence = phrase(
        "{can} is sealed, and {light} lighter than a full can. Weigh it again. If that holds, it came"
        " short or leaked here.",
        can=can,
        light=_said(light, unit),
    )
    yield warned("sealed-light", sentence, field)
