"""What was written down at each stage. Readings of gauges are kept as typed, with their unit."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from django.db import models
from django.db.models import Q

from compliance.core.evacuation import VacuumReadings
from compliance.core.stages import (
    Compressor,
    HoldResult,
    Identified,
    LabelSource,
    LeakResult,
    PressureResult,
    UnitKind,
)
from compliance.models.jobs import Stage
from inventory.models import Container, Refrigerant, WeighTicket
from inventory.models.containers import UNITS
from shop.core.mass import Reading, Unit
from shop.fields import MassField
from shop.models import Equipment
from shop.records import Final


def _choices(
    values: Iterable[StrEnum],
) -> list[tuple[str, str]]:
    return [(value.value, value.value) for value in values]


class Detail(Final):
    """The facts of one stage version; its signature is the stage's."""

    stage = models.OneToOneField(Stage, on_delete=models.PROTECT, primary_key=True, related_name="%(class)s")

    class Meta:
        abstract = True


class CheckIn(Detail):
    customer = models.CharField(max_length=80)
    phone = models.CharField(max_length=30, blank=True)
    plate = models.CharField(max_length=12, blank=True)
    odometer = models.CharField(max_length=12, blank=True)
    complaint = models.CharField(max_length=120)
    repair_order = models.CharField(max_length=20, blank=True)
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    compressor = models.CharField(max_length=30, choices=_choices(Compressor), default=Compressor.BELT)
    unit_kind = models.CharField(max_length=30, choices=_choices(UnitKind), default=UnitKind.CAR)
    rear_air = models.BooleanField("two evaporators", default=False)
    elsewhere = models.CharField(
        "opened or charged elsewhere since the last visit", max_length=120, blank=True
    )


class Retrofit(Detail):
    """The car was changed to another refrigerant; whether the three things a retrofit asks for were found."""

    labelled = models.BooleanField("a retrofit label is on the car")
    fittings = models.BooleanField("its ports are those of this refrigerant, without adapters")
    removed = models.BooleanField("the old refrigerant was removed first")


class Label(Detail):
    """What the label asks for. No row: the target is unknown. Zero tolerance: none is printed on it."""

    charge_text = models.CharField(max_length=16)
    charge_unit = models.CharField(max_length=8, choices=UNITS)
    charge = MassField()
    tolerance_text = models.CharField(max_length=16, blank=True)
    tolerance_unit = models.CharField(max_length=8, choices=UNITS, blank=True)
    tolerance = MassField(default=0)
    source = models.CharField(max_length=30, choices=_choices(LabelSource))
    source_note = models.CharField("which other source", max_length=80, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(charge__gt=0), name="label_asks_for_something"),
            models.CheckConstraint(
                condition=~Q(source=LabelSource.OTHER) | ~Q(source_note=""), name="other_source_has_a_name"
            ),
        ]

    @property
    def reading(self) -> Reading:
        return Reading(self.charge_text, Unit(self.charge_unit), self.charge)


class Recovery(Detail):
    machine = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="+")
    cylinder = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="recoveries")
    before = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="recovery_before")
    after = models.OneToOneField(WeighTicket, on_delete=models.PROTECT, related_name="recovery_after")
    started_at = models.DateTimeField()
    gauge = models.CharField("gauge reading before, with its unit", max_length=24, blank=True)
    bay = models.CharField("temperature of the bay, with its unit", max_length=24, blank=True)
    identified = models.CharField(max_length=20, choices=_choices(Identified), default=Identified.NOT_USED)
    note = models.CharField(max_length=200, blank=True)


class LeakCheck(Detail):
    methods = models.CharField(max_length=120)
    instrument = models.CharField(max_length=80, blank=True)
    places = models.CharField(max_length=200)
    result = models.CharField(max_length=20, choices=_choices(LeakResult))
    detail = models.CharField(max_length=300, blank=True)


class Evacuation(Detail):
    pump = models.CharField(max_length=40)
    gauge = models.CharField(max_length=40, blank=True)
    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField()
    deepest = models.CharField("deepest reading, with its unit", max_length=24)
    hold_minutes = models.PositiveSmallIntegerField(default=0)
    hold_from = models.CharField(max_length=24, blank=True)
    hold_middle = models.CharField("reading half way through the hold", max_length=24, blank=True)
    hold_to = models.CharField(max_length=24, blank=True)
    result = models.CharField(max_length=20, choices=_choices(HoldResult))
    barometer = models.CharField("what a barometer showed, with its unit", max_length=24, blank=True)
    temperature = models.CharField("bay temperature, with its unit", max_length=24, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(stopped_at__gte=models.F("started_at")), name="evacuation_ends_after_start"
            )
        ]

    @property
    def minutes(self) -> int:
        return int((self.stopped_at - self.started_at).total_seconds() // 60)

    @property
    def readings(self) -> VacuumReadings:
        return VacuumReadings(
            self.deepest,
            self.hold_from,
            self.hold_middle,
            self.hold_to,
            self.hold_minutes,
            gauge=self.gauge,
            barometer=self.barometer,
            temperature=self.temperature,
        )


class LeakTest(Detail):
    minutes = models.PositiveSmallIntegerField()
    pressure_start = models.CharField(max_length=24, blank=True)
    pressure_end = models.CharField(max_length=24, blank=True)
    temperature = models.CharField("temperature at the start", max_length=24, blank=True)
    temperature_end = models.CharField("temperature at the end", max_length=24, blank=True, default="")
    barometer = models.CharField(max_length=24, blank=True, default="")
    result = models.CharField(max_length=40, choices=_choices(PressureResult))


class Hold(Detail):
    """A hold of vacuum or of leak-test pressure timed by the clock; its minutes come from these two instants."""

    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(stopped_at__gte=models.F("started_at")), name="hold_ends_after_start"
            )
        ]


class Charge(Detail):
    """What of the cans' loss did not stay in the vehicle, and how that was known."""

    hoses = MassField(default=0)
    hoses_give_or_take = MassField(default=0)
    purge = MassField(default=0)
    released = MassField(default=0)
    released_why = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(hoses__gte=0) & Q(purge__gte=0) & Q(released__gte=0),
                name="charge_losses_are_not_negative",
            ),
            models.CheckConstraint(condition=Q(released=0) | ~Q(released_why=""), name="release_says_why"),
        ]


class FinalReadings(Detail):
    low_side = models.CharField(max_length=24, blank=True)
    high_side = models.CharField(max_length=24, blank=True)
    vent = models.CharField(max_length=24, blank=True)
    outdoor = models.CharField(max_length=24, blank=True)
    humidity = models.CharField(max_length=24, blank=True)
    engine = models.CharField(max_length=24, blank=True)
    blower = models.CharField(max_length=24, blank=True)
    mode = models.CharField(max_length=24, blank=True)
    caps_on = models.BooleanField()
    inlet = models.CharField("air going in", max_length=24, blank=True)
    minutes = models.PositiveSmallIntegerField("minutes running before the reading", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
