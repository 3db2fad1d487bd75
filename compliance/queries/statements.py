"""Equipment statements against the machines in service and the people working now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.conf import settings
from django.db.models import Prefetch, QuerySet

from compliance.core.statement import (
    OFFICER,
    OWNER,
    MachineStated,
    PersonListed,
    StatementFacts,
    people_changes,
)
from compliance.models import Document, EarlierStatement, RegionAddress, StatementProof, StatementSent
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from compliance.queries.papers import paper_state
from shop.core.canonical import rebuild
from shop.models import Equipment, Establishment, Officer, OwnerChange, Person
from shop.queries import equipment, people, work_day

NEW_OWNER_DAYS = timedelta(days=30)  # from memory; the page says so


@dataclass(frozen=True, slots=True)
class Signed:
    """One signed statement: its facts, whether it still stands, and how it was sent."""

    document: Document
    facts: StatementFacts
    state: str
    sendings: tuple[StatementSent, ...]

    @property
    def standing(self) -> bool:
        return self.state == "current"

    @property
    def sent(self) -> StatementSent | None:
        return self.sendings[-1] if self.sendings else None

    @property
    def proven(self) -> bool:
        return any(one.proofs.all() for one in self.sendings)


@dataclass(frozen=True, slots=True)
class MachineLine:
    """One machine: the standing statement that lists it, and what the owner states of an earlier one."""

    machine: Equipment
    in_service: bool
    signed: Signed | None
    earlier: tuple[EarlierStatement, ...]
    added_after: bool


@dataclass(frozen=True, slots=True)
class Overview:
    """What the page of statements shows. ``due`` is a new owner's day, None when nobody new has to sign."""

    machines: tuple[MachineLine, ...]
    signed: tuple[Signed, ...]
    joined: tuple[str, ...]
    left: tuple[str, ...]
    change: OwnerChange | None
    due: date | None

    @property
    def newest(self) -> Signed | None:
        return next((one for one in self.signed if one.standing), None)


def statements(establishment: Establishment) -> list[Signed]:
    """All signed statements, newest first."""
    proofs = Prefetch("proofs", StatementProof.objects.defer("content"))
    sendings = Prefetch("sendings", StatementSent.objects.prefetch_related(proofs))
    rows = Document.objects.filter(establishment=establishment, kind=Document.Kind.STATEMENT).defer("pdf")
    rows = rows.select_related("by", "replaced_by", "withdrawal").prefetch_related(sendings)
    return [
        Signed(one, rebuild(StatementFacts, one.facts), paper_state(one), tuple(one.sendings.all()))
        for one in rows
    ]


def machines(establishment: Establishment) -> QuerySet[Equipment]:
    """Recovery machines, retired ones too."""
    return equipment(establishment, Equipment.Kind.MACHINE)


def in_service_on(machine: Equipment, day: date) -> bool:
    retired = machine.retirement.last_day if hasattr(machine, "retirement") else None
    return machine.in_service_on <= day and (retired is None or day <= retired)


def overview(establishment: Establishment, day: date) -> Overview:
    signed = statements(establishment)
    standing = [one for one in signed if one.standing]
    stated: dict[int, list[EarlierStatement]] = {}
    for one in EarlierStatement.objects.filter(equipment__establishment=establishment).select_related("by"):
        stated.setdefault(one.equipment_id, []).append(one)
    lines = []
    for machine in machines(establishment):
        mine = next((one for one in standing if machine.code in _codes(one)), None)
        earlier = tuple(stated.get(machine.pk, ()))
        after = mine is None and not earlier and any(one.sent is not None for one in standing)
        lines.append(MachineLine(machine, in_service_on(machine, day), mine, earlier, after))
    now = [person.name for person in listed_people(establishment, day)]
    listed = [one.name for one in standing[0].facts.people] if standing else now
    came, gone = people_changes(listed, now)
    change = last_change(establishment, day)
    due = None
    if change is not None and not any(one.document.dated >= change.on for one in standing):
        due = change.on + NEW_OWNER_DAYS
    return Overview(tuple(lines), tuple(signed), tuple(came), tuple(gone), change, due)


def _codes(signed: Signed) -> set[str]:
    return {machine.code for machine in signed.facts.machines}


def last_change(establishment: Establishment, day: date) -> OwnerChange | None:
    changes = OwnerChange.objects.filter(establishment=establishment, on__lte=day)
    return changes.select_related("owner").last()


def listed_people(establishment: Establishment, day: date) -> list[Person]:
    """Whoever is authorised for air conditioning work on a day, with a card or without."""
    return [one for one in people(establishment) if work_day(one, day).authorised]


def role_of_signer(person: Person, day: date) -> tuple[str, str]:
    """("owner" or "responsible officer" or "", the title on file). After a change of owner only the new one and those
    whom they named sign."""
    change = last_change(person.establishment, day)
    if person.is_owner and (change is None or change.owner_id == person.pk):
        return OWNER, "Owner"
    offices = Officer.objects.filter(person=person, first_day__lte=day)
    if change is not None:
        offices = offices.filter(first_day__gte=change.on)
    office = offices.last()
    return (OFFICER, office.title) if office is not None else ("", "")


def statement_facts(
    establishment: Establishment,
    *,
    number: str,
    version: int,
    purchaser: str,
    location: str,
    machines: tuple[MachineStated, ...],
    stated: tuple[str, ...],
    title: str,
    reason: str,
    check_url: str,
    replaces: str = "",
    on: date,
    at: datetime,
    by: Person,
) -> StatementFacts:
    """Everything one statement says, read once."""
    listed = []
    for person in listed_people(establishment, on):
        card = work_day(person, on).card
        listed.append(
            PersonListed(person.name, card.number if card else "", card.issued_on.isoformat() if card else "")
        )
    return StatementFacts(
        number=number,
        version=version,
        signed_on=on.isoformat(),
        made_at=local(establishment, at).isoformat(timespec="minutes"),
        shop=shop_facts(establishment),
        purchaser=purchaser.strip(),
        location=" ".join(location.split()),
        machines=machines,
        stated=stated,
        signer=by.name,
        signer_role=role_of_signer(by, on)[0],
        title=title.strip(),
        people=tuple(listed),
        reason=reason.strip(),
        check_url=check_url,
        replaces=replaces,
        practice=settings.PRACTICE,
    )


def region_addresses(establishment: Establishment) -> dict[int, RegionAddress]:
    """The newest address of each Region that the owner wrote down."""
    rows = RegionAddress.objects.filter(establishment=establishment).select_related("by")
    return {one.region: one for one in rows}
