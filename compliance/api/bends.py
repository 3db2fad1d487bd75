"""What bends a job: what the customer said, who goes on with it, a wrong can, what a rule pack asks."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from compliance.api.job_door import Colleague, ContainerOf, InService, JobDoor, JobWrites, line
from compliance.api.stages import BAY_WRITES
from compliance.core.packs import Layer
from compliance.core.rules.packs import items_of
from compliance.forms.bends import HOW
from compliance.forms.packs import WORDS
from compliance.models import CustomerChoice, HandOver, Mischarge
from compliance.queries import Sheet
from compliance.queries.packs import answers_given, job_rules
from compliance.services import (
    AnswerIn,
    ChoiceIn,
    MischargeIn,
    answer_pack,
    hand_over,
    record_choice,
    record_mischarge,
)
from inventory.services import TicketIn
from shop.api.base import writes
from shop.api.fields import FewOf, MassOut, ReadingIn, on_scale
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.http import now, say
from shop.permissions import EVERYONE

ALL_WRITE = writes(EVERYONE, Scope.JOBS_WRITE)


class ChoiceOut(serializers.Serializer[CustomerChoice]):
    """What the customer said; the newest holds."""

    what = serializers.ChoiceField(CustomerChoice.What.choices)
    who = serializers.CharField()
    how = serializers.CharField()
    note = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class SaidByCustomerIn(serializers.Serializer[Any]):
    """What the customer chose, who answered, and how."""

    what = serializers.ChoiceField(CustomerChoice.What.choices)
    who = serializers.CharField(max_length=80)
    how = serializers.ChoiceField([str(one) for one in HOW])
    note = line(200, "Their words, when they matter.")


class Choices(JobDoor, JobWrites):
    """Write down what the customer said about a job."""

    opens = ALL_WRITE
    takes = SaidByCustomerIn
    gives = ChoiceOut
    example = {"what": "repair", "who": "Ines Calloway", "how": "by phone"}

    def write(self, said: Any, **named: Any) -> CustomerChoice:
        return record_choice(self.job, ChoiceIn(**said), at=now(), by=self.person)


class HandOverOut(serializers.Serializer[HandOver]):
    """A job given to somebody else; each stage keeps the name of who did it."""

    to = serializers.CharField(source="to.name")
    note = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class HandOnIn(serializers.Serializer[Any]):
    """To whom, and how the job stands."""

    to = Colleague(max_length=80)
    note = serializers.CharField(max_length=200)


class HandOvers(JobDoor, JobWrites):
    """Give a job to somebody else in the bay."""

    opens = BAY_WRITES
    takes = HandOnIn
    gives = HandOverOut
    example = {"to": "Rosa Tamayo", "note": "vacuum holds, charge next"}

    def write(self, said: Any, **named: Any) -> HandOver:
        return hand_over(self.job, **said, at=now(), by=self.person)


class MischargeOut(serializers.Serializer[Mischarge]):
    """A can of another refrigerant that went into the car."""

    container = serializers.CharField(source="container_id")
    refrigerant = serializers.CharField(source="container.refrigerant_id")
    before = MassOut(source="before.reading")
    after = MassOut(source="after.reading")
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class WrongCanIn(serializers.Serializer[Any]):
    """A can of another refrigerant, as it weighed before and as it weighs now."""

    container = ContainerOf()
    scale = InService("scale")
    before = ReadingIn()
    after = ReadingIn()

    def validate(self, attrs: Any) -> Any:
        return attrs | {
            name: on_scale(attrs["scale"], attrs[name], field=name) for name in ("before", "after")
        }


class Mischarges(JobDoor, JobWrites):
    """Say that a can of another refrigerant went into the car. It must be taken out as unknown before a charge."""

    opens = BAY_WRITES
    takes = WrongCanIn
    gives = MischargeOut
    example = {
        "container": "K-0012",
        "scale": "SC-1",
        "before": {"value": "335", "unit": "g"},
        "after": {"value": "300", "unit": "g"},
    }

    def write(self, said: Any, **named: Any) -> Mischarge:
        before, after = (TicketIn(said["scale"], said[name]) for name in ("before", "after"))
        wrong = MischargeIn(said["container"], before, after)
        return record_mischarge(self.job, wrong, at=now(), by=self.person)


class AskedItemOut(serializers.Serializer[Any]):
    """One item and what was answered, or empty."""

    item = serializers.CharField()
    answer = serializers.CharField()
    reason = serializers.CharField()


class AskedOut(serializers.Serializer[Any]):
    """A list that a rule pack wants looked at, a sentence that it wants said to the customer, or a label on the car."""

    code = serializers.CharField()
    kind = serializers.ChoiceField([kind.value for kind in WORDS])
    sentence = serializers.CharField()
    basis = serializers.CharField()
    items = AskedItemOut(many=True)


def asked_of(sheet: Sheet, role: str) -> list[dict[str, Any]]:
    """What the packs of a job's day ask to be looked at or said, with the answers so far; the front office says things
    to customers, no more."""
    given = answers_given(sheet)
    layers = job_rules(sheet).asked.answered(by_office=role == Role.FRONT_OFFICE)
    return [
        {
            "code": layer.rule.code,
            "kind": layer.rule.kind.value,
            "sentence": say(layer.sentence),
            "basis": say(layer.basis),
            "items": [
                {"item": item, "answer": one.answer if one else "", "reason": one.reason if one else ""}
                for item in items_of(layer)
                for one in (given.get(layer.rule.code, {}).get(item),)
            ],
        }
        for layer in layers
    ]


class AnsweredItemIn(serializers.Serializer[Any]):
    """An item of the list in its English words, and its answer."""

    item = serializers.CharField(max_length=300)
    answer = serializers.ChoiceField([str(one) for words in WORDS.values() for one in words])


class AnswersIn(serializers.Serializer[Any]):
    """Answers to one list. ``why`` is needed where something was not looked at or not told."""

    code = serializers.CharField(max_length=40)
    answers = FewOf(child=AnsweredItemIn(), min_length=1, max_length=40)
    why = line(200, "Why something was not looked at, or who was told.")


class Answers(JobDoor, JobWrites):
    """Answer a list that a rule pack asks of a job, or say how the customer was told. The front office only tells."""

    opens = ALL_WRITE
    takes = AnswersIn
    gives = AskedOut
    example = {
        "code": "wi-say-before",
        "answers": [
            {
                "item": "No refrigerant may be added to a system that leaks, and yours may not be recharged until a"
                " leak that is found is repaired.",
                "answer": "told by phone",
            }
        ],
    }

    def write(self, said: Any, **named: Any) -> Any:
        asked = {one.rule.code: one for one in job_rules(self.sheet).answered}
        answers = {one["item"]: AnswerIn(one["answer"], said["why"]) for one in said["answers"]}
        self._refuse_other_words(asked.get(said["code"]), said["answers"])
        answer_pack(self.job, said["code"], answers, at=now(), by=self.person)
        return next(one for one in asked_of(self.sheet, self.person.role) if one["code"] == said["code"])

    def _refuse_other_words(self, layer: Layer | None, answers: list[dict[str, str]]) -> None:
        """A list is answered by what was found, a sentence by how it was told."""
        if layer is None:
            return
        words = [str(one) for one in WORDS[layer.rule.kind]]
        for place, one in enumerate(answers):
            if one["answer"] not in words:
                sentence = _("Answer here with one of: %s.") % ", ".join(words)
                raise serializers.ValidationError(
                    {"answers": {str(place): {"answer": [sentence]}}}, code="invalid_choice"
                )
