"""Suspects that are spread over many weighings: labels, shells, scales, cans to come; and what is booked already."""

from __future__ import annotations

import math
from collections.abc import Iterator

from inventory.core.suspect_facts import PeriodFacts, ScaleFacts
from inventory.core.suspect_lines import line_suspects
from inventory.core.suspect_things import hanging_suspects, missing_suspects
from inventory.core.suspects import COVERS, Door, Sure, Suspect, grams_of, ranked, said
from shop.core.mass import ZERO
from shop.core.phrase import phrase


def suspects_of(facts: PeriodFacts) -> list[Suspect]:
    """All suspects of a count's difference, the best first."""
    found = [
        *missing_suspects(facts),
        *line_suspects(facts),
        *hanging_suspects(facts),
        *label_weight_suspects(facts),
        *shell_suspects(facts),
        *(scale_suspect(one) for one in facts.scales),
        *to_come_suspects(facts),
        *booked_suspects(facts),
    ]
    return ranked(found, facts.difference)


def label_weight_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """A weight from the label is as good as the fill and the shell of that can."""
    for one in facts.label_weights:
        wide = grams_of(COVERS * one.u_g)
        told = {"job": one.job, "readings": one.readings}
        evidence = (
            phrase("1 weight on {job} was taken from the label, not weighed.", **told)
            if one.readings == 1
            else phrase("{readings} weights on {job} were taken from the label, not weighed.", **told)
        )
        door = Door("jobs:page", (one.job,))
        yield Suspect(
            "from label", evidence, -wide, wide, Sure.POSSIBLE, phrase("Open {job}", job=one.job), door
        )


def shell_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """Cans that a count weighs for the first time hold what their own shells say; only the usual shell is known."""
    first = [line for line in facts.lines if line.weighed and line.kind == "can" and not line.known]
    if not first:
        return
    wide = math.sqrt(sum(line.shell_spread_g**2 for line in first))
    told = {"cans": len(first), "each": max(line.shell_spread_g for line in first)}
    evidence = (
        phrase("The shell of {can} was never weighed: give or take {each:g} g.", can=first[0].code, **told)
        if len(first) == 1
        else phrase(
            "The shells of {cans} cans were never weighed: give or take {each:g} g each, together the root of the sum"
            " of their squares.",
            **told,
        )
    )
    yield Suspect(
        "shells",
        evidence,
        grams_of(-wide),
        grams_of(wide),
        Sure.POSSIBLE,
        phrase("See the cans"),
        Door("cabinet"),
    )


def scale_suspect(one: ScaleFacts) -> Suspect:
    """An offset changes each weight at the count, and no difference of two; a gain changes all in proportion."""
    door, do = Door("equipment:check", (one.code,)), phrase("Check {scale}", scale=one.code)
    if one.known > ZERO:
        offset = one.readings * one.error.grams
        gain = one.error.grams / one.known.grams * one.weighed_g
        low, high = min(0.0, offset, gain), max(0.0, offset, gain)
        evidence = phrase(
            "{scale} did not pass its check: {error} g at {known} g. Off by the same everywhere, it changes each weight"
            " at the count and no difference of two readings; off in proportion, it changes all.",
            scale=one.code,
            error=said(one.error),
            known=said(one.known).lstrip("+"),
        )
        return Suspect("scale", evidence, grams_of(low), grams_of(high), Sure.POSSIBLE, do, door)
    wide = max(one.readings * one.division_g, one.gain * one.weighed_g)
    evidence = (
        phrase(
            "{scale} was not checked since {since:%b} {day}.",
            scale=one.code,
            since=one.since,
            day=one.since.day,
        )
        if one.since
        else phrase("{scale} was never checked.", scale=one.code)
    )
    return Suspect("scale", evidence, grams_of(-wide), grams_of(wide), Sure.POSSIBLE, do, door)


def to_come_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """Cans to come that stand here already are found and not expected."""
    if facts.difference <= ZERO:
        return
    for one in facts.deliveries:
        if one.to_come:
            evidence = phrase(
                "{cans} cans of {delivery} are to come. If they stand here, they are not in the book yet.",
                cans=one.to_come,
                delivery=one.number,
            )
            most = one.net * one.to_come
            do = phrase("Receive the rest")
            door = Door("deliveries:rest", (one.number,))
            yield Suspect("to come", evidence, ZERO, most, Sure.POSSIBLE, do, door)


def booked_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """What the book has already, so that nobody hunts it twice."""
    for one in facts.booked:
        told = {"times": one.times, "mass": said(one.mass).lstrip("+")}
        evidence = (
            phrase("Released in this time, entries of the book: {times}, together {mass} g.", **told)
            if one.purpose == "released"
            else phrase(
                "Fill differences in this time, entries of the book: {times}, together {mass} g.", **told
            )
        )
        yield Suspect(
            one.purpose,
            evidence,
            ZERO,
            ZERO,
            Sure.ON_FILE,
            phrase("See the book"),
            Door("book:list"),
            booked=True,
        )
