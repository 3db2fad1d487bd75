"""What containers there are: suppliers, kinds of can, cans with their numbers, cylinders."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.cylinder import FillLimit, fill_limit
from inventory.core.federal import is_small_can
from inventory.core.ledger import Leg, PlaceKind, Purpose
from inventory.core.shell import ESTIMATE_G, SPREAD_G
from inventory.core.stamps import Stamps, overfull, stamp_problems
from inventory.models import Can, Container, ContainerType, Cylinder, Fate, Place, Refrigerant, Supplier
from inventory.posting import post
from inventory.services.finding import findable_containers
from shop.core.findings import Finding, blocked, refuse_if_blocked, refuse_unless_seen
from shop.core.mass import ZERO, Reading, grams
from shop.core.phrase import phrase
from shop.models import AuditNote, Establishment, Person
from shop.queries import rules_on
from shop.services import next_numbers
from shop.services.finding import make_findable


@dataclass(frozen=True, slots=True)
class SupplierIn:
    name: str
    address: str = ""
    phone: str = ""


@dataclass(frozen=True, slots=True)
class ContainerTypeIn:
    refrigerant: str
    name: str
    net: Reading
    shell: Reading
    cans_per_case: int = 12
    self_sealing: bool = True
    shell_basis: str = ContainerType.Basis.WEIGHED


@dataclass(frozen=True, slots=True)
class CylinderIn:
    """``gross`` is what it weighs today; what it holds is that less the stamped tare."""

    code: str
    refrigerant: str
    tare: Reading
    water: Reading
    gross: Reading
    requalified_on: date
    serial: str = ""


@transaction.atomic
def add_supplier(supplier: SupplierIn, establishment: Establishment, *, at: datetime, by: Person) -> Supplier:
    name = supplier.name.strip()
    found = []
    if not name:
        found.append(blocked("supplier-empty", "Type the supplier's name.", "name"))
    if Supplier.objects.filter(establishment=establishment, name__iexact=name).exists():
        found.append(blocked("supplier-known", f"{name} is already on the list.", "name"))
    refuse_if_blocked(found)
    AuditNote.objects.create(by=by, at=at, about=f"supplier {name}"[:80], was="", now="added")
    return Supplier.objects.create(
        establishment=establishment, name=name, address=supplier.address, phone=supplier.phone
    )


@transaction.atomic
def add_container_type(kind: ContainerTypeIn, *, at: datetime, by: Person) -> ContainerType:
    """A kind of can, as printed on it. Net 85 to 900 g, empty shell 40 to 250 g: the range of small cans."""
    refuse_if_blocked(_type_problems(kind))
    now = f"{kind.net}, shell {kind.shell} {kind.shell_basis}"
    AuditNote.objects.create(by=by, at=at, about=f"kind of can {kind.name}"[:80], was="", now=now)
    return ContainerType.objects.create(
        refrigerant_id=kind.refrigerant,
        name=kind.name.strip(),
        net_text=kind.net.text,
        net_unit=kind.net.unit,
        net=kind.net.mass,
        shell=kind.shell.mass,
        shell_basis=kind.shell_basis,
        shell_spread_g=ESTIMATE_G if kind.shell_basis == ContainerType.Basis.ESTIMATED else SPREAD_G,
        cans_per_case=kind.cans_per_case,
        self_sealing=kind.self_sealing,
    )


def _type_problems(kind: ContainerTypeIn) -> list[Finding]:
    found = []
    if not kind.name.strip():
        found.append(blocked("type-unnamed", "Type what the shop calls this kind of can.", "name"))
    if not Refrigerant.objects.chargeable().filter(code=kind.refrigerant).exists():
        found.append(blocked("refrigerant-unknown", "Choose a refrigerant from the list.", "refrigerant"))
    if kind.net.mass < grams(85) or not is_small_can(kind.net.mass):
        found.append(
            blocked("can-net", "A small can holds 85 g to 2 lb. Check the number and its unit.", "net")
        )
    if not grams(40) <= kind.shell.mass <= grams(250):
        sentence = "An empty shell weighs 40 to 250 g. Check the number and its unit."
        found.append(blocked("can-shell", sentence, "shell"))
    if kind.shell_basis not in (ContainerType.Basis.ESTIMATED, ContainerType.Basis.WEIGHED):
        found.append(
            blocked("shell-basis", phrase("Say whether the shell was weighed or estimated."), "shell_basis")
        )
    if not 1 <= kind.cans_per_case <= 144:
        found.append(blocked("case-size", "A case holds 1 to 144 cans.", "cans_per_case"))
    if ContainerType.objects.filter(refrigerant=kind.refrigerant, name__iexact=kind.name.strip()).exists():
        found.append(blocked("type-known", "That kind of can is already on the list.", "name"))
    return found


@transaction.atomic
def add_cylinder(
    cylinder: CylinderIn,
    establishment: Establishment,
    *,
    seen: Collection[str] = (),
    on: date,
    at: datetime,
    by: Person,
) -> Container:
    """A recovery cylinder with its stamps; what is in it today enters the book from "before the book".

    Raises ``Refused`` also with what has to be asked about the stamps, unless its code is in ``seen``: it was read
    and answered with "keep it".
    """
    percent = rules_on(establishment, on).cylinder_fill_percent
    found = _cylinder_problems(cylinder, fill_limit(cylinder.water.mass, percent, cylinder.refrigerant), on)
    refuse_unless_seen(found, seen)
    place = Place.objects.create(code=cylinder.code, kind=PlaceKind.CYLINDER)
    container = Container.objects.create(
        place=place,
        establishment=establishment,
        refrigerant_id=cylinder.refrigerant,
        kind=PlaceKind.CYLINDER,
        came_on=on,
        at=at,
        by=by,
    )
    Cylinder.objects.create(
        container=container,
        serial=cylinder.serial,
        tare_text=cylinder.tare.text,
        tare_unit=cylinder.tare.unit,
        tare=cylinder.tare.mass,
        water_text=cylinder.water.text,
        water_unit=cylinder.water.unit,
        water=cylinder.water.mass,
        requalified_on=cylinder.requalified_on,
    )
    make_findable(establishment, *findable_containers([container], cylinder.serial))
    inside = cylinder.gross.mass - cylinder.tare.mass
    if inside > ZERO:
        leg = Leg("before the book", cylinder.code, inside, Purpose.OPENING)
        post(establishment, [leg], on=on, text=f"{cylinder.code} taken into the book", at=at, by=by)
    return container


def _cylinder_problems(cylinder: CylinderIn, fill: FillLimit, on: date) -> list[Finding]:
    found = stamp_problems(Stamps(cylinder.tare, cylinder.water, cylinder.gross))
    if Place.objects.filter(code__iexact=cylinder.code).exists():
        found.append(
            blocked("code-taken", f"{cylinder.code} is in use. Give this one its own number.", "code")
        )
    if not Refrigerant.objects.filter(code=cylinder.refrigerant).exists():
        found.append(blocked("refrigerant-unknown", "Choose a refrigerant from the list.", "refrigerant"))
    if cylinder.requalified_on > on:
        found.append(blocked("requalified-future", "That day has not come yet.", "requalified_on"))
    return found or overfull(cylinder.gross.mass - cylinder.tare.mass, fill)


def number_cans(
    kind: ContainerType, lots: list[str], establishment: Establishment, *, on: date, at: datetime, by: Person
) -> list[Container]:
    """Give one can of a kind after another its number, each with its lot ("" when it has none)."""
    return number_kinds([(kind, lot) for lot in lots], establishment, on=on, at=at, by=by)


def number_kinds(
    cans_to_be: Sequence[tuple[ContainerType, str]],
    establishment: Establishment,
    *,
    on: date,
    at: datetime,
    by: Person,
) -> list[Container]:
    """The same for cans of several kinds, each with its lot. A few statements, however many."""
    numbers = next_numbers("K", len(cans_to_be), establishment, by=by)
    site = _site(establishment)
    places = [Place(code=f"K-{site}{number:04d}", kind=PlaceKind.CAN) for number in numbers]
    Place.objects.bulk_create(places)
    cans = [
        Container(
            place=place,
            establishment=establishment,
            refrigerant_id=kind.refrigerant_id,
            kind=PlaceKind.CAN,
            lot=lot,
            came_on=on,
            at=at,
            by=by,
        )
        for place, (kind, lot) in zip(places, cans_to_be, strict=True)
    ]
    Container.objects.bulk_create(cans)
    Can.objects.bulk_create(
        Can(container=can, type=kind) for can, (kind, _) in zip(cans, cans_to_be, strict=True)
    )
    make_findable(establishment, *findable_containers(cans))
    return cans


def _site(establishment: Establishment) -> str:
    """What stands between the letter and the number of a can: nothing in the first shop."""
    first = Establishment.objects.order_by("pk").values_list("pk", flat=True).first()
    return "" if establishment.pk == first else f"{establishment.pk}-"


def end_use(container: Container, what: str, *, why: str, at: datetime, by: Person) -> Fate:
    """Say how a container's use ended; once."""
    if Fate.objects.filter(container=container).exists():
        refuse_if_blocked([blocked("use-ended", f"The use of {container.code} has already ended.")])
    return Fate.objects.create(container=container, what=what, why=why, at=at, by=by)
