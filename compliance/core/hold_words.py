"""What a leak-test hold could see, in words: on the stage's page and in the sum without a job.

A hold is never said to show that nothing leaks, and no leak is ever given a rate from it; only the limit of the test
is, beside the scale of the detector that can see slow leaks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from compliance.core.hold_readings import Unknown
from compliance.core.leak import ENOUGH, ENOUGH_ABOVE, WARMEST, Blind, Change, Excess, Seeing, Seen, Unseen
from inventory.core.properties import EQUATIONS
from shop.core.answer import Answer, unknown
from shop.core.findings import Weight
from shop.core.gauge import PSI, in_celsius, in_fahrenheit, in_psig, rounded
from shop.core.phrase import phrase

Found = tuple[str, Weight, tuple[str, ...]]  # headline, weight, what to do
SETTLE = phrase(
    "Start the clock 10 to 15 min after charging: cold metal warms, and the pressure rises by itself."
)
OIL = phrase("Oil takes refrigerant up for hours, and that looks the same.")
SEARCH = phrase("Search with the detector before adding refrigerant.")


def leak_answer(seen: Seen | Unknown, detector_g_year: float) -> Answer:
    """The whole answer; ``detector_g_year`` is what the shop's detector is set to."""
    if isinstance(seen, Unknown):
        return unknown(seen.why, basis=EQUATIONS)
    headline, weight, says = _found(seen, detector_g_year)
    if seen.hold.lacks:
        weight, says = Weight.WARNS, (seen.hold.lacks, *says)
    sentences = (*says, *_for_the_detector(seen))
    if seen.hold.end is None and not isinstance(seen.start, Excess):
        sentences = (*sentences, SETTLE)
    return Answer(headline, sentences, tuple(_numbers(seen, detector_g_year)), weight, _basis(seen))


def _found(seen: Seen, scale: float) -> Found:
    """The first that holds: more than this refrigerant alone, blind, a volume that no car has, what changed."""
    start, end, hold = seen.start, seen.end, seen.hold
    if isinstance(start, Excess):
        return _excess(seen, start, hold.start.kelvin)
    if isinstance(end, Excess) and hold.end is not None:
        return _excess(seen, end, hold.end.kelvin)
    if isinstance(start, Blind):
        return _blind(start, hold.start.kelvin)
    if not start.plausible:
        return _no_such_car(start)
    if isinstance(end, Blind) and hold.end is not None:
        said = phrase(
            "It began seeing and ended blind: at {degrees} some of it may be liquid.",
            degrees=degrees(hold.end.kelvin),
        )
        return said, Weight.WARNS, (_what_to_do(end.cases),)
    if seen.change is None:
        return _can_see(seen, scale)
    return _changed(seen, seen.change, scale)


def _excess(seen: Seen, excess: Excess, kelvin: float) -> Found:
    headline = phrase(
        "{over} psi above what {refrigerant} alone can show at {degrees}.",
        over=rounded(excess.over / PSI, 1),
        refrigerant=seen.hold.fluid.code,
        degrees=degrees(kelvin),
    )
    causes = phrase(
        "Air or another refrigerant in it, a thermometer that is not at the coldest part, or a gauge that counts from"
        " zero. Read both again; an identifier tells the first two. Letting some out cures neither."
    )
    return headline, Weight.WARNS, (causes,)


def _blind(blind: Blind, kelvin: float) -> Found:
    worst = blind.cases[0]
    if worst.grams < 1:
        headline = phrase(
            "Blind at {degrees}: too near saturation to tell vapour from liquid.", degrees=degrees(kelvin)
        )
    else:
        headline = phrase(
            "Blind: at {degrees} some of it may be liquid; the gauge would read the same with up to {grams} g gone.",
            degrees=degrees(kelvin),
            grams=rounded(worst.grams, 0),
        )
    return headline, Weight.WARNS, (_what_to_do(blind.cases),)


def _what_to_do(cases: tuple[Unseen, ...]) -> str:
    """By the smallest room that warming helps; the worst case is said when it does not help there."""
    helped = [case for case in cases if case.sees_above is not None]
    said = {"warmest": degrees(WARMEST), "worst": rounded(cases[0].volume_l, 1)}
    if not helped or helped[0].sees_above is None:
        return phrase(
            "Use the detector. With {worst} L inside, the gauge would be blind even at {warmest}.", **said
        )
    warm = degrees(helped[0].sees_above, up=True)
    if helped[0] is cases[0]:
        return phrase(
            "Use the detector. Or warm the bay, never with a flame, until the whole system is above {warm}, and read"
            " again.",
            warm=warm,
        )
    return phrase(
        "Use the detector. Or warm the bay, never with a flame: with {litres} L inside the gauge sees above {warm},"
        " with {worst} L not even at {warmest}.",
        litres=rounded(helped[0].volume_l, 1),
        warm=warm,
        **said,
    )


def _no_such_car(start: Seeing) -> Found:
    headline = phrase(
        "At this pressure the grams would fill {litres} L, and cars hold about 1.5 to 4.5.",
        litres=about(start.volume_l),
    )
    causes = phrase(
        "Check the valves, the gauge's unit, and the grams. If they are right, some has gone already or went elsewhere."
    )
    return headline, Weight.WARNS, (causes,)


def _can_see(seen: Seen, scale: float) -> Found:
    if seen.limit_g is None:
        headline = phrase("All vapour at {degrees}: it can see.", degrees=degrees(seen.hold.start.kelvin))
        return headline, Weight.NOTE, ()
    headline = phrase("It can see: a loss of {limit} g or more would show.", limit=rounded_up(seen.limit_g))
    says = []
    if seen.limit_kg_year is not None:
        says.append(
            phrase(
                "Over {minutes} min that is a leak of about {rate} kg a year.",
                minutes=seen.hold.minutes,
                rate=about(seen.limit_kg_year),
            )
        )
    return headline, Weight.NOTE, (*says, *_beside_the_detector(seen, scale))


def _changed(seen: Seen, change: Change, scale: float) -> Found:
    if not seen.settled:
        headline = phrase("Held {minutes} min: too short to say anything.", minutes=seen.hold.minutes)
        return headline, Weight.WARNS, (phrase("Hold 15 min or more, with the temperature settled."),)
    if change.fell:
        headline = phrase(
            "The pressure is {off} psi below what the temperature explains, about {grams} g.",
            off=unexplained(seen),
            grams=about(change.loss_g),
        )
        return headline, Weight.WARNS, (OIL, SEARCH)
    if change.rose:
        headline = phrase(
            "The pressure is {off} psi above what the temperature explains.", off=unexplained(seen)
        )
        again = phrase(
            "The metal is still warming, or the thermometer is not where the refrigerant is. Wait 10 to 15 min and"
            " start the clock again."
        )
        return headline, Weight.WARNS, (again,)
    headline = phrase(
        "No change larger than {limit} g; small leaks would not show.", limit=rounded_up(seen.limit_g)
    )
    rules_out = phrase(
        "In {minutes} min this rules out leaks above about {rate} kg a year only.",
        minutes=seen.hold.minutes,
        rate=about(seen.limit_kg_year or 0),
    )
    return headline, Weight.NOTE, (rules_out, *_beside_the_detector(seen, scale))


def unexplained(seen: Seen) -> str:
    """psi between what the gauge showed at the end and what the temperature explains."""
    if seen.hold.end is None or seen.expected is None:
        return ""
    return rounded(abs(seen.hold.end.pascal - seen.expected) / PSI, 1)


def _beside_the_detector(seen: Seen, scale: float) -> Iterator[str]:
    days = seen.days_to_show(scale)
    if days is not None:
        yield phrase(
            "Small leaks need the detector: at its setting, {scale} g a year, losing as much takes about {days} days.",
            scale=rounded(scale, 0),
            days=about(days),
        )


def _for_the_detector(seen: Seen) -> Iterator[str]:
    one = seen.detector
    if one is None or (isinstance(seen.start, Seeing) and not seen.start.plausible):
        return
    asked = phrase(
        "Service texts ask for {psi} psi above {warm} when a detector is used",
        psi=rounded(ENOUGH / PSI, 0),
        warm=degrees(ENOUGH_ABOVE),
    )
    if not one.warm:
        yield phrase("{asked}: warm it first.", asked=asked)
    elif one.enough:
        yield phrase("{asked}: the pressure suffices.", asked=asked)
    elif one.more_g is not None:
        yield phrase(
            "{asked}: about {more} g more would do, off the scale.",
            asked=asked,
            more=rounded(math.ceil(one.more_g), 0),
        )
    else:
        yield phrase("{asked}: the pressure does not suffice.", asked=asked)


def _numbers(seen: Seen, scale: float) -> Iterator[tuple[str, str]]:
    hold, air, start = seen.hold, seen.hold.here.air, seen.start
    liquid = phrase(
        "{refrigerant} with liquid, {degrees}",
        refrigerant=hold.fluid.code,
        degrees=degrees(hold.start.kelvin),
    )
    yield liquid, _psi(hold.fluid.pressure(hold.start.kelvin), air)
    if isinstance(start, Blind):
        for case in start.cases:
            yield phrase("With {litres} L inside", litres=rounded(case.volume_l, 1)), _case(case)
    if isinstance(start, Seeing):
        volume = phrase(
            "{litres} L, give or take {twice} L",
            litres=rounded(start.volume_l, 1),
            twice=rounded(2 * start.u_volume_l, 1),
        )
        yield phrase("Room inside, at most about"), volume
    if seen.expected is not None and hold.end is not None:
        yield phrase("Expected at {degrees}", degrees=degrees(hold.end.kelvin)), _psi(seen.expected, air)
        yield phrase("Read there"), _psi(hold.end.pascal, air)
    if seen.change is not None and seen.settled:
        loss = phrase(
            "{grams} g, give or take {twice} g (two standard uncertainties)",
            grams=rounded(seen.change.loss_g, 1),
            twice=rounded_up(2 * seen.change.u_g),
        )
        yield phrase("Apparent loss"), loss
    if seen.limit_g is not None:
        yield phrase("Smallest loss it could show"), f"{rounded_up(seen.limit_g)} g"
    yield phrase("Detector set to"), phrase("{scale} g a year", scale=rounded(scale, 0))


def _case(case: Unseen) -> str:
    grams = rounded(case.grams, 0)
    if case.sees_above is None:
        return phrase("{grams} g unseen", grams=grams)
    return phrase("{grams} g unseen; sees above {warm}", grams=grams, warm=degrees(case.sees_above, up=True))


def _psi(pascal: float, air: float) -> str:
    return f"{rounded(in_psig(pascal, air), 1)} psi"


def _basis(seen: Seen) -> str:
    said = {"equations": EQUATIONS, "air": seen.hold.here.air_said}
    if isinstance(seen.start, Blind) and seen.hold.volume_l is None:
        return phrase(
            "{equations}; air: {air}. No published figure for the room inside a car's system was found; 1.5 to 4.5 L is"
            " our assumption.",
            **said,
        )
    return phrase(
        "{equations}; air: {air}. One temperature throughout, oil not counted; 5 % false alarms, 5 % missed (GUM).",
        **said,
    )


def degrees(kelvin: float, *, up: bool = False) -> str:
    """ "86 °F (30 °C)"; ``up`` rounds to the warmer side."""
    fahrenheit, celsius = in_fahrenheit(kelvin), in_celsius(kelvin)
    if up:
        fahrenheit, celsius = math.ceil(fahrenheit), math.ceil(celsius)
    return f"{rounded(fahrenheit, 0)} °F ({rounded(celsius, 0)} °C)"


def about(value: float) -> str:
    """Two figures: 65, 1.9, 270, 0.83."""
    return rounded(value, 1 - math.floor(math.log10(value))) if value > 0 else "0"


def rounded_up(grams: float | None) -> str:
    """To a tenth of a gram upwards: what a test can see is not made finer by rounding."""
    return rounded(math.ceil((grams or 0) * 10 - 1e-9) / 10, 1)
