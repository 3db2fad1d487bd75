"""Who and what the shop is: its people, its vehicles, its equipment, its rules."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from shop.core.mass import Mass, Unit
from shop.core.roles import ROLES, Role
from shop.fields import MassField
from shop.records import Final, Record


class Establishment(models.Model):
    """One shop at one address. Every place, job, machine, count and paper belongs to one."""

    name = models.CharField(max_length=80, unique=True)
    legal_name = models.CharField(max_length=120)
    address = models.CharField(max_length=200)
    phone = models.CharField(max_length=30)
    state_number = models.CharField("state repair-dealer number", max_length=40, blank=True)
    time_zone = models.CharField(max_length=40, default="America/Denver")
    reminders_to = models.EmailField("reminders go to", blank=True)

    def __str__(self) -> str:
        return self.name


class People(BaseUserManager["Person"]):
    def at(self, establishment: Establishment) -> models.QuerySet[Person]:
        return self.filter(establishment=establishment).order_by("name")


class Person(AbstractBaseUser):
    """Somebody who signs. A leaver keeps every record they signed; only the sign-on ends."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="people")
    username = models.CharField(
        "sign-on name",
        max_length=40,
        unique=True,
        validators=[RegexValidator(r"^[a-z][a-z0-9.-]*$", "Use small letters, digits, dots and dashes.")],
    )
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=20, choices=[(role, role.capitalize()) for role in ROLES])
    language = models.CharField(max_length=8, choices=settings.LANGUAGES, default="en")
    is_active = models.BooleanField("may sign on", default=True)
    leaves_on = models.DateField("may sign on up to this day", null=True)

    objects = People()
    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name", "role"]

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(role__in=ROLES), name="person_has_a_known_role"),
            models.CheckConstraint(
                condition=Q(language__in=[code for code, _ in settings.LANGUAGES]),
                name="person_reads_a_known_language",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER

    @property
    def first_name(self) -> str:
        return self.name.split(" ", 1)[0]


class Vehicle(models.Model):
    """Identity only. What its system held and takes is written on the job, as found that day."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="vehicles")
    vin = models.CharField("VIN", max_length=20, blank=True)
    plate = models.CharField(max_length=12, blank=True)
    description = models.CharField(max_length=80)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["establishment", "vin"], condition=~Q(vin=""), name="vehicle_vin_is_known_once"
            ),
            models.CheckConstraint(condition=~(Q(vin="") & Q(plate="")), name="vehicle_has_a_vin_or_a_plate"),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def last_six(self) -> str:
        return self.vin[-6:] if self.vin else self.plate


class Equipment(Record):
    """One machine, scale, pump, detector or gauge, transcribed from its nameplate on the day it came."""

    class Kind(models.TextChoices):
        MACHINE = "machine", "Recovery machine"
        SCALE = "scale", "Scale"
        PUMP = "pump", "Vacuum pump"
        DETECTOR = "detector", "Leak detector"
        GAUGE = "gauge", "Gauge"

    class Does(models.TextChoices):
        RECOVER = "recover only", "Recover only"
        RECYCLE = "recover and recycle", "Recover and recycle"
        RECHARGE = "recover, recycle and recharge", "Recover, recycle and recharge"
        OTHER = "-", "Not a recovery machine"

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="equipment")
    code = models.CharField(max_length=12)
    kind = models.CharField(max_length=12, choices=Kind.choices)
    maker = models.CharField("maker, as on the plate", max_length=80, blank=True)
    model = models.CharField(max_length=80, blank=True)
    serial = models.CharField("serial number", max_length=60, blank=True)
    made = models.CharField("date of manufacture, as on the plate", max_length=30, blank=True)
    in_service_on = models.DateField()
    does = models.CharField(max_length=32, choices=Does.choices, default=Does.OTHER)
    refrigerants = models.CharField("refrigerants on its plate", max_length=120, blank=True)
    standard = models.CharField("standard and testing body on its plate", max_length=120, blank=True)
    unit = models.CharField(max_length=8, choices=[(unit.value, unit.value) for unit in Unit], blank=True)
    division_text = models.CharField("division, as on the plate", max_length=12, blank=True)
    division = MassField(default=0)

    class Meta:
        ordering = ["kind", "code"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "code"], name="equipment_code_is_used_once"),
            models.CheckConstraint(
                condition=~Q(kind="scale") | (Q(division__gt=0) & ~Q(unit="")),
                name="scale_has_a_unit_and_a_division",
            ),
        ]

    def __str__(self) -> str:
        return self.code

    def takes(self, refrigerant: str) -> bool:
        """Whether the plate names this refrigerant."""
        return refrigerant in [name.strip() for name in self.refrigerants.split(",")]


class Retirement(Record):
    """The day a piece of equipment went out of service."""

    equipment = models.OneToOneField(Equipment, on_delete=models.PROTECT, related_name="retirement")
    last_day = models.DateField()
    why = models.CharField(max_length=200)


class Check(Record):
    """A dated check of a scale (known weight against reading), detector, pump or gauge."""

    equipment = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="checks")
    on = models.DateField()
    passed = models.BooleanField()
    against = models.CharField("checked against", max_length=120)
    known = MassField(default=0)
    shown = MassField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["equipment", "-on"])]

    @property
    def error(self) -> Mass:
        """What the scale shows more than the known weight."""
        return self.shown - self.known


class BackupTrial(Record):
    """A backup was brought back somewhere else and looked at: a backup that was never restored is a hope."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    whole = models.BooleanField("the restored book was whole")
    note = models.CharField(max_length=200)

    class Meta:
        ordering = ["-on", "-pk"]


class ShopRule(Record):
    """One of the shop's own rules, from a day on, with the owner's reason. Defaults stand in shop.core.house."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="rules")
    key = models.CharField(max_length=40)
    value = models.CharField(max_length=40)
    from_day = models.DateField()
    basis = models.CharField(max_length=200)

    class Meta:
        ordering = ["from_day", "pk"]
        indexes = [models.Index(fields=["establishment", "key", "from_day"])]


class Series(models.Model):
    """The last number given out in a series such as J26 or C26. Numbers have no gaps: a number is taken in the
    same transaction that writes what bears it."""

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=12)
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["establishment", "name"], name="series_is_counted_once")
        ]


class FormSent(models.Model):
    """A form's one-time key and the answer it got, so that a second sending writes nothing."""

    key = models.CharField(max_length=64)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    answer = models.CharField(max_length=200)
    sent_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["by", "key"], name="form_is_sent_once")]


class AuditNote(Final):
    """A line about a change to something that is not a record: what it was, what it is, who, when."""

    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    about = models.CharField(max_length=80)
    was = models.CharField(max_length=300)
    now = models.CharField(max_length=300)

    class Meta:
        ordering = ["-at", "-pk"]
