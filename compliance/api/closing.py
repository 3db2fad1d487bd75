"""The signature under a job, and what it gives: the certificate's number and the hashes."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import serializers

from compliance.api.job_door import JobDoor, JobWrites, line
from compliance.api.papers import PaperOut
from compliance.api.stages import BAY_WRITES
from compliance.forms.closing import STOPS, ends_without
from compliance.models import Closing
from compliance.services import CloseIn, close_job
from shop.api.fields import FewOf
from shop.http import now


class ChainLinkOut(serializers.Serializer[Any]):
    """A place in the shop's chain and its hash, which covers the one before it."""

    place = serializers.IntegerField()
    before = serializers.CharField()
    hash = serializers.CharField()


class JobClosingOut(serializers.Serializer[Closing]):
    """A signed job: the day of its work, its entry in the book, its certificate, its link of the chain."""

    job = serializers.CharField(source="job.number")
    on = serializers.DateField()
    charged = serializers.BooleanField()
    entry = serializers.IntegerField(source="entry_id")
    certificate = PaperOut(source="certificates.get.document")
    link = ChainLinkOut()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class NotChargedIn(serializers.Serializer[Any]):
    """How a job ends without a charge. Only the owner closes one as abandoned."""

    stops = FewOf(
        child=serializers.ChoiceField([str(one) for one in STOPS]),
        required=False,
        default=list,
        max_length=len(STOPS),
        help_text="What stopped it.",
    )
    stopped = line(200, "The same in words, for example: condenser lower left, dye.")
    state_now = serializers.CharField(
        max_length=300, help_text="What is true of the car now, for example: empty, ports capped."
    )
    choice = serializers.CharField(max_length=300, help_text="What the customer chose, how and when.")

    def validate(self, attrs: Any) -> Any:
        if not attrs["stops"] and not attrs["stopped"].strip():
            sentence = _("Name what stopped the job, or say it in words.")
            raise serializers.ValidationError({"stopped": [sentence]}, code="required")
        return attrs


class CloseJobIn(serializers.Serializer[Any]):
    """Nothing, or why a charge outside the label is left so; ``not_charged`` for a job that ends without a charge."""

    remark = line(300, "Printed on the certificate.")
    not_charged = NotChargedIn(required=False, allow_null=True, default=None)


class JobClosing(JobDoor, JobWrites):
    """Sign a job: the rules, the book, the link of the chain and the certificate, in one transaction. Refused with
    every finding while one blocks."""

    opens = BAY_WRITES
    takes = CloseJobIn
    gives = JobClosingOut
    named = {name: f"not_charged.{name}" for name in ("state_now", "choice")} | {
        "stopped": "not_charged",
        "abandoned": "not_charged.stops",
    }
    example = {
        "not_charged": {
            "stops": ["customer declined"],
            "state_now": "nothing was taken out, ports capped",
            "choice": "declined, by phone, 2:15 pm",
        }
    }

    def write(self, said: Any, **named: Any) -> Closing:
        ending, at = said["not_charged"], now()
        close = ends_without(**ending) if ending is not None else CloseIn(remark=said["remark"])
        return close_job(self.job, close, today=timezone.localdate(at), at=at, by=self.person)
