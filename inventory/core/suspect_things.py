"""Suspects that are a container or a delivery: not found, moved, never labelled, entered twice, not weighed back."""

from __future__ import annotations

from collections.abc import Iterator

from inventory.core.suspect_facts import LineFacts, PeriodFacts
from inventory.core.suspects import Door, Sure, Suspect, listed, said
from shop.core.mass import ZERO, total
from shop.core.phrase import phrase


def missing_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """What was not found, under the best reason that is on file for it: two deliveries that are one, no label, a move.

    Each container is told once.
    """
    missing = {line.code: line for line in facts.lines if line.missing and line.expected > ZERO}
    for made, used in (*_twins(facts, missing), *_unlabelled(facts, missing), *_moved(facts, missing)):
        yield made
        for code in used:
            missing.pop(code, None)
    for line in missing.values():
        evidence = phrase(
            "{can} was not found. By the book it holds {mass} g.",
            can=line.code,
            mass=said(line.expected).lstrip("+"),
        )
        door = Door("containers:page", (line.code,))
        yield Suspect(
            "missing",
            evidence,
            line.difference,
            line.difference,
            Sure.ON_FILE,
            phrase("Who had {can}?", can=line.code),
            door,
        )


Told = list[tuple[Suspect, list[str]]]


def _twins(facts: PeriodFacts, missing: dict[str, LineFacts]) -> Told:
    found: Told = []
    here = {line.code for line in facts.lines if not line.missing}
    for one in facts.deliveries:
        if not one.twin:
            continue
        gone = [code for code in one.cans if code in missing]
        all_gone = bool(one.cans) and len(gone) == len(one.cans)
        least = total(missing[code].difference for code in gone) if gone else -(one.net * len(one.cans))
        evidence = phrase(
            "{delivery} looks like {twin}: same supplier, day and cans. {gone} of its {cans} cans were not found.",
            delivery=one.number,
            twin=one.twin,
            gone=len(gone),
            cans=len(one.cans),
        )
        suspect = Suspect(
            "twin",
            evidence,
            least,
            least if all_gone else ZERO,
            Sure.ON_FILE if all_gone else Sure.LIKELY if gone and not here & set(one.cans) else Sure.POSSIBLE,
            phrase("Compare the two slips"),
            Door("deliveries:merge", (one.number,)),
        )
        found.append((suspect, gone if all_gone else []))
    return found


def _unlabelled(facts: PeriodFacts, missing: dict[str, LineFacts]) -> Told:
    found: Told = []
    for one in facts.deliveries:
        if not one.unlabelled or not one.labelled or one.twin:
            continue
        gone = [code for code in one.unlabelled if code in missing]
        told = {
            "delivery": one.number,
            "cans": len(one.cans),
            "labels": one.labelled,
            "which": listed(gone or list(one.unlabelled)),
        }
        least = total(missing[code].difference for code in gone) if gone else -(one.net * len(one.unlabelled))
        evidence = (
            phrase(
                "{delivery} took in {cans} cans and {labels} labels were printed. {which} never had one and was not"
                " found: it may never have come.",
                **told,
            )
            if gone
            else phrase(
                "{delivery} took in {cans} cans and {labels} labels were printed. No label yet: {which}.",
                **told,
            )
        )
        suspect = Suspect(
            "labels",
            evidence,
            least,
            least if gone else ZERO,
            Sure.ON_FILE if gone else Sure.POSSIBLE,
            phrase("Look at {delivery}", delivery=one.number),
            Door("deliveries:page", (one.number,)),
        )
        found.append((suspect, gone))
    return found


def _moved(facts: PeriodFacts, missing: dict[str, LineFacts]) -> Told:
    found: Told = []
    for one in facts.moved:
        line = missing.get(one.code)
        if line is None:
            continue
        told = {"can": one.code, "spot": one.spot, "since": one.since, "day": one.since.day}
        evidence = (
            phrase("{can} was not found and is on the way to {spot} since {since:%b} {day}.", **told)
            if one.on_the_way
            else phrase("{can} was not found and stands in {spot} since {since:%b} {day}.", **told)
        )
        suspect = Suspect(
            "moved",
            evidence,
            line.difference,
            line.difference,
            Sure.ON_FILE,
            phrase("Ask in {spot}", spot=one.spot),
            Door("moves:list"),
        )
        found.append((suspect, [one.code]))
    return found


def hanging_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """Cans that went on a car and were not weighed back before the count."""
    for one in facts.hanging:
        told = {"can": one.code, "job": one.job, "mass": said(one.could_give).lstrip("+")}
        evidence = (
            phrase(
                "{can} was weighed on {job} and never weighed back. It was counted, and can have given up to {mass} g.",
                **told,
            )
            if one.counted
            else phrase("{can} was weighed on {job} and not weighed back. This count left it out.", **told)
        )
        yield Suspect(
            "not weighed back",
            evidence,
            -one.could_give if one.counted else ZERO,
            ZERO,
            Sure.LIKELY,
            phrase("Open {job}", job=one.job),
            Door("jobs:page", (one.job,)),
        )
