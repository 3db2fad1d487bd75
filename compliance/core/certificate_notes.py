"""What a certificate says beside the work: answers that rule packs ask for, and what correction slips put right."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AskedFacts:
    """A list or a saying that a rule pack asks for: who asks, where it is written; item, answer and why of each."""

    title: str
    asked_by: str
    basis: str
    answers: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class CorrectionFacts:
    """One thing that a correction slip put right: as it stood, as it should have stood, both as typed."""

    slip: str
    what: str
    old: str
    new: str
    why: str
    by: str
    at: str
