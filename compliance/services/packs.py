"""The owner's choice of packs, and the answers to what they ask on a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.packs import Kind
from compliance.core.packs.words import STATES
from compliance.core.rules.packs import items_of
from compliance.models import Job, PackAnswer, PackChoice
from compliance.queries.packs import job_rules, local_packs, state_pack
from compliance.queries.sheets import job_sheet
from compliance.services.stages import hold, still_open
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import Establishment, Person


@dataclass(frozen=True, slots=True)
class PackChoiceIn:
    """A state by its two letters, and local packs by their ids, from a day on."""

    state: str
    local: Sequence[str]
    from_day: date


@transaction.atomic
def choose_packs(
    establishment: Establishment, choice: PackChoiceIn, *, today: date, at: datetime, by: Person
) -> PackChoice:
    """From today or a later day on the shop works under these; jobs before it keep the rules of their own day."""
    refuse_if_blocked(_wrong_choice(choice, today))
    return PackChoice.objects.create(
        establishment=establishment,
        state=choice.state,
        local=",".join(sorted(set(choice.local))),
        from_day=choice.from_day,
        at=at,
        by=by,
    )


def _wrong_choice(choice: PackChoiceIn, today: date) -> list[Finding]:
    found = []
    if choice.state not in STATES:
        found.append(blocked("state-unknown", phrase("Pick the state that the shop stands in."), "state"))
    if choice.from_day < today:
        sentence = phrase("Packs are chosen from today or a later day on; work done keeps its rules.")
        found.append(blocked("packs-backdated", sentence, "from_day"))
    known = {pack.id: pack for pack in local_packs(choice.from_day)}
    for one in choice.local:
        if one not in known:
            found.append(blocked("local-unknown", phrase("There is no such local pack on file."), "local"))
        elif known[one].parent != state_pack(choice.state):
            sentence = phrase(
                "{local} does not lie in {state}. Untick it, or pick its state.",
                local=known[one].title,
                state=STATES.get(choice.state, choice.state),
            )
            found.append(blocked("local-elsewhere", sentence, "local"))
    return found


@dataclass(frozen=True, slots=True)
class AnswerIn:
    """One item's answer; a reason is needed where something was not looked at."""

    answer: str
    reason: str = ""


@transaction.atomic
def answer_pack(
    job: Job, code: str, answers: Mapping[str, AnswerIn], *, at: datetime, by: Person
) -> list[PackAnswer]:
    """Write down what was found for the items of one list, or how the customer was told."""
    hold(job)
    sheet = job_sheet(job)
    layer = next((one for one in job_rules(sheet).answered if one.rule.code == code), None)
    items = items_of(layer) if layer is not None else ()
    found = still_open(job)
    if not set(answers) <= set(items) or not answers:
        found.append(blocked("answer-unasked", phrase("Nobody asks that of this job."), ""))
    if layer is not None and layer.rule.kind is not Kind.DISCLOSURE and by.role == Role.FRONT_OFFICE:
        sentence = phrase("Who looked at the car answers this list: a technician, or the owner.")
        found.append(blocked("answer-by", sentence, ""))
    for item in items:
        said = answers.get(item)
        if said is not None and said.answer in NEED_A_REASON and not said.reason.strip():
            sentence = phrase("{item}: say why it was not looked at.", item=item)
            if layer is not None and layer.labels_the_car:
                sentence = phrase("Say why the label is not on the car.")
            found.append(blocked("answer-why", sentence, "why"))
    refuse_if_blocked(found)
    rows = [
        PackAnswer(
            job=job, code=code, item=item, answer=said.answer, reason=said.reason.strip(), at=at, by=by
        )
        for item, said in answers.items()
    ]
    return PackAnswer.objects.bulk_create(rows)


NEED_A_REASON = ("not accessible", "not applicable", "not told", "not on the car")
