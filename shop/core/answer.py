"""What a sum has to say, in the order a person reads it: the answer, what follows from it, the numbers behind it."""

from __future__ import annotations

from dataclasses import dataclass

from shop.core.findings import Finding, Weight
from shop.core.phrase import joined, phrase

STATES = {
    Weight.NOTE: ("done", phrase("Worked out")),
    Weight.WARNS: ("look", phrase("Look")),
    Weight.BLOCKS: ("stop", phrase("Stop")),
}
NO_VERDICT = ("unneeded", phrase("No verdict"))


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer. ``headline`` is a whole sentence; ``says`` are the sentences below it; ``numbers`` are pairs of label
    and value with unit; ``basis`` names formulas, sources and equation versions in one line.
    What does not judge says so by its shape: a number that nobody may read as a pass."""

    headline: str
    says: tuple[str, ...] = ()
    numbers: tuple[tuple[str, str], ...] = ()
    weight: Weight = Weight.NOTE
    basis: str = ""
    judges: bool = True

    @property
    def state(self) -> tuple[str, str]:
        """Shape and word for the page."""
        return STATES[self.weight] if self.judges or self.weight is not Weight.NOTE else NO_VERDICT


def unknown(reason: str, *, basis: str = "") -> Answer:
    """What is not known is said as not known, with its reason (a whole sentence)."""
    return Answer(phrase("Not known. {reason}", reason=reason), weight=Weight.WARNS, basis=basis)


def together(first: Answer, *others: Answer) -> Answer:
    """Several answers on one page as one: the gravest leads, the headlines of the others follow with what they say."""
    lead, *rest = sorted((first, *others), key=lambda one: -list(STATES).index(one.weight))
    says = [*lead.says]
    for one in rest:
        says += [one.headline, *one.says]
    numbers = tuple(pair for one in (lead, *rest) for pair in one.numbers)
    basis = joined(" ", list(dict.fromkeys(one.basis for one in (lead, *rest) if one.basis)))
    return Answer(lead.headline, tuple(says), numbers, lead.weight, basis)


def answer_of(finding: Finding) -> Answer:
    """A finding that stands in the way, as the whole answer."""
    return Answer(finding.message, weight=finding.weight, basis=finding.basis)
