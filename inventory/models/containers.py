"""Cans and cylinders, what is printed on them, and what the scale said about them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Q

from inventory.core.refrigerants import UNKNOWN
from inventory.core.weighing import Origin, Style
from inventory.models.places import Place
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import phrase
from shop.fields import MassField
from shop.models import Equipment, Establishment
from shop.records import Final, Record

UNITS = [(unit.value, unit.value) for unit in Unit]


class Refrigerants(models.QuerySet["Refrigerant"]):
    def chargeable(self) -> Refrigerants:
        """What a can or a car can be of; a recovery cylinder may also hold what nobody can name."""
        return self.exclude(code=UNKNOWN)


class Refrigerant(models.Model):
    """The closed list, kept in step with inventory.core.refrigerants after every migration."""

    code = models.CharField(primary_key=True, max_length=12)
    flammable = models.BooleanField()
    source = models.CharField(max_length=200)

    objects = Refrigerants.as_manager()

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class ContainerType(models.Model):
    """What a can of this kind holds by its label, and what its empty shell weighs."""

    class Basis(models.TextChoices):
        """How the shell's weight is known."""

        ESTIMATED = "estimated", "Estimated"
        WEIGHED = "weighed", "Weighed empty"
        LEARNED = "learned", "Learned from empties"

    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=40)
    net_text = models.CharField("label net, as printed", max_length=12)
    net_unit = models.CharField(max_length=8, choices=UNITS)
    net = MassField()
    shell = MassField()
    shell_basis = models.CharField(
        "how the shell is known", max_length=10, choices=Basis.choices, default=Basis.WEIGHED
    )
    shell_spread_g = models.PositiveSmallIntegerField("shells vary, g either way", default=4)
    cans_per_case = models.PositiveSmallIntegerField(default=12)
    self_sealing = models.BooleanField("self-sealing valve", default=True)

    class Meta:
        ordering = ["refrigerant", "name"]
        constraints = [
            models.UniqueConstraint(fields=["refrigerant", "name"], name="container_type_is_named_once"),
            models.CheckConstraint(
                condition=Q(net__gt=0) & Q(shell__gt=0), name="container_type_weighs_something"
            ),
            models.CheckConstraint(condition=Q(cans_per_case__gt=0), name="case_holds_cans"),
            models.CheckConstraint(
                condition=Q(shell_basis__in=["estimated", "weighed", "learned"]),
                name="container_type_says_how_its_shell_is_known",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.refrigerant_id} {self.name}"

    @property
    def is_small_can(self) -> bool:
        """2 lb or less with a self-sealing valve: 40 CFR 82.154(c)(1)(ix)."""
        return self.self_sealing and self.net <= Mass.of(2, Unit.LB)


class Container(Record):
    """One can or cylinder with its number, which is the code of its place in the book."""

    place = models.OneToOneField(Place, on_delete=models.PROTECT, primary_key=True, related_name="container")
    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="containers")
    refrigerant = models.ForeignKey(Refrigerant, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=20, choices=[("can", "can"), ("cylinder", "cylinder")])
    lot = models.CharField(max_length=40, blank=True)
    came_on = models.DateField()

    if TYPE_CHECKING:  # what queries.containers adds to each row
        book: Mass
        last_text: str | None
        last_unit: str | None
        last_gross: Mass | None
        last_division: Mass | None
        waits_for: str | None
        last_counted: str | None
        shell_doubt_g: int | None
        known_lot: str
        held_why: str | None
        kept_by: str | None
        unaccepted: bool
        spot: str | None
        arrived: int | None
        held_then: Mass

    class Meta:
        ordering = ["place_id"]
        indexes = [models.Index(fields=["establishment", "kind", "refrigerant"])]

    def __str__(self) -> str:
        return self.place_id

    @property
    def code(self) -> str:
        return self.place_id

    @property
    def empty(self) -> Mass:
        """What it weighs with nothing in it: its kind's shell, or the tare stamped on it."""
        return self.can.type.shell if self.kind == "can" else self.cylinder.tare

    @property
    def lot_now(self) -> str:
        """The lot by the newest record of it, else as the can came. Prefetch ``lots`` when reading many; what
        queries.containers reads has it already."""
        if "known_lot" in self.__dict__:
            return self.known_lot
        notes = sorted(self.lots.all(), key=lambda note: note.pk)
        return notes[-1].lot if notes else self.lot


class LotNote(Record):
    """A can is of another lot than was written when it came; from here on this one holds. Its number stays."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="lots")
    lot = models.CharField(max_length=40)


class SpokenFor(models.Model):
    """A container that an open job has weighed: its book waits for that job's closing. Such rows go when it closes."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="spoken_for")
    holder = models.CharField(max_length=16)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["container", "holder"], name="holder_speaks_once")]


class Can(Final):
    """What kind of can a can is."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="can"
    )
    type = models.ForeignKey(ContainerType, on_delete=models.PROTECT, related_name="cans")


class Cylinder(Final):
    """What is stamped on a recovery cylinder."""

    container = models.OneToOneField(
        Container, on_delete=models.PROTECT, primary_key=True, related_name="cylinder"
    )
    serial = models.CharField(max_length=40, blank=True)
    tare_text = models.CharField(max_length=16)
    tare_unit = models.CharField(max_length=8, choices=UNITS)
    tare = MassField()
    water_text = models.CharField("water capacity, as stamped", max_length=16)
    water_unit = models.CharField(max_length=8, choices=UNITS)
    water = MassField()
    requalified_on = models.DateField("last requalification, as stamped")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(tare__gt=0) & Q(water__gt=0), name="cylinder_stamps_are_weights"
            )
        ]


class Fate(Record):
    """How a container's use ended: one row, once."""

    class What(models.TextChoices):
        EMPTIED = "emptied", "Emptied"
        REFUSED = "refused", "Refused, damaged on delivery"
        RETURNED = "returned", "Returned to the supplier"
        SHIPPED = "shipped", "Shipped to a facility"
        LOST = "lost", "Lost"
        UNDONE = "undone", "Undone as a mistake"

    container = models.OneToOneField(Container, on_delete=models.PROTECT, related_name="fate")
    what = models.CharField(max_length=12, choices=What.choices)
    why = models.CharField(max_length=200, blank=True)


class WeighTicket(Record):
    """What one scale said about one container: an assertion to compare with the book, kept as typed."""

    corrected_by = ""  # the slip by which queries.as_put_right has let it say something else

    establishment = models.ForeignKey(Establishment, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="tickets")
    scale = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="+")
    reading_text = models.CharField("reading, as typed", max_length=16)
    reading_unit = models.CharField(max_length=8, choices=UNITS)
    gross = MassField()
    division = MassField()
    style = models.CharField(max_length=30, choices=[(style.value, style.value) for style in Style])
    origin = models.CharField(max_length=12, choices=[(origin.value, origin.value) for origin in Origin])
    scale_line = models.CharField(
        "line the scale sent, when the number was taken from it", max_length=64, blank=True
    )

    in_doubt: Mass | None = None  # set by queries.mark: how far off its scale may have been

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["establishment", "number"], name="ticket_number_is_given_once"),
            models.CheckConstraint(condition=Q(gross__gt=0), name="ticket_weighs_something"),
        ]
        indexes = [models.Index(fields=["container", "-number"])]

    def __str__(self) -> str:
        return f"ticket {self.number}"

    @property
    def reading(self) -> Reading:
        return Reading(self.reading_text, Unit(self.reading_unit), self.gross)

    @property
    def entered(self) -> str:
        """How the number came into the book."""
        return phrase("from scale {scale}", scale=self.scale.code) if self.scale_line else phrase("typed")
