"""What a customer's copy of a certificate shows less than the signed one: the tails of card numbers only."""

from __future__ import annotations

from dataclasses import replace

from compliance.core.certificate_facts import CertificateFacts, Doer

LAST = 4


def with_short_cards(facts: CertificateFacts) -> CertificateFacts:
    """The same facts with the last four characters of every 609 card's number."""
    return replace(facts, doers=tuple(_short(doer) for doer in facts.doers))


def _short(doer: Doer) -> Doer:
    if len(doer.card) <= LAST:
        return doer
    shown = f"…{doer.card[-LAST:]}"
    return replace(doer, card=shown, standing=doer.standing.replace(doer.card, shown))
