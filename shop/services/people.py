"""People, and from when to when they are authorised."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.core.days import said_day
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.roles import ROLES, Role
from shop.models import AuditNote, Authorisation, AuthorisationEnd, Establishment, Person


@dataclass(frozen=True, slots=True)
class PersonIn:
    name: str
    username: str
    role: str
    password: str | None  # None: nobody signs on with it until the owner gives one


@transaction.atomic
def add_person(person: PersonIn, establishment: Establishment, *, at: datetime, by: Person) -> Person:
    """Somebody new who may sign on. Raises ``Refused`` on a taken name or a weak password."""
    refuse_if_blocked(person_problems(person))
    new = Person(
        establishment=establishment, name=person.name.strip(), username=person.username, role=person.role
    )
    new.set_password(person.password)
    new.save()
    AuditNote.objects.create(
        by=by, at=at, about=f"person {new.username}", was="", now=f"{new.name}, {new.role}"
    )
    return new


def person_problems(person: PersonIn) -> list[Finding]:
    """What stands against somebody new."""
    found = []
    if not person.name.strip():
        found.append(blocked("name-empty", "Type the person's name as it stands on their card.", "name"))
    if person.role not in ROLES:
        found.append(blocked("role-unknown", "Choose front office, technician or owner.", "role"))
    if Person.objects.filter(username=person.username).exists():
        sentence = f"The sign-on name {person.username} is taken. Choose another."
        found.append(blocked("username-taken", sentence, "username"))
    if person.password is None:
        return found
    return found + _password_problems(person.password, Person(username=person.username, name=person.name))


def _password_problems(password: str, person: Person) -> list[Finding]:
    try:
        validate_password(password, person)
    except ValidationError as weak:
        return [blocked("password-weak", " ".join(weak.messages), "password")]
    return []


@transaction.atomic
def authorise_person(person: Person, *, first_day: date, at: datetime, by: Person) -> Authorisation:
    """From this day the person may do air conditioning work here; needs a card issued by then."""
    found = []
    if not person.cards.filter(issued_on__lte=first_day).exists():
        sentence = f"{person.name} has no 609 card issued by that day. Add the card first."
        found.append(blocked("no-card", sentence, "first_day", "40 CFR 82.34(a)(2)"))
    running = person.authorisations.filter(establishment=person.establishment, end=None).first()
    if running is not None:
        sentence = f"{person.name} is authorised since {said_day(running.first_day)}; nothing to add."
        found.append(blocked("authorised-already", sentence, "first_day"))
    elif person.authorisations.filter(establishment=person.establishment, first_day=first_day).exists():
        sentence = f"An authorisation of {person.name} from that day is on file and has ended. Pick another first day."
        found.append(blocked("authorised-before", sentence, "first_day"))
    refuse_if_blocked(found)
    return Authorisation.objects.create(
        person=person, establishment=person.establishment, first_day=first_day, at=at, by=by
    )


@transaction.atomic
def end_authorisation(
    authorisation: Authorisation, *, last_day: date, may_sign_on: bool, at: datetime, by: Person
) -> AuthorisationEnd:
    """The last day of work here. Cards and records stay; sign-on ends unless they stay in another role."""
    found = []
    if AuthorisationEnd.objects.filter(authorisation=authorisation).exists():
        found.append(blocked("authorisation-ended", "This authorisation has already ended.", "last_day"))
    if last_day < authorisation.first_day:
        found.append(blocked("ends-before-start", "The last day is before the first day.", "last_day"))
    if not may_sign_on:
        found += last_owner(authorisation.person, "may_sign_on")
    refuse_if_blocked(found)
    if not may_sign_on:
        shut_out(authorisation.person, at=at, by=by)
    return AuthorisationEnd.objects.create(authorisation=authorisation, last_day=last_day, at=at, by=by)


@transaction.atomic
def let_back_in(person: Person, role: str, *, at: datetime, by: Person) -> None:
    """Somebody who was out is on the list again in this role, without a password until the owner gives one."""
    if role not in ROLES:
        refuse_if_blocked([blocked("role-unknown", "Choose front office, technician or owner.", "role")])
    person.is_active, person.role = True, role
    person.set_unusable_password()
    person.save(update_fields=["is_active", "role", "password"])
    AuditNote.objects.create(by=by, at=at, about=f"person {person.username}", was="left", now=f"back, {role}")


@transaction.atomic
def renew_password(person: Person, password: str, *, at: datetime, by: Person) -> None:
    """A new first password for somebody who forgot theirs, or who comes back. Every other sign-on of theirs ends."""
    refuse_if_blocked(_password_problems(password, person))
    person.set_password(password)
    was = "may sign on" if person.is_active else "left"
    person.is_active, person.leaves_on = True, None
    person.save(update_fields=["password", "is_active", "leaves_on"])
    AuditNote.objects.create(by=by, at=at, about=f"person {person.username}", was=was, now="new password")


@transaction.atomic
def set_language(language: str, *, at: datetime, by: Person) -> None:
    """The language in which the pages speak to this person from now on; everybody chooses their own."""
    if language not in dict(settings.LANGUAGES):
        refuse_if_blocked([blocked("language-unknown", "Language: choose English or Español.", "language")])
    was, by.language = by.language, language
    by.save(update_fields=["language"])
    AuditNote.objects.create(by=by, at=at, about=f"language of {by.username}", was=was, now=language)


def last_owner(person: Person, field: str) -> list[Finding]:
    """The only owner who may sign on does not shut themselves out."""
    owners = Person.objects.filter(establishment=person.establishment, role=Role.OWNER, is_active=True)
    if not person.is_owner or owners.exclude(pk=person.pk).exists():
        return []
    sentence = f"{person.name} is the only owner who may sign on. Let another owner in first."
    return [blocked("last-owner", sentence, field)]


def shut_out(person: Person, *, at: datetime, by: Person) -> None:
    """Their sign-on ends now."""
    person.is_active, person.leaves_on = False, None
    person.save(update_fields=["is_active", "leaves_on"])
    AuditNote.objects.create(by=by, at=at, about=f"person {person.username}", was="may sign on", now="left")
