"""The work-day question: was this person's 609 card in force on that day, and were they authorised here?

40 CFR 82.34(a)(2) asks for a certified person; 82.40 knows no expiry, so a card is in force from its issue day on. A
card added later does not cover work done before its issue day.

The shop's own rule beside it: a card that the owner has only seen carries until the day its copy was to follow, and
again once the copy is in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shop.core.days import said_day
from shop.core.findings import Finding, blocked
from shop.core.phrase import joined, phrase

BASIS = "40 CFR 82.34(a)(2), 82.42(b)(2)"


@dataclass(frozen=True, slots=True)
class CardFacts:
    """``copy_due``: the owner has seen the card, and the copy that was to follow by that day is not in yet."""

    program: str
    number: str
    issued_on: date
    copy_due: date | None = None


@dataclass(frozen=True, slots=True)
class AuthorisedStretch:
    """``last_day`` is None while the authorisation runs."""

    first_day: date
    last_day: date | None


@dataclass(frozen=True, slots=True)
class Standing:
    """The answer for one person and one day, with the card that answers it."""

    name: str
    day: date
    card: CardFacts | None
    authorised: bool
    findings: tuple[Finding, ...]

    @property
    def in_force(self) -> bool:
        return not self.findings

    @property
    def sentence(self) -> str:
        """The answer as it is printed."""
        if self.findings:
            return joined(" ", [finding.message for finding in self.findings])
        assert self.card is not None  # noqa: S101 - no finding means that a card answered
        return phrase(
            "{name} held Section 609 proof of certification {card}, issued {issued_on}, on this date.",
            name=self.name,
            card=self.card.number,
            issued_on=said_day(self.card.issued_on),
        )


def standing(
    name: str, day: date, cards: Sequence[CardFacts], stretches: Sequence[AuthorisedStretch]
) -> Standing:
    """Answer from the rows: the oldest card issued on or before the day, and any stretch that holds the day."""
    issued = sorted((card for card in cards if card.issued_on <= day), key=lambda card: card.issued_on)
    in_force = [card for card in issued if card.copy_due is None or day <= card.copy_due]
    authorised = any(
        stretch.first_day <= day and (stretch.last_day is None or day <= stretch.last_day)
        for stretch in stretches
    )
    findings = [] if in_force else [_no_copy(name, issued[0]) if issued else _no_card(name, day, cards)]
    if not authorised:
        sentence = phrase(
            "{name} was not authorised for air conditioning work here on {day}.", name=name, day=said_day(day)
        )
        findings.append(blocked("not-authorised", sentence, "by", BASIS))
    return Standing(name, day, in_force[0] if in_force else None, authorised, tuple(findings))


def turning_days(cards: Sequence[CardFacts], stretches: Sequence[AuthorisedStretch]) -> set[date]:
    """The days on which the answer may become another one: from one of them to the day before the next it is the
    same, and holds by the same card."""
    days = {card.issued_on for card in cards} | {one.first_day for one in stretches}
    lasts = [card.copy_due for card in cards] + [one.last_day for one in stretches]
    return days | {last + timedelta(days=1) for last in lasts if last is not None}


def _no_card(name: str, day: date, cards: Sequence[CardFacts]) -> Finding:
    if not cards:
        return blocked(
            "no-card",
            phrase("No 609 card of {name} is on file. Add the card under Records, Cards.", name=name),
            "by",
            BASIS,
        )
    first = min(card.issued_on for card in cards)
    sentence = phrase(
        "The 609 card of {name} was issued {first}, after {day}. It does not cover that day.",
        name=name,
        first=said_day(first),
        day=said_day(day),
    )
    return blocked("card-issued-later", sentence, "by", BASIS)


def _no_copy(name: str, card: CardFacts) -> Finding:
    sentence = phrase(
        "The copy of 609 card {card} of {name} was to follow by {due} and is not in. Put a photo or PDF of it on file"
        " under Records, Cards.",
        card=card.number,
        name=name,
        due=said_day(card.copy_due or card.issued_on),
    )
    return blocked("copy-overdue", sentence, "by", phrase("Shop rule"))
