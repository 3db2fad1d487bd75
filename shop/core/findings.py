"""What a rule has to say. Rules return findings; they never raise."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How much a finding matters: a note is shown, a warning asks for a look, a block stops the step."""

    NOTE = "note"
    WARNS = "warns"
    BLOCKS = "blocks"


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence for a person, about one field.

    ``code`` is stable and greppable, ``field`` is the name of the input it speaks of (empty when it speaks
    of the whole step), ``basis`` is the paragraph, standard or shop rule that it rests on.
    """

    code: str
    weight: Weight
    message: str
    field: str = ""
    basis: str = ""

    @property
    def blocks(self) -> bool:
        return self.weight is Weight.BLOCKS


class Refused(Exception):  # noqa: N818 - reads as a sentence: "Refused: the can holds only 12 g"
    """A service's one way to say no: it carries every finding, so that a page can show them all at once."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__(" ".join(finding.message for finding in self.findings))


def refuse_if_blocked(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Pass the findings on, or raise ``Refused`` with all of them when one of them blocks."""
    found = tuple(findings)
    if any(finding.blocks for finding in found):
        raise Refused(found)
    return found


def refuse_unless_seen(findings: Iterable[Finding], seen: Collection[str]) -> None:
    """Raise ``Refused`` with all of them when one blocks, or warns and its code is not among those already ``seen``
    and answered with "keep it"."""
    found = tuple(findings)
    if any(one.blocks or (one.weight is Weight.WARNS and one.code not in seen) for one in found):
        raise Refused(found)


def blocked(code: str, message: str, field: str = "", basis: str = "") -> Finding:
    return Finding(code, Weight.BLOCKS, message, field, basis)


def warned(code: str, message: str, field: str = "", basis: str = "") -> Finding:
    return Finding(code, Weight.WARNS, message, field, basis)


def noted(code: str, message: str, field: str = "", basis: str = "") -> Finding:
    return Finding(code, Weight.NOTE, message, field, basis)
