"""How a charge stands by its tickets: in the car, still to go, and where to stop. Exact, in whole micrograms.

The twin for a phone without a signal is ``charge`` in compliance/static/compliance/rules.js.
"""

from __future__ import annotations

from dataclasses import dataclass

from compliance.core.charge import stop_at
from shop.core.mass import ZERO, Mass, Reading, total


@dataclass(frozen=True, slots=True)
class CanState:
    """One can of a job: its first and its last weight on it, and what it lost ``waiting`` off the car in between."""

    before: Mass
    last: Mass
    waiting: Mass = ZERO

    @property
    def drawn(self) -> Mass:
        return max(self.before - self.last, ZERO)

    @property
    def leaked(self) -> Mass:
        """What it lost off the car, of what it gave at all: a leaking tap, not a charge."""
        return min(self.waiting, self.drawn)


@dataclass(frozen=True, slots=True)
class ChargeState:
    """``hoses`` is what "the charge is in" said of them, or the shop's allowance before that (``assumed``); ``gone``
    what was purged, released or recovered back."""

    label: Mass | None
    tolerance: Mass
    hoses: Mass
    assumed: bool
    gone: Mass
    cans: tuple[CanState, ...]

    @property
    def drawn(self) -> Mass:
        return total(can.drawn for can in self.cans)

    @property
    def lost(self) -> Mass:
        """What left the cans and is not in the car; hoses take theirs from the first can that gives."""
        gave = not self.assumed or self.drawn > ZERO
        return total([self.gone, self.hoses if gave else ZERO, *(can.leaked for can in self.cans)])

    @property
    def in_car(self) -> Mass:
        return max(self.drawn - self.lost, ZERO) if self.drawn > ZERO else ZERO

    @property
    def to_go(self) -> Mass | None:
        return max(self.label - self.in_car, ZERO) if self.label is not None else None

    @property
    def wanted(self) -> Mass | None:
        """What the cans still have to give: the label and all that goes elsewhere, less what they gave."""
        if self.label is None:
            return None
        hoses = self.hoses if self.assumed and self.drawn == ZERO else ZERO
        return max(self.label + self.lost + hoses - self.drawn, ZERO)

    @property
    def over(self) -> Mass | None:
        """What is in the car beyond the label, when that is more than its tolerance."""
        if self.label is None or self.in_car <= self.label + self.tolerance:
            return None
        return self.in_car - self.label

    @property
    def inside(self) -> bool:
        return self.label is not None and abs(self.in_car - self.label) <= self.tolerance


def stop_of(wanted: Mass | None, now: Reading, division: Mass, shell: Mass) -> tuple[Reading | None, bool]:
    """The reading at which a can that shows ``now`` has given what is wanted, or all above its shell; and whether that
    is enough."""
    if wanted is None or wanted <= ZERO:
        return None, False
    gives = max(now.mass - shell, ZERO)
    return stop_at(now, min(wanted, gives), division), gives >= wanted
