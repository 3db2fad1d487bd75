"""A maker's performance table for one vehicle, as the shop typed it from its own service information."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from compliance.core.makers_table import Against
from shop.models import Vehicle
from shop.records import Final, Record


class MakerTable(Record):
    """One table. The newest of a vehicle for each kind of air holds, unless it was taken back."""

    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="maker_tables")
    against = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Against])
    source = models.CharField("whose table, and where it was read", max_length=120)
    run_as = models.CharField("how the maker says to run the car", max_length=160, blank=True)
    temperature_unit = models.CharField(max_length=4)
    pressure_unit = models.CharField(max_length=4)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(source=""), name="maker_table_names_its_source")]

    def __str__(self) -> str:
        return self.source


class MakerRow(Final):
    """One row as printed: bands such as "43-49" or one number, "" where the maker prints nothing."""

    table = models.ForeignKey(MakerTable, on_delete=models.PROTECT, related_name="rows")
    place = models.PositiveSmallIntegerField()
    temperature = models.CharField(max_length=20)
    humidity = models.CharField(max_length=20, blank=True)
    vent = models.CharField(max_length=20, blank=True)
    high_side = models.CharField(max_length=20, blank=True)
    low_side = models.CharField(max_length=20, blank=True)

    class Meta:
        ordering = ["table", "place"]
        constraints = [models.UniqueConstraint(fields=["table", "place"], name="maker_row_has_its_place")]


class MakerTableTakenBack(Record):
    """A table that was typed on the wrong car, or wrongly; it stays readable and holds no more."""

    table = models.OneToOneField(MakerTable, on_delete=models.PROTECT, related_name="taken_back")
    why = models.CharField(max_length=200)
