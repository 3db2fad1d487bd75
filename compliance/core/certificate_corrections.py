"""What correction slips put right, as papers print it: the first entry stays readable beside the second."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.certificate_notes import CorrectionFacts
from compliance.core.paper import Table
from compliance.core.wording import moment, said, words
from shop.core.phrase import joined, phrase


def corrections_table(rows: Sequence[CorrectionFacts]) -> Iterator[Table]:
    """Old, new, why, who and when of everything that was put right after the job was closed."""
    if not rows:
        return
    yield Table(
        phrase("Corrected after closing"),
        (
            phrase("Slip"),
            phrase("What"),
            phrase("It read"),
            phrase("It should read"),
            phrase("Why, who, when"),
        ),
        tuple(
            (
                one.slip,
                joined(": ", [words(part) for part in one.what.split(": ")]),
                said(one.old),
                said(one.new),
                joined("\n", [one.why, joined(", ", [one.by, moment(one.at)])]),
            )
            for one in rows
        ),
        notes=(
            phrase("The version before stays readable, and its check page says replaced."),
            phrase("Where a weight was corrected, the book moved on the day of the slip."),
        ),
    )
