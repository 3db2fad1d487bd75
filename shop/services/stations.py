"""Shared stations, and the PINs and badges that people sign on with there."""

from __future__ import annotations

import base64
import secrets
from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.db import transaction

from shop.core.findings import blocked, refuse_if_blocked
from shop.core.quick import digest, pin_problems
from shop.models import Badge, BadgeEnd, Establishment, Person, Pin, PinEnd, Station, StationEnd

BADGE_BYTES = 20  # 160 bits, 32 letters and digits


@transaction.atomic
def make_station(name: str, establishment: Establishment, *, at: datetime, by: Person) -> tuple[Station, str]:
    """A computer becomes a shared station; the token that comes back is for its browser alone."""
    name, found = name.strip(), []
    if not name:
        found.append(blocked("station-name", "Give the station a name, for example Bay PC.", "name"))
    if Station.objects.filter(establishment=establishment, name__iexact=name, end=None).exists():
        found.append(
            blocked("station-taken", f"There is a station {name} already. Name this one another way.", "name")
        )
    refuse_if_blocked(found)
    token = secrets.token_urlsafe(32)
    station = Station.objects.create(
        establishment=establishment, name=name, token_sha256=digest(token), at=at, by=by
    )
    return station, token


@transaction.atomic
def end_station(station: Station, *, at: datetime, by: Person) -> StationEnd:
    """Take a station away. Whoever signed on there with a PIN or a badge is signed off by their next tap."""
    if StationEnd.objects.filter(station=station).exists():
        refuse_if_blocked([blocked("station-ended", f"{station.name} has been taken away already.")])
    return StationEnd.objects.create(station=station, at=at, by=by)


@transaction.atomic
def set_pin(pin: str, *, at: datetime, by: Person) -> Pin:
    """Everybody sets their own PIN; the one before it holds no more."""
    refuse_if_blocked(pin_problems(pin))
    return Pin.objects.create(person=by, hashed=make_password(pin), at=at, by=by)


@transaction.atomic
def issue_badge(*, at: datetime, by: Person) -> tuple[Badge, str]:
    """A new badge of one's own; the one before it holds no more. The code that comes back is kept nowhere."""
    code = base64.b32encode(secrets.token_bytes(BADGE_BYTES)).decode()
    return Badge.objects.create(person=by, code_sha256=digest(code), at=at, by=by), code


@transaction.atomic
def end_quick_sign_on(person: Person, *, at: datetime, by: Person) -> None:
    """Take somebody's PIN and badge away. Their password stays."""
    pins = Pin.objects.holding().filter(person=person)
    badges = Badge.objects.holding().filter(person=person)
    if not pins and not badges:
        refuse_if_blocked([blocked("no-quick", f"{person.name} has neither a PIN nor a badge.")])
    for pin in pins:
        PinEnd.objects.create(pin=pin, at=at, by=by)
    for badge in badges:
        BadgeEnd.objects.create(badge=badge, at=at, by=by)
