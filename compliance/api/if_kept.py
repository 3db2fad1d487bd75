"""What a reading of a can would mean, for a program that stands beside the scale. Writes nothing."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from compliance.api.charging import on_the_pan
from compliance.api.job_door import ContainerOf, InService, JobDoor
from compliance.api.job_stages import FindingSaidOut
from compliance.forms.charging import MOMENTS
from compliance.queries.charge_view import if_kept
from compliance.services import likely_weighing, look_at_weighing
from inventory.core.weighing import Style, Suggestion
from shop.api.base import reads
from shop.api.fields import UNITS, MassOut, ReadingIn, on_scale
from shop.core.mass import Reading, Unit
from shop.core.scopes import Scope
from shop.http import now, say
from shop.permissions import OWNER, TECHNICIAN

PLAIN = {"from_label": False, "read_at": None, "light": "", "seen": (), "uncertified": ""}


class IfReadIn(serializers.Serializer[Any]):
    """A reading as the scale shows it now, and what it would be."""

    container = ContainerOf()
    scale = InService("scale")
    value = serializers.CharField(max_length=40)
    unit = serializers.ChoiceField(UNITS)
    what = serializers.ChoiceField(list(MOMENTS))
    style = serializers.ChoiceField([one.value for one in Style], default=Style.BARE.value)  # type: ignore[assignment]

    def validate(self, attrs: Any) -> Any:
        shown = ReadingIn().run_validation({name: attrs[name] for name in ("value", "unit")})
        return attrs | {"reading": on_scale(attrs["scale"], shown, field="value")}


class MeantOut(serializers.Serializer[Suggestion]):
    """What was probably meant instead: another unit, or two digits the other way round."""

    reading = MassOut(source="*")
    why = serializers.CharField()

    def to_representation(self, instance: Suggestion) -> Any:
        meant = Reading(instance.text, Unit(instance.unit), instance.mass)
        return {"reading": MassOut(meant).data, "why": say(instance.why)}


class IfKeptOut(serializers.Serializer[Any]):
    """What would be said of the reading, and the sum if it is kept; null for a can that is not on this job yet."""

    findings = FindingSaidOut(many=True)
    meant = MeantOut(allow_null=True)
    out = MassOut(source="kept.out", allow_null=True)
    in_car = MassOut(source="kept.in_car", allow_null=True)
    to_go = MassOut(source="kept.to_go", allow_null=True)
    inside_label = serializers.BooleanField(source="kept.inside", allow_null=True)


class IfKept(JobDoor):
    """What a reading of a can would mean if it were kept: the checks of a weigh ticket and the sum, before anything is
    written."""

    opens = reads((TECHNICIAN, OWNER), Scope.JOBS_READ)
    gives = IfKeptOut

    @extend_schema(parameters=[IfReadIn])
    def get(self, request: Request, **named: Any) -> Response:
        asked = IfReadIn(data=request.query_params, context=self.get_serializer_context())
        asked.is_valid(raise_exception=True)
        said = asked.validated_data
        weighing = on_the_pan(PLAIN | said, said["container"], said["what"])
        found = look_at_weighing(self.job, weighing, at=now(), by=self.person)
        odd, stops = bool(found), any(one.blocks for one in found)
        told = {
            "findings": found,
            "meant": likely_weighing(self.job, weighing, by=self.person) if odd else None,
            "kept": None if stops else if_kept(self.sheet, weighing.container, said["reading"].mass),
        }
        return Response(self.told(told))
