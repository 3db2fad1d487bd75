"""What every address below a job shares: the job itself, equipment of its day, whose field a refusal names."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext_lazy as _
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from compliance.models import Job
from compliance.queries import Sheet, job_sheet
from inventory.models import Container
from shop.api.base import Door, Writes
from shop.api.fields import OneOf
from shop.core.findings import Refused
from shop.core.roles import Role
from shop.models import Establishment, Person
from shop.queries import in_service

UNCERTIFIED = (
    "Who did it, when that was somebody without a 609 card. The key's person writes it down, no more."
)


class JobDoor(Door):
    """An address below a job of this shop."""

    model = Job
    job: Job

    @property
    def sheet(self) -> Sheet:
        """The job as it stands now."""
        return job_sheet(self.job)

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        jobs = Job.objects.at_shop(self.house).select_related("establishment", "closing")
        self.job = get_object_or_404(jobs, number=kwargs["number"])


class JobWrites(Writes):
    """A write whose refusal names fields of the body: ``named`` says where a service's field stands in it; what the
    body does not have speaks of the whole."""

    named: dict[str, str] = {}

    def post(self, request: Request, **named: Any) -> Response:
        try:
            return super().post(request, **named)
        except Refused as refused:
            raise Refused(
                replace(one, field=self._in_the_body(one.field)) for one in refused.findings
            ) from refused

    def _in_the_body(self, field: str) -> str:
        assert self.takes is not None  # noqa: S101 - it writes
        return self.named.get(field, field if field in self.takes().fields else "")


class InService(OneOf):
    """Equipment of one kind, by its code, that stood in service on the day of the job."""

    def __init__(self, kind: str, **rest: Any) -> None:
        super().__init__("code", lambda house: in_service(house, self.context["view"].job.on, kind), **rest)


class ContainerOf(OneOf):
    """A can or cylinder of this shop by the number on it."""

    def __init__(self, **rest: Any) -> None:
        super().__init__("pk", _containers, **rest)


def _containers(house: Establishment) -> Any:
    rows = Container.objects.filter(establishment=house)
    return rows.select_related("can__type", "cylinder", "mixed", "fate", "establishment")


class Colleague(serializers.CharField):
    """Somebody who works in the bay, by the whole name."""

    default_error_messages = {
        "unknown": _("Nobody in the bay is called “{value}”."),
        "two": _("Two people are called “{value}”. Hand the job over on its page."),
    }

    def run_validation(self, data: Any = serializers.empty) -> Any:
        name = super().run_validation(data)
        people = Person.objects.at(self.context["view"].house).filter(is_active=True, name=name)
        found = list(people.exclude(role=Role.FRONT_OFFICE)[:2])
        if len(found) != 1:
            self.fail("two" if found else "unknown", value=name)
        return found[0]


class Uncertified(serializers.CharField):
    """Who did a stage without a 609 card, or nobody."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(
            required=False, allow_blank=True, default="", max_length=80, help_text=UNCERTIFIED, **rest
        )


def line(most: int, help_text: str = "") -> serializers.CharField:
    """One line of text that may be left out."""
    return serializers.CharField(
        max_length=most, required=False, allow_blank=True, default="", help_text=help_text
    )
