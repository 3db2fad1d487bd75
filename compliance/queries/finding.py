"""Find: what one box's words lead to, grouped by what it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import product

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from compliance.models import Document, Job
from compliance.queries.booked import booked_for
from compliance.queries.jobs import check_ins
from inventory.core.ledger import PlaceKind, Purpose
from inventory.models import Container, Delivery
from inventory.queries import lot_as_known
from shop.core.finding import Kind, folded, fragments, may_be_misspelt, nearly_in, parts_of
from shop.core.mass import ZERO, Mass
from shop.models import Establishment, SearchTail, Vehicle
from shop.queries import tails_beginning

TAKEN = 200  # rows of the index that are looked at for whole beginnings, and again for fragments inside
SHOWN = 12  # of one kind; who types two letters reads no longer list
NEAR = 500  # rows looked at for each piece of a word that may be misspelt
VISITS, FEW = 3, 4  # newest visits shown with a car, while there are few cars; else the newest one
Keys = dict[str, list[str]]  # kind -> keys, best first


@dataclass(frozen=True, slots=True)
class Visit:
    """One job as it is told apart from a look-alike: whose car it was, when, what went in, which paper says so."""

    number: str
    on: date
    vehicle: Vehicle
    customer: str
    plate: str
    refrigerant: str
    put_in: Mass | None  # None while the job is open
    paper: Document | None


@dataclass(frozen=True, slots=True)
class Car:
    """A car that was here, with its newest visits."""

    vehicle: Vehicle
    visits: tuple[Visit, ...]
    earlier: int


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot as it is printed on cans, and how many of them came."""

    name: str
    refrigerant: str
    cans: int


@dataclass(frozen=True, slots=True)
class Finds:
    """What was found. ``near``: nothing holds what was typed, these come near to it. ``more``: not all is shown."""

    cars: tuple[Car, ...] = ()
    jobs: tuple[Visit, ...] = ()
    papers: tuple[Document, ...] = ()
    containers: tuple[Container, ...] = ()
    lots: tuple[Lot, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    near: bool = False
    more: bool = False

    @property
    def number(self) -> int:
        groups = (self.cars, self.jobs, self.papers, self.containers, self.lots, self.deliveries)
        return sum(len(group) for group in groups)


def found(establishment: Establishment, typed: str) -> Finds:
    """Everything of this shop that holds what was typed; all of its words, where no thing holds them in a row; what
    comes near to it, where none holds them at all."""
    needle, words = folded(typed), fragments(typed)
    if len(needle) < 2:
        return Finds()
    keys, more = _taken(tails_beginning(establishment, needle))
    if not keys and len(words) > 1:
        keys, more = _taken(_holding_all(establishment, words))
    near = not keys and may_be_misspelt(typed)
    if near:
        keys = _near(establishment, needle)
    return _shown(establishment, keys, near=near and bool(keys), more=more)


def _taken(rows: QuerySet[SearchTail]) -> tuple[Keys, bool]:
    """Words that begin with the needle before words that hold it inside; and whether there may be more."""
    keys: dict[str, dict[str, None]] = {}
    more = False
    for inner in (False, True):
        part = rows.filter(inner=inner).order_by("tail", "-pk").values_list("kind", "key")[:TAKEN]
        for kind, key in part:
            keys.setdefault(kind, {})[key] = None
        more = more or len(part) == TAKEN
    more = more or any(len(one) > SHOWN for one in keys.values())
    return {kind: list(one)[:SHOWN] for kind, one in keys.items()}, more


def _holding_all(establishment: Establishment, words: list[str]) -> QuerySet[SearchTail]:
    longest, *others = sorted(words, key=len, reverse=True)
    rows = tails_beginning(establishment, longest)
    for word in others:
        same = tails_beginning(establishment, word).filter(kind=OuterRef("kind"), key=OuterRef("key"))
        rows = rows.filter(Exists(same))
    return rows


def _near(establishment: Establishment, needle: str) -> Keys:
    """Cars and jobs with a word that holds the needle but for one slip."""
    keys: dict[str, dict[str, None]] = {}
    is_near = cache(lambda word: nearly_in(needle, word))  # many cars have one owner, many owners one name
    for part, inner in product(parts_of(needle), (False, True)):
        rows = tails_beginning(establishment, part).filter(inner=inner, kind__in=(Kind.CAR, Kind.JOB))
        for kind, key, word in rows.order_by("tail", "-pk").values_list("kind", "key", "word")[:NEAR]:
            if is_near(word):
                keys.setdefault(kind, {})[key] = None
    return {kind: list(one)[:SHOWN] for kind, one in keys.items()}


def _shown(establishment: Establishment, keys: Keys, *, near: bool, more: bool) -> Finds:
    """The things themselves, newest first."""
    return Finds(
        cars=tuple(_cars(establishment, keys.get(Kind.CAR, []))),
        jobs=tuple(_jobs(establishment, keys.get(Kind.JOB, []))),
        papers=tuple(_papers(establishment, keys.get(Kind.PAPER, []))),
        containers=tuple(_containers(establishment, keys.get(Kind.CONTAINER, []))),
        lots=tuple(_lots(establishment, keys.get(Kind.LOT, []))),
        deliveries=tuple(_deliveries(establishment, keys.get(Kind.DELIVERY, []))),
        near=near,
        more=more,
    )


def _cars(establishment: Establishment, keys: list[str]) -> Iterable[Car]:
    if not keys:
        return []
    vehicles = Vehicle.objects.filter(establishment=establishment, pk__in=[int(key) for key in keys])
    jobs: dict[int, list[Job]] = {vehicle.pk: [] for vehicle in vehicles}
    for job in Job.objects.at_shop(establishment).filter(vehicle__in=list(jobs)).order_by("-pk"):
        jobs[job.vehicle_id].append(job)
    shown = VISITS if len(jobs) <= FEW else 1
    newest = [job for mine in jobs.values() for job in mine[:shown]]
    seen = {visit.number: visit for visit in visits(newest)}
    cars = [
        Car(
            vehicle,
            tuple(seen[job.number] for job in jobs[vehicle.pk][:shown]),
            len(jobs[vehicle.pk][shown:]),
        )
        for vehicle in vehicles
    ]
    return sorted(cars, key=lambda car: jobs[car.vehicle.pk][0].pk if car.visits else 0, reverse=True)


def _jobs(establishment: Establishment, keys: list[str]) -> Iterable[Visit]:
    return visits(Job.objects.at_shop(establishment).filter(number__in=keys).order_by("-pk")) if keys else []


def visits(jobs: Iterable[Job]) -> list[Visit]:
    """What tells these jobs apart, in four more queries however many they are."""
    rows = list(jobs)
    seen = check_ins(rows)
    moved = charged_in(rows)
    closed = Document.objects.filter(certificate__closing__job__in=rows, replaced_by=None)
    papers = {
        paper.certificate.closing.job_id: paper
        for paper in closed.defer("pdf", "facts").select_related("certificate__closing")
    }
    return [
        Visit(
            job.number,
            job.on,
            job.vehicle,
            seen[job.pk].customer,
            seen[job.pk].plate,
            seen[job.pk].refrigerant_id,
            moved.get(job.pk),
            papers.get(job.pk),
        )
        for job in rows
        if job.pk in seen
    ]


def charged_in(wanted: Iterable[Job]) -> dict[int, Mass]:
    """What each closed job put into its car and left there, as corrected; what was recovered back never reaches the
    book's vehicles."""
    jobs = list(wanted)
    found: dict[int, Mass] = {}
    for one in booked_for(jobs):
        if one.purpose == Purpose.CHARGED:
            put_in = one.mass if one.target == PlaceKind.VEHICLES else -one.mass
            found[one.job] = found.get(one.job, ZERO) + put_in
    return found


def _papers(establishment: Establishment, keys: list[str]) -> Iterable[Document]:
    if not keys:
        return []
    papers = Document.objects.filter(establishment=establishment, number__in=keys, replaced_by=None)
    return papers.defer("pdf", "facts").select_related("withdrawal", "replaced_by")


def _containers(establishment: Establishment, keys: list[str]) -> Iterable[Container]:
    if not keys:
        return []
    mine = Container.objects.filter(establishment=establishment, pk__in=keys)
    return mine.select_related("fate", "can__type").order_by("-came_on", "pk")


def _lots(establishment: Establishment, keys: list[str]) -> Iterable[Lot]:
    if not keys:
        return []
    known = Container.objects.filter(establishment=establishment).annotate(lot_said=lot_as_known())
    mine = known.filter(lot_said__in=keys).order_by("lot_said", "refrigerant")
    rows = mine.values_list("lot_said", "refrigerant").annotate(
        cans=Count("pk", filter=~Q(fate__what="undone"))
    )
    return [Lot(*row) for row in rows]


def _deliveries(establishment: Establishment, keys: list[str]) -> Iterable[Delivery]:
    if not keys:
        return []
    mine = Delivery.objects.filter(establishment=establishment, number__in=keys)
    return mine.select_related("supplier", "undone").prefetch_related("invoices")
