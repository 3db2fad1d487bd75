"""What a label can ask for: a number outside is a slip of the hand or of the unit. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from shop.core.findings import Finding, blocked
from shop.core.mass import ZERO, Mass, grams
from shop.core.phrase import phrase


def charge_problems(charge: Mass, shown: str, field: str) -> Iterator[Finding]:
    if not grams(200) <= charge <= grams(3000):
        sentence = phrase(
            "A label asks for 200 g to 3,000 g; {charge} is outside. Check the number and its unit.",
            charge=shown,
        )
        yield blocked("label-charge", sentence, field)


def tolerance_problems(tolerance: Mass, field: str) -> Iterator[Finding]:
    if not ZERO < tolerance <= grams(150):
        sentence = phrase(
            "A label's tolerance is more than 0 and at most 150 g. Leave it empty when none is printed."
        )
        yield blocked("label-tolerance", sentence, field)
