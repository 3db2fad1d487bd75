"""A count while jobs are open: what a container that a job has weighed is counted against.

The book of such a container moves only when the job closes. Its last ticket says what is in it now, so that it may be
counted at that ticket only against what the book will have then: like with like, or it is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from shop.core.mass import ZERO, Mass, Reading

AGAIN_AFTER = timedelta(hours=1)  # a container is not counted twice within it


@dataclass(frozen=True, slots=True)
class Waiting:
    """A container that open jobs have weighed. ``change`` is what their closing will move in its book (below nothing
    for a can that gave); ``settled`` says that the closing brings the book to what the scale showed, since the can was
    emptied. ``why_not`` is why it cannot be counted at its last ticket, "" when it can."""

    code: str
    job: str
    on_car: bool
    change: Mass
    reading: Reading
    gross: Mass
    at: datetime
    settled: bool = False
    why_not: str = ""

    def found(self, empty: Mass) -> Mass:
        """What is in it by its last ticket, over the shell or the stamped tare."""
        return max(self.gross - empty, ZERO)

    def expected(self, book: Mass, empty: Mass) -> Mass:
        """What the book will have in it when the jobs are closed."""
        return self.found(empty) if self.settled else book + self.change
