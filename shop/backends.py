"""PIN and badge: two short ways to sign on, at a shared station only, for the people of its shop only.

Wrong tries are counted and throttled as wrong passwords are, each under a name that no person can have, so that
five wrong PINs leave the password alone.
"""

from __future__ import annotations

from typing import cast

from axes.utils import reset
from django.contrib.auth.hashers import check_password, make_password
from django.http import HttpRequest
from django.views.decorators.debug import sensitive_variables

from shop.models import Person, Station
from shop.queries import badge_shown, pin_of

BADGE_TRIES = "any badge"


def pin_tries(person: Person) -> str:
    """The name under which wrong PINs of a person are counted; the space keeps it apart from every sign-on name."""
    return f"PIN of {person.username}"


def forget_tries(request: HttpRequest, tries: str) -> None:
    """Who signed on begins to count anew."""
    reset(ip=request.META["REMOTE_ADDR"], username=tries)


def station_of(request: HttpRequest | None) -> Station | None:
    """The live station that this request comes from, found by the middleware ``shop.device.shared_station``."""
    return cast("Station | None", getattr(request, "station", None))


class AtStation:
    """What Django asks of a backend besides ``authenticate``."""

    def get_user(self, pk: int) -> Person | None:
        return Person.objects.filter(pk=pk, is_active=True).first()


class PinBackend(AtStation):
    @sensitive_variables("pin")
    def authenticate(
        self, request: HttpRequest | None, *, username: str, person: Person, pin: str
    ) -> Person | None:
        """A missing PIN takes as long as a wrong one, so that time tells nothing."""
        station = station_of(request)
        if station is None or person.establishment_id != station.establishment_id or not person.is_active:
            return None
        held = pin_of(person)
        if held is None:
            make_password(pin)
            return None
        return person if check_password(pin, held.hashed) else None


class BadgeBackend(AtStation):
    @sensitive_variables("badge")
    def authenticate(self, request: HttpRequest | None, *, username: str, badge: str) -> Person | None:
        station = station_of(request)
        shown = badge_shown(badge, station.establishment) if station else None
        return shown.person if shown else None
