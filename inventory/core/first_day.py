"""The first day: six things that a shop says of itself before everything works, and what it can do so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.core.phrase import phrase


class Step(StrEnum):
    """In the order in which they are asked."""

    SHOP = "shop"
    PEOPLE = "people"
    CARDS = "cards"
    MACHINE = "machine"
    KINDS = "kinds"
    SCALE = "scale"


# What each step asks for, and why it comes where it comes.
ASKS = {
    Step.SHOP: phrase("The shop: its name, address and phone"),
    Step.PEOPLE: phrase("Somebody who works on air conditioning"),
    Step.CARDS: phrase("A 609 card of theirs on file, and from when they are authorised"),
    Step.MACHINE: phrase("The recovery equipment, from its plate"),
    Step.KINDS: phrase("The kinds of can, with their refrigerants"),
    Step.SCALE: phrase("The scale, its unit and its steps"),
}
JOBS_AFTER = Step.CARDS
BASES = {
    Step.CARDS: phrase("Federal: 40 CFR 82.34(a)(2)"),
    Step.MACHINE: phrase("Federal: 40 CFR 82.34(a)(1), before paid work with refrigerant"),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """One step, whether it is done, and what it rests on where a law asks for it."""

    step: Step
    number: int
    done: bool

    @property
    def asks(self) -> str:
        return ASKS[self.step]

    @property
    def basis(self) -> str:
        return BASES.get(self.step, "")


@dataclass(frozen=True, slots=True)
class FirstDay:
    """All six, in order."""

    steps: tuple[Asked, ...]

    @property
    def is_over(self) -> bool:
        return all(one.done for one in self.steps)

    @property
    def next(self) -> Asked | None:
        """The first one that waits."""
        return next((one for one in self.steps if not one.done), None)

    @property
    def sentence(self) -> str:
        done = sum(one.done for one in self.steps)
        ready = phrase("Ready to work: {done} of {all} done.", done=done, all=len(self.steps))
        after = next(one.number for one in self.steps if one.step is JOBS_AFTER)
        if all(one.done for one in self.steps[:after]):
            return phrase("{ready} You can start jobs.", ready=ready)
        return phrase("{ready} You can start jobs after step {after}.", ready=ready, after=after)


def first_day(done: Sequence[Step]) -> FirstDay:
    return FirstDay(tuple(Asked(step, number, step in done) for number, step in enumerate(Step, 1)))
