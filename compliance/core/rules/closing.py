"""What is asked of a job before it may be closed.

Each rule looks at the facts and returns findings. Its ``asked_by`` keeps law, shop rule and arithmetic apart, so that
no paper can print a habit as a duty; its ``basis`` says where it rests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compliance.core.charge_rules import SLACK
from compliance.core.job import JobFacts
from compliance.core.rules.packs import RETROFIT_LABEL, label_answered
from compliance.core.stages import NEED_A_CARD, HoldResult, Outcome, StageKind
from inventory.core.weighing import Origin
from shop.core.decision import Verdict
from shop.core.findings import Finding, blocked, noted, warned
from shop.core.mass import ZERO, Unit
from shop.core.phrase import joined, phrase

FEDERAL, SHOP, SUM = "Federal", "Shop rule", "Arithmetic"


@dataclass(frozen=True, slots=True)
class Rule:
    code: str
    asked_by: str
    basis: str
    look: Callable[[JobFacts], Iterator[Finding]]


def _every_stage_answered(job: JobFacts) -> Iterator[Finding]:
    wanted = [kind for kind in StageKind if kind not in (StageKind.LEAK_TEST, StageKind.REPAIR)]
    if job.stopped:
        wanted = [StageKind.CHECK_IN]
    for kind in wanted:
        if kind not in job.stages:
            sentence = phrase(
                "{label} has no answer yet. Open it and say done, or not needed and why.", label=kind.label
            )
            yield blocked("stage-open", sentence, kind.value)


def _doers_hold_cards(job: JobFacts) -> Iterator[Finding]:
    for kind in NEED_A_CARD:
        stage = job.stages.get(kind)
        if kind in job.uncertified:
            yield _uncertified(kind, job.uncertified[kind], owner_signs=job.owner_signs)
        elif stage is not None and stage.outcome is Outcome.DONE:
            for finding in stage.standing.findings:
                yield blocked(finding.code, f"{kind.label}: {finding.message}", kind.value, finding.basis)


def _uncertified(kind: StageKind, name: str, *, owner_signs: bool) -> Finding:
    """What was done is said as it was; nobody signs it away in the doer's place, and the owner has to know."""
    if owner_signs:
        sentence = phrase("{stage} was done by {name}, who holds no 609 card.", stage=kind.label, name=name)
        return warned("uncertified-work", sentence, kind.value)
    sentence = phrase(
        "{stage} was done by {name}, who holds no 609 card. Only the owner can close this job.",
        stage=kind.label,
        name=name,
    )
    return blocked("uncertified-work", sentence, kind.value)


def _machine_takes_the_refrigerant(job: JobFacts) -> Iterator[Finding]:
    for recovery in job.recoveries:
        if not recovery.machine_takes_it:
            sentence = phrase(
                "The plate of {machine} does not name {refrigerant}. Use a machine made for it.",
                machine=recovery.machine,
                refrigerant=job.refrigerant,
            )
            yield blocked("machine-refrigerant", sentence, StageKind.RECOVERY.value)


def _sum_holds(job: JobFacts) -> Iterator[Finding]:
    if job.reconciliation is not None:
        yield from (finding for finding in job.reconciliation.findings if finding.code != "over-label")


def _no_can_hangs(job: JobFacts) -> Iterator[Finding]:
    for can in job.cans_hanging:
        yield blocked(
            "can-on-the-car",
            phrase("{can} is still on the car. Take it off, weigh it, keep the weight.", can=can),
            can,
        )


def _charged_to_a_known_target(job: JobFacts) -> Iterator[Finding]:
    if job.charged and not job.label_known:
        sentence = phrase(
            "The label's charge is unknown. Type it at check-in with its source before closing a charged job."
        )
        yield blocked("target-unknown", sentence, StageKind.CHECK_IN.value)


def _outside_is_explained(job: JobFacts) -> Iterator[Finding]:
    sums = job.reconciliation
    if sums is None or sums.deviation is None or job.stopped:
        return
    off = abs(sums.deviation).rounded(Unit.G, 0)
    side = phrase("Over") if sums.deviation > ZERO else phrase("Under")
    if sums.verdict is Verdict.OUTSIDE and not job.remark:
        sentence = phrase(
            "{side} the label by {off} g. Put it right (recover, or charge more), or say why it is left so.",
            side=side,
            off=off,
        )
        yield blocked("outside-label", sentence, "remark")
    elif sums.verdict is Verdict.OUTSIDE:
        yield warned(
            "outside-label",
            phrase("{side} the label by {off} g; left so: {remark}", side=side, off=off, remark=job.remark),
            "remark",
        )


def _leak_found_is_answered(job: JobFacts) -> Iterator[Finding]:
    if not job.charged or not job.leak_unanswered:
        return
    newest = max(job.leak_checks, key=lambda check: check.at)
    held = [one for one in job.evacuations if one.result is HoldResult.HELD and one.at > newest.at]
    if held:
        sentence = phrase(
            "A leak was found at {found:%H:%M}, and the vacuum held at {held:%H:%M}. Which is true of the car"
            " now? Write down the repair, or check again.",
            found=newest.at,
            held=held[-1].at,
        )
    else:
        sentence = phrase(
            "The last leak check found a leak. Write down the repair, check again, or stop the job."
        )
    yield blocked("leak-unanswered", sentence, StageKind.REPAIR.value)


def _wrong_refrigerant_is_out(job: JobFacts) -> Iterator[Finding]:
    if job.charged and job.wrong_can:
        sentence = phrase(
            "{can} of another refrigerant went into this car. Recover all of it into a cylinder for unknown"
            " refrigerant, evacuate, then charge again; or stop the job.",
            can=job.wrong_can,
        )
        yield blocked("mischarged", sentence, StageKind.RECOVERY.value)
    for can, refrigerant, mass in job.wrong_cans:
        sentence = phrase(
            "By mistake {mass} g of {refrigerant} from {can} went into this car.",
            mass=mass.rounded(Unit.G, 0),
            refrigerant=refrigerant,
            can=can,
        )
        yield warned("mischarge-said", sentence)


def _one_entry_is_true(job: JobFacts) -> Iterator[Finding]:
    for said in job.undecided:
        yield blocked(
            "two-entries", phrase("Two phones wrote one thing: {said}. Choose which is true.", said=said)
        )


def _retrofit_is_whole(job: JobFacts) -> Iterator[Finding]:
    lacks = [what for what in job.retrofit_lacks if what != RETROFIT_LABEL or not label_answered(job)]
    if lacks:
        sentence = phrase(
            "Changed to {refrigerant} earlier; not found on the car: {what}.",
            refrigerant=job.refrigerant,
            what=joined(", ", lacks),
        )
        yield warned("retrofit-lacks", sentence, StageKind.CHECK_IN.value)


def _more_than_the_label_came_out(job: JobFacts) -> Iterator[Finding]:
    if job.label is None or job.taken_out <= job.label + SLACK:
        return
    sentence = phrase(
        "{over} g more came out than the label asks for: overfilled before, or another gas in it. Measure the"
        " oil, and use an identifier.",
        over=(job.taken_out - job.label).rounded(Unit.G, 0),
    )
    yield noted("over-label-out", sentence, StageKind.RECOVERY.value)


def _lost_cans_are_said(job: JobFacts) -> Iterator[Finding]:
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


def _top_up(job: JobFacts) -> Iterator[Finding]:
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


def _hold_was_taken(job: JobFacts) -> Iterator[Finding]:
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


def _weights_were_weighed(job: JobFacts) -> Iterator[Finding]:
    if job.reconciliation is None:
        return
    for draw in job.reconciliation.draws:
        if Origin.LABEL in (draw.before.origin, draw.after.origin):
            yield noted(
                "from-label",
                phrase("{draw}: a weight was taken from the label, not from the scale.", draw=draw.code),
            )


CLOSING_RULES = (
    Rule("stage-open", SHOP, "every stage is answered", _every_stage_answered),
    Rule("card-in-force", FEDERAL, "40 CFR 82.34(a)(2), read", _doers_hold_cards),
    Rule(
        "machine-refrigerant", FEDERAL, "40 CFR 82.32(e)(1), 82.36(a), read", _machine_takes_the_refrigerant
    ),
    Rule("sum-holds", SUM, "cans out = vehicle + hoses + recovered back + released", _sum_holds),
    Rule("can-on-the-car", SUM, "a draw needs a weight after", _no_can_hangs),
    Rule("target-unknown", SHOP, "charge to a known target", _charged_to_a_known_target),
    Rule("outside-label", SHOP, "the label's own tolerance; JCGM 106", _outside_is_explained),
    Rule("leak-unanswered", SHOP, "a leak found is answered before a charge", _leak_found_is_answered),
    Rule("two-entries", SHOP, "somebody at the car chooses between two entries", _one_entry_is_true),
    Rule(
        "mischarged",
        SHOP,
        "wrong refrigerant is taken out and the system evacuated",
        _wrong_refrigerant_is_out,
    ),
    Rule("retrofit-lacks", SHOP, "what a change of refrigerant asks for is said", _retrofit_is_whole),
    Rule("top-up", SHOP, "top-up without recovery", _top_up),
    Rule("hold-short", SHOP, "common practice, no source", _hold_was_taken),
    Rule("over-label-out", SHOP, "what came out is compared with the label", _more_than_the_label_came_out),
    Rule("lost-from-cans", SUM, "what a can lost outside the car is not in the car", _lost_cans_are_said),
    Rule("from-label", SHOP, "both ends of a draw are weighed", _weights_were_weighed),
)


def closing_findings(job: JobFacts) -> tuple[Finding, ...]:
    """Everything the rules have to say of this job; a finding without a basis of its own takes its rule's."""
    return tuple(
        Finding(
            found.code,
            found.weight,
            found.message,
            found.field,
            found.basis or f"{rule.asked_by}: {rule.basis}",
        )
        for rule in CLOSING_RULES
        for found in rule.look(job)
    )
