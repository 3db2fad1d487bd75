"""The usage report of any period as it would stand now: unsigned, and what would stop the signature."""

from __future__ import annotations

import json
from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from compliance.api.job_stages import FindingSaidOut
from compliance.core.co2e import TABLES
from compliance.models import UsageReport
from compliance.services import draft_usage_report
from compliance.services.reports import report_problems
from shop.api.base import Door, reads
from shop.api.fields import DayIn, problems
from shop.core.canonical import canonical
from shop.core.findings import Refused
from shop.core.period import Period
from shop.core.scopes import Scope
from shop.http import now
from shop.permissions import FRONT_OFFICE, OWNER

IN_THE_REQUEST = {"first": "since", "last": "until"}


class ForDaysIn(serializers.Serializer[Any]):
    """First and last day, both inside; ``co2e`` names the table that releases are weighed by."""

    since = DayIn()
    until = DayIn()
    co2e = serializers.ChoiceField([table.key for table in TABLES], required=False, default="")


class UsageReportDraftOut(serializers.Serializer[Any]):
    """The facts that the draft page shows, masses in whole micrograms, and what the owner's signature would say."""

    since = serializers.DateField()
    until = serializers.DateField()
    would_stop = FindingSaidOut(many=True)
    facts = serializers.DictField()


class UsageReportDraft(Door):
    """The usage report of any days as it would stand now. It is signed on its page only."""

    opens = reads((OWNER, FRONT_OFFICE), Scope.PAPERS_READ)
    gives = UsageReportDraftOut
    model = UsageReport

    @extend_schema(parameters=[ForDaysIn])
    def get(self, request: Request) -> Response:
        asked = ForDaysIn(data=request.query_params)
        asked.is_valid(raise_exception=True)
        said, at = asked.validated_data, now()
        period, today = Period(said["since"], said["until"]), timezone.localdate(at)
        try:
            facts = draft_usage_report(
                self.house, period, co2e=said["co2e"], today=today, at=at, by=self.person
            )
        except Refused as refused:
            raise serializers.ValidationError(
                {IN_THE_REQUEST[one.field]: problems([one]) for one in refused.findings}
            ) from refused
        stops = report_problems(self.house, period, today=today)
        told = {"since": period.first, "until": period.last, "would_stop": stops}
        return Response(self.told(told | {"facts": json.loads(canonical(facts))}))
