"""A leak rate between two visits in words: what it is, what follows from it, the numbers behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from compliance.core.leak_rate import (
    COVERAGE,
    FEWEST_DAYS,
    RATED_AT_LEAST,
    LeakRate,
    Unknown,
)
from compliance.core.stages import Compressor
from shop.core.answer import Answer, unknown
from shop.core.findings import Weight
from shop.core.gauge import rounded
from shop.core.mass import Unit
from shop.core.phrase import phrase

BASIS = phrase(
    "Shop finding, no federal rule asks for it. Loss = put in less taken out by the part that recovery takes;"
    " GUM 5.1, JCGM 106. Normal: 40 CFR 86.1867-12(b)(1); repair: Directive 2006/40/EC."
)
NO_PROOF = phrase("That is no proof that nothing leaks.")


def leak_rate_answer(result: LeakRate | Unknown) -> Answer:
    """In words, with the numbers behind it. Flags ask for a look; nothing here stops a job."""
    if isinstance(result, Unknown):
        return _not_known(result)
    return Answer(
        _headline(result),
        tuple(_says(result)),
        tuple(_numbers(result)),
        Weight.WARNS if result.is_flagged else Weight.NOTE,
        BASIS,
        judges=result.is_flagged,
    )


def _not_known(result: Unknown) -> Answer:
    answer = unknown(result.reason, basis=BASIS)
    if result.at_least is None:
        return answer
    bound = phrase(
        "Lower bound only: {mass} g went in, so about that much was lost, if it is not over-filled now.",
        mass=result.at_least.rounded(Unit.G, 0),
    )
    return Answer(answer.headline, (bound,), weight=answer.weight, basis=BASIS)


def _headline(one: LeakRate) -> str:
    lost, days = rounded(one.loss, 0), one.since.days
    rate = rounded(one.per_year, 0) if one.per_year is not None else ""
    if one.wants_repair:
        return phrase(
            "Lost about {lost} g in {days} days, {rate} g a year: repair before recharging.",
            lost=lost,
            days=days,
            rate=rate,
        )
    if one.is_above_normal:
        return phrase(
            "Lost about {lost} g in {days} days, {rate} g a year: above normal.",
            lost=lost,
            days=days,
            rate=rate,
        )
    if not one.is_shown:
        return phrase(
            "No loss is shown since {job}, {days} days ago: {lost} g, give or take {give} g.",
            job=one.since.filled.job,
            days=days,
            lost=lost,
            give=rounded(COVERAGE * one.u_loss, 0),
        )
    if one.per_year is None:
        return phrase("Lost about {lost} g in {days} days.", lost=lost, days=days)
    return phrase("Lost about {lost} g in {days} days, {rate} g a year.", lost=lost, days=days, rate=rate)


def _says(one: LeakRate) -> Iterator[str]:
    if one.is_comeback:
        yield phrase(
            "Comeback: within the shop's {days} days, and more than 10 % of the label is gone.",
            days=one.since.warranty_days,
        )
    if one.was_nearly_empty:
        yield phrase("It came nearly empty: it may have lost it sooner, so the leak may be larger.")
    if one.wants_repair or one.is_above_normal:
        yield phrase("Look for the leak before charging; a check that sees none does not undo this number.")
    if not one.is_shown:
        yield NO_PROOF
    if one.per_year is None:
        yield phrase("Under {days} days a loss this small is not made into a yearly rate.", days=FEWEST_DAYS)
    elif one.is_shown and not one.is_above_normal and not one.wants_repair:
        yield phrase("Not shown to be above normal.")


def _numbers(one: LeakRate) -> Iterator[tuple[str, str]]:
    since, found = one.since, one.since.found
    yield _give(phrase("Put in, {job}", job=since.filled.job), since.filled.mass.grams, since.filled.u_g)
    if found.mass is not None:
        yield _give(phrase("Taken out now"), found.mass.grams, found.u_g)
    part = phrase(
        "{part} %, give or take {give} %; {why}",
        part=rounded(100 * one.part.part, 1),
        give=rounded(100 * COVERAGE * one.part.u, 1),
        why=one.part.why,
    )
    yield phrase("Recovery takes out"), part
    yield _give(phrase("Lost"), one.loss, one.u_loss)
    if one.per_year is None:
        return
    yield _give(phrase("In a year"), one.per_year, one.u_per_year)
    for limit in (one.normal, one.bad):
        yield (
            phrase("Chance of more than {limit} g a year", limit=rounded(limit, 0)),
            _percent(one.chance(limit)),
        )
    rated = RATED_AT_LEAST.get(Compressor(since.compressor))
    if rated is not None:
        yield (
            phrase("A new car is rated at no less than"),
            phrase("{rated} g a year", rated=rounded(rated, 1)),
        )


def _percent(chance: float) -> str:
    """Never rounded up, so that no chance is said to be certain."""
    whole = math.floor(100 * chance)
    if whole < 1:
        return phrase("under 1 %")
    return phrase("over 99 %") if chance > 0.99 else f"{whole} %"


def _give(label: str, value: float, u: float) -> tuple[str, str]:
    told = phrase("{value} g, give or take {give} g", value=rounded(value, 0), give=rounded(COVERAGE * u, 0))
    return label, told
