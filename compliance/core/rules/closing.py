"""What is asked of a job before it may be closed.

Each rule looks at the facts and returns findings. Its ``asked_by`` keeps law, shop rule and arithmetic apart, so that
no paper can print a habit as a duty; its ``basis`` says where it rests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compliance.core.job import JobFacts
from compliance.core.rules.said import (
    hold_was_taken,
    lost_cans_are_said,
    more_than_the_label_came_out,
    retrofit_is_whole,
    top_up,
    weights_were_weighed,
)
from compliance.core.stages import NEED_A_CARD, HoldResult, Outcome, StageKind
from shop.core.decision import Verdict
from shop.core.findings import Finding, blocked, warned
from shop.core.mass import ZERO, Unit
from shop.core.phrase import phrase

FEDERAL, SHOP, SUM = phrase("Federal"), phrase("Shop rule"), phrase("Arithmetic")


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
                sentence = phrase("{stage}: {said}", stage=kind.label, said=finding.message)
                yield blocked(finding.code, sentence, kind.value, finding.basis)


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


CLOSING_RULES = (
    Rule("stage-open", SHOP, phrase("every stage is answered"), _every_stage_answered),
    Rule("card-in-force", FEDERAL, phrase("40 CFR 82.34(a)(2), read"), _doers_hold_cards),
    Rule(
        "machine-refrigerant",
        FEDERAL,
        phrase("40 CFR 82.32(e)(1), 82.36(a), read"),
        _machine_takes_the_refrigerant,
    ),
    Rule("sum-holds", SUM, phrase("cans out = vehicle + hoses + recovered back + released"), _sum_holds),
    Rule("can-on-the-car", SUM, phrase("a draw needs a weight after"), _no_can_hangs),
    Rule("target-unknown", SHOP, phrase("charge to a known target"), _charged_to_a_known_target),
    Rule("outside-label", SHOP, phrase("the label's own tolerance; JCGM 106"), _outside_is_explained),
    Rule(
        "leak-unanswered", SHOP, phrase("a leak found is answered before a charge"), _leak_found_is_answered
    ),
    Rule("two-entries", SHOP, phrase("somebody at the car chooses between two entries"), _one_entry_is_true),
    Rule(
        "mischarged",
        SHOP,
        phrase("wrong refrigerant is taken out and the system evacuated"),
        _wrong_refrigerant_is_out,
    ),
    Rule("retrofit-lacks", SHOP, phrase("what a change of refrigerant asks for is said"), retrofit_is_whole),
    Rule("top-up", SHOP, phrase("top-up without recovery"), top_up),
    Rule("hold-short", SHOP, phrase("common practice, no source"), hold_was_taken),
    Rule(
        "over-label-out",
        SHOP,
        phrase("what came out is compared with the label"),
        more_than_the_label_came_out,
    ),
    Rule(
        "lost-from-cans",
        SUM,
        phrase("what a can lost outside the car is not in the car"),
        lost_cans_are_said,
    ),
    Rule("from-label", SHOP, phrase("both ends of a draw are weighed"), weights_were_weighed),
)


def closing_findings(job: JobFacts) -> tuple[Finding, ...]:
    """Everything the rules have to say of this job; a finding without a basis of its own takes its rule's."""
    return tuple(
        Finding(
            found.code,
            found.weight,
            found.message,
            found.field,
            found.basis or phrase("{asked_by}: {basis}", asked_by=rule.asked_by, basis=rule.basis),
        )
        for rule in CLOSING_RULES
        for found in rule.look(job)
    )
