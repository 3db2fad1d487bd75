"""What gauge and thermometer showed on a recovery cylinder at rest."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.models.containers import Container
from shop.records import Record


class AirCheck(Record):
    """A cylinder's pressure against that of its pure refrigerant: the readings as typed, and the comparison as it was
    made that day, in whole pascals, so that later equations do not change what was found."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="air_checks")
    pressure = models.CharField("gauge, as typed", max_length=24)
    temperature = models.CharField("temperature, as typed", max_length=24)
    barometer = models.CharField("barometer, as typed", max_length=24, blank=True)
    pressure_pa = models.PositiveIntegerField("in the cylinder, absolute")
    expected_pa = models.PositiveIntegerField("of the pure refrigerant at that temperature")
    u_pa = models.PositiveIntegerField("standard uncertainty of their difference")
    air_pa = models.PositiveIntegerField("of the air around")
    equations = models.CharField(max_length=40)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(pressure_pa__gt=0) & Q(expected_pa__gt=0) & Q(u_pa__gt=0) & Q(air_pa__gt=0),
                name="air_check_is_of_pressures",
            )
        ]
