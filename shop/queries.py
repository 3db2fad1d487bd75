"""Reads about the shop, its people and its equipment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Count, Exists, OuterRef, Prefetch, QuerySet, Subquery
from django.db.models.functions import Coalesce

from shop.core.house import SHEETS, HouseRules, RuleSheet, house_rules
from shop.core.mass import ZERO, Reading, Unit
from shop.core.quick import badge_code, digest
from shop.core.scopes import roles_below
from shop.core.standing import AuthorisedStretch, CardFacts, Standing, standing, turning_days
from shop.models import (
    Authorisation,
    BackupTrial,
    Badge,
    Check,
    Equipment,
    Establishment,
    Letter,
    LetterDue,
    LetterTry,
    Listener,
    Person,
    Pin,
    ProgramKey,
    SearchTail,
    ShopRule,
    Station,
    Vehicle,
)


def rules_on(establishment: Establishment, day: date) -> HouseRules:
    """The shop's own rules in force on a day: the defaults under the changes dated up to it."""
    changes = ShopRule.objects.filter(establishment=establishment, from_day__lte=day)
    return house_rules(changes.order_by("from_day", "pk").values_list("key", "value"))


SWITCHES = {  # what 0 and 1 mean
    "top_up_without_recovery": ("not allowed", "allowed"),
    "whole_card_on_link": ("last four", "whole"),
}


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One of the shop's rules: its value today, what changed it last (None: still the default), what comes."""

    sheet: RuleSheet
    value: Decimal
    change: ShopRule | None
    to_come: tuple[ShopRule, ...]

    @property
    def shown(self) -> str:
        """The value as a person reads it, with its unit."""
        if self.sheet.key in SWITCHES:
            return SWITCHES[self.sheet.key][bool(self.value)]
        return f"{self.value} {self.sheet.unit}"


def rule_sheet(establishment: Establishment, day: date) -> list[RuleLine]:
    """All of the shop's own rules as they stand on a day, with the changes that begin later."""
    in_force = rules_on(establishment, day)
    changes = list(ShopRule.objects.filter(establishment=establishment).select_related("by"))
    return [
        RuleLine(
            sheet,
            getattr(in_force, sheet.key),
            next((one for one in reversed(changes) if one.key == sheet.key and one.from_day <= day), None),
            tuple(one for one in changes if one.key == sheet.key and one.from_day > day),
        )
        for sheet in SHEETS
    ]


def people(establishment: Establishment) -> QuerySet[Person]:
    """Everyone of the shop, leavers too, with what the work-day question needs."""
    authorisations = Authorisation.objects.filter(establishment=establishment).select_related("end")
    return Person.objects.at(establishment).prefetch_related(
        "cards", Prefetch("authorisations", queryset=authorisations)
    )


def work_day(person: Person, day: date) -> Standing:
    """Was this person's 609 card in force on that day, and were they authorised here?"""
    return standing(person.name, day, *_facts_of(person))


def turning_days_of(person: Person) -> set[date]:
    """The days on which that answer may become another one."""
    return turning_days(*_facts_of(person))


def _facts_of(person: Person) -> tuple[list[CardFacts], list[AuthorisedStretch]]:
    cards = [
        CardFacts(card.program, card.number, card.issued_on, card.copy_due) for card in person.cards.all()
    ]
    return cards, [
        AuthorisedStretch(one.first_day, one.end.last_day if hasattr(one, "end") else None)
        for one in person.authorisations.all()
        if one.establishment_id == person.establishment_id
    ]


def equipment(establishment: Establishment, *kinds: str) -> QuerySet[Equipment]:
    """The shop's equipment, of some kinds or of all, with its checks."""
    rows = Equipment.objects.filter(establishment=establishment).prefetch_related("checks")
    return (rows.filter(kind__in=kinds) if kinds else rows).select_related("retirement")


def in_service(establishment: Establishment, day: date, *kinds: str) -> QuerySet[Equipment]:
    """The equipment that stood in service on a day."""
    return (
        equipment(establishment, *kinds).filter(in_service_on__lte=day).exclude(retirement__last_day__lt=day)
    )


def last_check(piece: Equipment, day: date) -> Check | None:
    """The newest check up to a day."""
    return next((check for check in piece.checks.all() if check.on <= day), None)


def last_backup_trial(establishment: Establishment) -> BackupTrial | None:
    """When a backup was last brought back and looked at."""
    return BackupTrial.objects.filter(establishment=establishment).select_related("by").first()


def known_weight(scale: Equipment) -> dict[str, Any]:
    """The known weight of a scale's last check, as its next check begins: what it was, and what it weighs."""
    last = next((check for check in scale.checks.all() if check.known > ZERO), None)
    if last is None:
        return {}
    unit = Unit(scale.unit) if scale.unit != Unit.LB_OZ else Unit.G
    text = f"{last.known.rounded(unit, 6).normalize():f}"
    return {"against": last.against, "known": Reading(text, unit, last.known)}


def vehicle_by(establishment: Establishment, *, vin: str, plate: str) -> Vehicle | None:
    """A vehicle that was here before: by VIN, else by plate alone."""
    mine = Vehicle.objects.filter(establishment=establishment)
    if vin:
        return mine.filter(vin=vin).first()
    return mine.filter(plate=plate, vin="").order_by("-pk").first() if plate else None


def station_of_token(token: str) -> Station | None:
    """The shared station whose browser keeps this token, unless it has been taken away."""
    stations = Station.objects.select_related("establishment")
    return stations.filter(token_sha256=digest(token), end=None).first() if token else None


def stations(establishment: Establishment) -> QuerySet[Station]:
    """The shop's shared stations of today."""
    return Station.objects.filter(establishment=establishment, end=None).select_related("by")


def standing_here(station: Station) -> QuerySet[Person]:
    """Whom a station offers to sign on: those of its shop who have a PIN."""
    holders = Pin.objects.holding().values("person")
    return Person.objects.at(station.establishment).filter(is_active=True, pk__in=holders)


def pin_of(person: Person) -> Pin | None:
    return Pin.objects.holding().filter(person=person).first()


def badge_of(person: Person) -> Badge | None:
    return Badge.objects.holding().filter(person=person).first()


def badge_shown(code: str, establishment: Establishment) -> Badge | None:
    """The badge with this code, while it holds and its bearer may sign on at this shop."""
    badges = Badge.objects.holding().select_related("person")
    bearer = {"person__establishment": establishment, "person__is_active": True}
    return badges.filter(code_sha256=digest(badge_code(code)), **bearer).first()


def program_keys(person: Person) -> QuerySet[ProgramKey]:
    """The keys that somebody may see and take back: their own, and an owner everybody's at the shop."""
    keys = ProgramKey.objects.filter(person__establishment=person.establishment)
    return (keys if person.is_owner else keys.filter(person=person)).select_related(
        "person", "end__by", "use"
    )


def program_key_shown(key: str, at: datetime) -> ProgramKey | None:
    """The key of a program, while it holds and its person may sign on in a role that covers the key's."""
    keys = ProgramKey.objects.select_related("person__establishment", "use")
    found = keys.filter(key_sha256=digest(key), ends_at__gt=at, end=None, person__is_active=True).first()
    return found if found and found.as_role in roles_below(found.person.role) else None


def tails_beginning(establishment: Establishment, needle: str) -> QuerySet[SearchTail]:
    """The endings of words that begin with a folded needle: whatever holds that fragment."""
    first = needle.encode()
    mine = SearchTail.objects.filter(establishment=establishment)
    return mine.filter(tail__gte=first, tail__lt=first + b"\xff")  # no UTF-8 text holds the byte FF


def listeners(establishment: Establishment) -> QuerySet[Listener]:
    """The programs that are told, and those that were, with how many letters wait for each, how many are dead,
    and whether it was ever ``written`` to."""
    mine = LetterDue.objects.filter(letter__listener=OuterRef("pk")).order_by().values("letter__listener")
    waiting = mine.filter(at__isnull=False).annotate(number=Count("pk")).values("number")
    dead = mine.filter(at=None).annotate(number=Count("pk")).values("number")
    rows = Listener.objects.filter(establishment=establishment).select_related("by", "end__by")
    return rows.annotate(  # type: ignore[no-redef]
        waiting=Coalesce(Subquery(waiting), 0),
        dead=Coalesce(Subquery(dead), 0),
        written=Exists(Letter.objects.filter(listener=OuterRef("pk"))),
    )


def letters_to(listener: Listener) -> QuerySet[Letter]:
    """Every letter to a program, newest first, with its tries and whether it was ``taken``."""
    taken = LetterTry.objects.filter(letter=OuterRef("pk"), taken=True)
    rows = listener.letters.annotate(taken=Exists(taken))
    return rows.select_related("news", "due").prefetch_related("tries")


def dead_letters(listener: Listener) -> QuerySet[Letter]:
    """Letters that nobody tries any more and that were never taken."""
    return listener.letters.filter(due__isnull=False, due__at=None)
