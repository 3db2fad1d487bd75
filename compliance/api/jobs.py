"""Jobs for programs: the list, one job whole, and checking a car in."""

from __future__ import annotations

from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone
from django_filters import BooleanFilter, CharFilter, DateFilter
from django_filters.rest_framework import FilterSet
from rest_framework import serializers

from compliance.api.job_door import JobDoor, JobWrites, line
from compliance.api.job_whole import JobOut, JobRowOut, whole
from compliance.core.stages import Compressor, LabelSource, UnitKind
from compliance.models import CheckIn, Job, Stage
from compliance.queries.doers import with_doer
from compliance.queries.jobs import check_ins
from compliance.services import CheckInIn, LabelIn, RetrofitIn, check_in, revise_check_in
from inventory.models import Refrigerant
from shop.api.base import Lists, Shows, reads, writes
from shop.api.fields import OneOf, ReadingIn
from shop.core.scopes import Scope
from shop.http import now
from shop.models import Establishment, Person
from shop.permissions import EVERYONE, OWNER, TECHNICIAN
from shop.services import VehicleIn


class JobFilter(FilterSet):
    """``since`` and ``until`` are days of check-in."""

    open = BooleanFilter(field_name="closing", lookup_expr="isnull", label="Whether it is not closed yet")
    plate = CharFilter(method="with_plate", label="The whole plate")
    vin = CharFilter(field_name="vehicle__vin", lookup_expr="iexact")
    refrigerant = CharFilter(method="with_refrigerant", label="At check-in, by code")
    since = DateFilter(field_name="on", lookup_expr="gte")
    until = DateFilter(field_name="on", lookup_expr="lte")
    technician = CharFilter(method="done_by", label="Who did a stage, by the whole name")

    def with_plate(self, rows: QuerySet[Job], name: str, plate: str) -> QuerySet[Job]:
        typed = plate.strip().upper()
        seen = CheckIn.objects.filter(stage__job=OuterRef("pk"), plate=typed)
        return rows.filter(Q(vehicle__plate=typed) | Exists(seen))

    def with_refrigerant(self, rows: QuerySet[Job], name: str, code: str) -> QuerySet[Job]:
        newest = CheckIn.objects.filter(stage__job=OuterRef("pk")).order_by("-stage__version")
        return rows.alias(gas=Subquery(newest.values("refrigerant")[:1])).filter(gas=code)

    def done_by(self, rows: QuerySet[Job], name: str, person: str) -> QuerySet[Job]:
        named = Person.objects.filter(name=person).values("pk")
        return rows.filter(Exists(with_doer(Stage.objects.filter(job=OuterRef("pk"))).filter(doer__in=named)))


class CarLabelIn(serializers.Serializer[Any]):
    """What the label asks for, as printed, and where it was read."""

    charge = ReadingIn()
    tolerance = ReadingIn(
        required=False, allow_null=True, default=None, help_text="Left out when none is printed."
    )
    source = serializers.ChoiceField(  # type: ignore[assignment]
        [one.value for one in LabelSource], default=LabelSource.UNDER_HOOD.value
    )
    source_note = line(80, "Which other source.")

    def to_internal_value(self, data: Any) -> Any:
        return LabelIn(**super().to_internal_value(data))


class CarRetrofitIn(serializers.Serializer[Any]):
    """Which of three things were found on a car that was changed to another refrigerant."""

    labelled = serializers.BooleanField(default=False)
    fittings = serializers.BooleanField(default=False)
    removed = serializers.BooleanField(default=False)

    def to_internal_value(self, data: Any) -> Any:
        return RetrofitIn(**super().to_internal_value(data))


def in_cars(house: Establishment) -> QuerySet[Refrigerant]:
    """The refrigerants that a label may name."""
    return Refrigerant.objects.chargeable()


class CarIn(serializers.Serializer[Any]):
    """Which car, whose, what it complains of, and what its label asks for. Without a label the target is unknown: such
    a job is recovered, not charged."""

    vin = line(20)
    plate = line(12)
    description = serializers.CharField(max_length=80, help_text="Year, kind, colour: 2014 sedan, blue.")
    customer = serializers.CharField(max_length=80)
    phone = line(30)
    complaint = serializers.CharField(max_length=120, help_text="For example: blows warm.")
    refrigerant = OneOf("code", in_cars)
    label = CarLabelIn(required=False, allow_null=True, default=None)  # type: ignore[assignment]
    odometer = line(12)
    repair_order = line(20)
    compressor = serializers.ChoiceField([one.value for one in Compressor], default=Compressor.BELT.value)
    unit_kind = serializers.ChoiceField([one.value for one in UnitKind], default=UnitKind.CAR.value)
    rear_air = serializers.BooleanField(default=False, help_text="It has a second evaporator.")
    elsewhere = line(120, "What another place did to the system since its last visit here.")
    retrofit = CarRetrofitIn(required=False, allow_null=True, default=None)


def car(said: Any) -> CheckInIn:
    """What was said of a car, for the service."""
    typed = {name: value for name, value in said.items() if name not in ("vin", "plate", "description")}
    return CheckInIn(
        **typed
        | {
            "vehicle": VehicleIn(said["vin"], said["plate"], said["description"]),
            "refrigerant": said["refrigerant"].code,
            "compressor": Compressor(said["compressor"]),
            "unit_kind": UnitKind(said["unit_kind"]),
        }
    )


EXAMPLE = {
    "plate": "SMP-418",
    "description": "2014 sedan, blue",
    "customer": "Ines Calloway",
    "complaint": "blows warm",
    "refrigerant": "R-134a",
    "label": {"charge": {"value": "500", "unit": "g"}, "tolerance": {"value": "20", "unit": "g"}},
}
LABEL = {name: f"label.{name}" for name in ("charge", "tolerance", "source_note")}


class JobList(Lists, JobWrites):
    """Every job, the newest first. POST checks a car in."""

    opens = reads(EVERYONE, Scope.JOBS_READ) | writes(EVERYONE, Scope.JOBS_WRITE)
    takes = CarIn
    gives = JobOut
    row = JobRowOut
    model = Job
    filterset_class = JobFilter
    named = LABEL
    example = EXAMPLE

    def rows(self) -> QuerySet[Job]:
        return Job.objects.at_shop(self.house).select_related("closing__by")

    def on_page(self, rows: list[Job]) -> list[Job]:
        seen = check_ins(rows)
        for job in rows:
            job.seen = seen[job.pk]  # type: ignore[attr-defined]
        return rows

    def write(self, said: Any) -> dict[str, Any]:
        at = now()
        job = check_in(car(said), self.house, on=timezone.localdate(at), at=at, by=self.person)
        return whole(job, self.person)


class JobDetail(JobDoor, Shows):
    """One job whole: check-in, stages, cans, the sum, and what stands between it and its signature."""

    opens = reads(EVERYONE, Scope.JOBS_READ)
    gives = JobOut

    def thing(self, **named: Any) -> dict[str, Any]:
        return whole(self.job, self.person)


class CheckIns(JobDoor, JobWrites):
    """Write the check-in of an open job down again. The vehicle stays the job's, and what it said before is kept."""

    opens = writes((TECHNICIAN, OWNER), Scope.JOBS_WRITE)
    takes = CarIn
    gives = JobOut
    named = LABEL
    example = EXAMPLE

    def write(self, said: Any, **named: Any) -> dict[str, Any]:
        revise_check_in(self.job, car(said), at=now(), by=self.person)
        return whole(self.job, self.person)
