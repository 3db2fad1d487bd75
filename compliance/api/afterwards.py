"""What is said of closed jobs afterwards: correction slips and holds. Read only; slips are signed on their page."""

from __future__ import annotations

from django.db.models import QuerySet
from django_filters import BooleanFilter, CharFilter, DateFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from compliance.models import CorrectedField, Correction, JobHold, JobHoldEnd
from compliance.queries.corrections import corrections
from compliance.queries.holds import holds
from shop.api.base import Lists, reads
from shop.core.scopes import Scope
from shop.permissions import EVERYONE


class PutRightOut(serializers.Serializer[CorrectedField]):
    """One thing as it stood and as it should have stood, both as typed."""

    key = serializers.CharField()
    what = serializers.CharField(source="label")
    old = serializers.CharField()
    new = serializers.CharField(source="shown")


class CorrectionSlipOut(serializers.Serializer[Correction]):
    """A correction slip, and the certificate's version that it made. ``entry`` is what the book moved for it."""

    number = serializers.CharField()
    job = serializers.CharField(source="closing.job.number")
    why = serializers.CharField()
    fields_put_right = PutRightOut(source="fields", many=True)
    certificate = serializers.CharField(source="document.number")
    version = serializers.IntegerField(source="document.version")
    entry = serializers.IntegerField(source="entry_id", allow_null=True)
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class SlipFilter(FilterSet):
    job = CharFilter(field_name="closing__job__number")
    since = DateFilter(field_name="at", lookup_expr="date__gte")
    until = DateFilter(field_name="at", lookup_expr="date__lte")


class Slips(Lists):
    """Every correction slip, the newest first."""

    opens = reads(EVERYONE, Scope.JOBS_READ)
    gives = CorrectionSlipOut
    model = Correction
    filterset_class = SlipFilter

    def rows(self) -> QuerySet[Correction]:
        return corrections(self.house)


class HoldEndOut(serializers.Serializer[JobHoldEnd]):
    """The end of a hold."""

    why = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")


class JobHoldOut(serializers.Serializer[JobHold]):
    """A hold keeps a job, and everything that stands on it, from being cleared."""

    job = serializers.CharField(source="job.number")
    why = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(source="by.name")
    end = HoldEndOut(default=None, allow_null=True)


class JobHoldFilter(FilterSet):
    job = CharFilter(field_name="job__number")
    running = BooleanFilter(field_name="end", lookup_expr="isnull")


class JobHolds(Lists):
    """Every hold on a job, the newest first."""

    opens = reads(EVERYONE, Scope.JOBS_READ)
    gives = JobHoldOut
    model = JobHold
    filterset_class = JobHoldFilter

    def rows(self) -> QuerySet[JobHold]:
        return holds(self.house)
