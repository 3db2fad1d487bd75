"""Clearing old records: whose turn it is on which day, and what is left of signed facts without their customer.

Three hands on three days: the owner asks, another owner or the same one a day later confirms, and after thirty days in
which everything can come back the owner clears. Days are the shop's own, so a change of the clock moves none of them.
"""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

from compliance.core.stages import LabelSource
from shop.core.canonical import canonical, sha256
from shop.core.findings import Finding, blocked
from shop.core.phrase import phrase

UNDO_DAYS = 30
A_DAY = timedelta(hours=24)
MARK = "(cleared)"  # what stands where a detail stood
MARK_NEW = "(cleared, new)"  # the other half of a slip's old and new, which must differ
PERSONAL = (
    *("customer", "phone", "plate", "description", "complaint", "repair_order", "source_note"),
    *("note", "detail", "released_why"),
)
OF_THE_CAR = ("customer", "description", "vin", "plate", "complaint", "repair_order")
SOURCES = frozenset(one.value for one in LabelSource)  # where a charge weight was read; others are own words


class Facts(StrEnum):
    """Signed facts that name a customer, by what they are the facts of."""

    CERTIFICATE = "certificate"
    CASE_FILE = "case file"
    CLOSING = "closing"
    SLIP = "correction slip"


def undo_until(confirmed_on: date) -> date:
    """The last day on which everything can come back; it is cleared on a later day."""
    return confirmed_on + timedelta(days=UNDO_DAYS)


def too_soon_until(
    *, same_person: bool, asked_at: datetime, asked_on: date, at: datetime, today: date
) -> datetime | None:
    """Another owner confirms at once; who asked waits for the next day, and for whole 24 hours: until when."""
    if not same_person or (today > asked_on and at - asked_at >= A_DAY):
        return None
    return asked_at + A_DAY


def confirm_problems(too_soon: datetime | None) -> list[Finding]:
    """What stands against confirming, ``too_soon`` being what :func:`too_soon_until` answered."""
    if too_soon is None:
        return []
    sentence = phrase(
        "You asked for this yourself. Confirm it a whole day later, or let another owner sign on and confirm."
    )
    return [blocked("clearing-too-soon", sentence)]


def undo_problems(until: date | None, today: date) -> list[Finding]:
    if until is None or today <= until:
        return []
    sentence = phrase("The {days} days to bring it back ended on {until}.", days=UNDO_DAYS, until=until)
    return [blocked("undo-over", sentence)]


def clear_problems(until: date | None, today: date) -> list[Finding]:
    if until is None:
        return [blocked("clearing-unconfirmed", phrase("Nobody has confirmed this clearing."))]
    if today > until:
        return []
    sentence = phrase(
        "The details can be brought back until {until}. Clear them after that day.", until=until
    )
    return [blocked("clearing-not-due", sentence)]


def is_personal(key: str) -> bool:
    """Whether what a correction slip puts right under this key may name the customer; readings and masses do not."""
    return key == "vehicle-vin" or key.rpartition("-")[2] in PERSONAL


def sealed(salt: str, content: bytes) -> str:
    """A seal that tells nothing once its salt is gone: a plate or a phone number alone could be guessed."""
    return sha256(salt.encode() + content)


def without_customer(kind: Facts, text: str) -> str:
    """What is left of signed facts: masses, days, readings, who worked. What was typed in own words goes with the
    customer. Done twice it is the same."""
    if kind is Facts.CASE_FILE:
        return "{}"
    facts = json.loads(text)
    {Facts.CERTIFICATE: _certificate, Facts.CLOSING: _closing, Facts.SLIP: _slip}[kind](facts)
    return canonical(facts)


def _blank(held: Any, *names: str, mark: str = MARK) -> None:
    """Put the mark where something stood; what was empty stays empty, what is not there is not made."""
    for name in names:
        if held is not None and held.get(name):
            held[name] = mark


def _certificate(facts: dict[str, Any]) -> None:
    _blank(facts["car"], *OF_THE_CAR)
    if facts["system"]["source"] not in SOURCES:
        _blank(facts["system"], "source")
    for one in facts["recoveries"]:
        _blank(one, "note")
    for one in facts["leak_checks"]:
        _blank(one, "detail")
    _blank(facts["charge"], "released_why")
    _blank(facts["final"], "note")
    _blank(facts["stop"], "why", "state_now", "choice")
    _blank(facts, "repairs", "replaces")
    facts["skipped"] = [[stage, _outcome(said)] for stage, said in facts["skipped"]]
    facts["remarks"] = [MARK] * len(facts["remarks"])
    for one in facts.get("asked", ()):
        one["answers"] = [[item, answer, MARK if why else ""] for item, answer, why in one["answers"]]
    for one in facts.get("corrections", ()):
        _blank(one, "old", "why")
        _blank(one, "new", mark=MARK_NEW)


def _outcome(said: str) -> str:
    """ "not needed: no leak" becomes "not needed: (cleared)"."""
    outcome, colon, _why = said.partition(": ")
    return f"{outcome}: {MARK}" if colon else MARK


def _closing(facts: dict[str, Any]) -> None:
    _blank(facts, "stopped", "remark")
    facts["findings"] = [[code, MARK] for code, _sentence in facts["findings"]]


def _slip(facts: dict[str, Any]) -> None:
    _blank(facts, "why")
    facts["fields"] = [
        [key, MARK if was else "", MARK_NEW if new else ""] if is_personal(key) else [key, was, new]
        for key, was, new in facts["fields"]
    ]
