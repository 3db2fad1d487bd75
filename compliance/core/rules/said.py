"""What is said of a job when it is closed, beside what has to be so: top-ups, short holds, what a can lost."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.charge_rules import SLACK
from compliance.core.job import JobFacts
from compliance.core.rules.packs import RETROFIT_LABEL, label_answered
from compliance.core.stages import HoldResult, StageKind
from inventory.core.weighing import Origin
from shop.core.findings import Finding, blocked, noted, warned
from shop.core.mass import Unit
from shop.core.phrase import joined, phrase


def retrofit_is_whole(job: JobFacts) -> Iterator[Finding]:
    lacks = [what for what in job.retrofit_lacks if what != RETROFIT_LABEL or not label_answered(job)]
    if lacks:
        sentence = phrase(
            "Changed to {refrigerant} earlier; not found on the car: {what}.",
            refrigerant=job.refrigerant,
            what=joined(", ", lacks),
        )
        yield warned("retrofit-lacks", sentence, StageKind.CHECK_IN.value)


def more_than_the_label_came_out(job: JobFacts) -> Iterator[Finding]:
    if job.label is None or job.taken_out <= job.label + SLACK:
        return
    sentence = phrase(
        "{over} g more came out than the label asks for: overfilled before, or another gas in it. Measure the"
        " oil, and use an identifier.",
        over=(job.taken_out - job.label).rounded(Unit.G, 0),
    )
    yield noted("over-label-out", sentence, StageKind.RECOVERY.value)


def lost_cans_are_said(job: JobFacts) -> Iterator[Finding]:
    for light in job.light_cans:
        pattern = (
            phrase(
                "{can} was sealed and {by} g light: it leaked here.",
                can=light.can,
                by=light.by.rounded(Unit.G, 0),
            )
            if light.why == "leaked"
            else phrase(
                "{can} was sealed and {by} g light: it came short.",
                can=light.can,
                by=light.by.rounded(Unit.G, 0),
            )
        )
        yield noted("light-can", pattern, light.can)
    for can, mass in job.lost_waiting:
        sentence = phrase(
            "{can} lost {mass} g while it waited with its tap on: released, not charged.",
            can=can,
            mass=mass.rounded(Unit.G, 0),
        )
        yield noted("lost-waiting", sentence, can)


def top_up(job: JobFacts) -> Iterator[Finding]:
    if not job.charged or job.emptied_first:
        return
    if job.rules.top_up_without_recovery == 0:
        sentence = phrase(
            "Nothing was recovered and nothing evacuated: a top-up, which this shop's rules leave out."
            " Recover first, or ask the owner to change the rule."
        )
        yield blocked("top-up", sentence, StageKind.RECOVERY.value)
    else:
        yield warned(
            "total-unknown", phrase("Topped up without recovery: what the system holds in all is unknown.")
        )


def hold_was_taken(job: JobFacts) -> Iterator[Finding]:
    if not job.charged:
        return
    for seen in job.evacuations[-1:]:
        if seen.minutes < job.rules.evacuation_minutes:
            sentence = phrase(
                "Evacuated {minutes} min; the shop's rule is {evacuation_minutes}.",
                minutes=seen.minutes,
                evacuation_minutes=job.rules.evacuation_minutes,
            )
            yield warned("evacuation-short", sentence, StageKind.EVACUATION.value)
        if seen.result is HoldResult.ROSE:
            yield warned("vacuum-rose", phrase("The vacuum did not hold."), StageKind.EVACUATION.value)
        elif seen.hold_minutes < job.rules.vacuum_hold_minutes:
            sentence = phrase(
                "Vacuum held {hold_minutes} min; the shop's rule is {vacuum_hold_minutes}.",
                hold_minutes=seen.hold_minutes,
                vacuum_hold_minutes=job.rules.vacuum_hold_minutes,
            )
            yield warned("hold-short", sentence, StageKind.EVACUATION.value)


def weights_were_weighed(job: JobFacts) -> Iterator[Finding]:
    if job.reconciliation is None:
        return
    for draw in job.reconciliation.draws:
        if Origin.LABEL in (draw.before.origin, draw.after.origin):
            yield noted(
                "from-label",
                phrase("{draw}: a weight was taken from the label, not from the scale.", draw=draw.code),
            )
