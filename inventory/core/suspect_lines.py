"""Suspects among the weighed lines of a count: readings in another unit, swapped pairs, changes without a ticket."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from inventory.core.suspect_facts import DrawFacts, LineFacts, PairFacts, PeriodFacts
from inventory.core.suspects import Door, Sure, Suspect, grams_of, said
from inventory.core.weighing import u_difference
from inventory.core.weighing_rules import FROST, LABEL_FILL_SPREAD_G, K
from shop.core.mass import ZERO, Mass, grams
from shop.core.phrase import phrase

SLACK = 0.03
# How many times too large a reading is when it was typed in the first unit and shown in the second.
RATIOS = (
    (28.349523125, phrase("grams"), phrase("ounces"), ("can", "cylinder")),
    (16.0, phrase("pounds"), phrase("ounces"), ("can", "cylinder")),
    (35.27396195, phrase("kilograms"), phrase("ounces"), ("can", "cylinder")),
    (2.2046226218, phrase("kilograms"), phrase("pounds"), ("cylinder",)),
)


def wide_g(line: LineFacts) -> float:
    """How much a weighed line may be off by its scale, and by its own shell and fill while no count has weighed it."""
    display = K * u_difference(grams_of(line.division_g))
    return display + (0.0 if line.known else line.shell_spread_g + K * LABEL_FILL_SPREAD_G)


def line_suspects(facts: PeriodFacts) -> Iterator[Suspect]:
    """What changed between tickets: swapped pairs, readings in another unit, the rest one by one."""
    told: set[str] = set()
    for code, slip in slip_suspects(facts):
        yield slip
        if _fits_line(facts, code, slip.low):
            told.add(code)
    off = [
        line
        for line in facts.lines
        if line.weighed and line.code not in told and abs(line.difference.grams) > wide_g(line)
    ]
    for one, other in combinations(off, 2):
        if {one.code, other.code} & told or not _look_swapped(one, other, facts.swapped_slack_g):
            continue
        told |= {one.code, other.code}
        yield _swap(one, other)
    for line in off:
        if line.code in told:
            continue
        written = _written_against(facts, line)
        yield _changed(line) if written is None else _used_for(line, written)
    gained = [line for line in facts.lines if line.weighed and line.known and line not in off]
    for line in gained:
        if FROST >= line.difference > grams(1):
            yield _changed(line)


def _look_swapped(one: LineFacts, other: LineFacts, slack_g: float) -> bool:
    """Opposite changes of like size, of two cans."""
    opposite = one.difference.ug * other.difference.ug < 0
    slack = slack_g + max(0.0, wide_g(one) + wide_g(other)) / 2
    return (
        opposite
        and one.kind == other.kind == "can"
        and abs((one.difference + other.difference).grams) <= slack
    )


def _swap(one: LineFacts, other: LineFacts) -> Suspect:
    up, down = sorted((one, other), key=lambda line: line.difference, reverse=True)
    evidence = phrase(
        "{heavier} gained {more} g and {lighter} lost {less} g. These two tickets, swapped, explain {each} g on either"
        " line.",
        heavier=up.code,
        more=said(up.difference).lstrip("+"),
        lighter=down.code,
        less=said(-down.difference).lstrip("+"),
        each=said(min(up.difference, -down.difference)).lstrip("+"),
    )
    net = up.difference + down.difference
    asks = f"heavier={up.code}&lighter={down.code}"
    return Suspect(
        "swapped",
        evidence,
        net,
        net,
        Sure.LIKELY,
        phrase("Swap these two"),
        Door("containers:swap", (), asks),
    )


def _written_against(facts: PeriodFacts, line: LineFacts) -> DrawFacts | None:
    """A draw of like size by another can that this count did not weigh, when this one lost as much with no ticket."""
    if line.difference > ZERO or line.ticketed or line.kind != "can":
        return None
    seen = {one.code for one in facts.lines if one.weighed}
    slack = facts.swapped_slack_g + wide_g(line)
    fits = [
        draw
        for draw in facts.draws
        if draw.code not in seen and abs((draw.mass + line.difference).grams) <= slack
    ]
    return min(fits, key=lambda draw: abs((draw.mass + line.difference).grams), default=None)


def _used_for(line: LineFacts, draw: DrawFacts) -> Suspect:
    evidence = phrase(
        "{lighter} came {mass} g short with no ticket. {job} has {drawn} g out of {heavier}, which this count did not"
        " weigh. These two cans, swapped, explain {each} g.",
        lighter=line.code,
        mass=said(-line.difference).lstrip("+"),
        job=draw.job,
        drawn=said(draw.mass).lstrip("+"),
        heavier=draw.code,
        each=said(min(draw.mass, -line.difference)).lstrip("+"),
    )
    amount = max(-draw.mass, line.difference)
    door = Door("containers:swap", (), f"heavier={draw.code}&lighter={line.code}")
    return Suspect("swapped", evidence, amount, amount, Sure.LIKELY, phrase("Swap these two"), door)


def _changed(line: LineFacts) -> Suspect:
    told = {"can": line.code, "mass": said(abs(line.difference)).lstrip("+"), "last": line.last}
    door = Door("containers:weigh", (line.code,))
    do = phrase("Weigh {can} now", can=line.code)
    if line.difference < ZERO:
        evidence = (
            phrase(
                "{can} came {mass} g short at the count. Its last ticket before: {last}. Its valve may leak, or a"
                " weight on a job is wrong.",
                **told,
            )
            if line.ticketed
            else phrase(
                "{can} was never weighed on a job in this time and came {mass} g short at the count. Its last ticket"
                " before: {last}.",
                **told,
            )
        )
        return Suspect(
            "changed" if line.ticketed else "unticketed",
            evidence,
            line.difference,
            line.difference,
            Sure.LIKELY,
            do,
            door,
        )
    evidence = (
        phrase("{can} gained {mass} g since its last ticket. Frost or water can do that.", **told)
        if line.difference <= FROST + grams(1)
        else phrase("{can} holds {mass} g more than the book says. Its last ticket before: {last}.", **told)
    )
    return Suspect("gained", evidence, line.difference, line.difference, Sure.LIKELY, do, door)


def slip_suspects(facts: PeriodFacts) -> Iterator[tuple[str, Suspect]]:
    """By container, readings that fit the one before when their number is read in another unit, within 3 percent."""
    seen: set[str] = set()
    for pair in facts.pairs:
        slip = _slip(facts, pair)
        if slip is None or pair.code in seen:
            continue
        seen.add(pair.code)
        too_much, typed, meant = slip
        amount = -too_much if pair.role == "after" else too_much
        evidence = phrase(
            "{can}: {text} at {where} fits the weight before it when it is read in {meant}, not in {typed}.",
            can=pair.code,
            text=pair.later_text,
            where=pair.where or phrase("this count"),
            meant=meant,
            typed=typed,
        )
        door = Door("jobs:page", (pair.where,)) if pair.where else Door("containers:weigh", (pair.code,))
        do = phrase("Open {job}", job=pair.where) if pair.where else phrase("Weigh {can} now", can=pair.code)
        yield pair.code, Suspect("unit", evidence, amount, amount, Sure.LIKELY, do, door)


def _slip(facts: PeriodFacts, pair: PairFacts) -> tuple[Mass, str, str] | None:
    """(what the reading shows too much, the unit it was kept in, the unit it was shown in)."""
    if pair.earlier <= ZERO or pair.later <= ZERO:
        return None
    times = pair.later.grams / pair.earlier.grams
    for ratio, large, small, kinds in RATIOS:
        if pair.kind not in kinds:
            continue
        for factor, typed, meant in ((ratio, large, small), (1 / ratio, small, large)):
            if abs(times / factor - 1) > SLACK:
                continue
            too_much = pair.later - grams_of(pair.later.grams / factor)
            if pair.role != "count" or _fits_line(facts, pair.code, too_much):
                return too_much, typed, meant
    return None


def _fits_line(facts: PeriodFacts, code: str, too_much: Mass) -> bool:
    """The book must say so too: a cylinder can be filled to twice its weight."""
    line = next((one for one in facts.lines if one.code == code), None)
    return line is not None and abs((line.difference - too_much).grams) <= SLACK * abs(
        too_much.grams
    ) + wide_g(line)
