"""The PC in the bay that everybody shares, and what people sign on with there."""

from __future__ import annotations

from typing import Any

from django.test import Client

from shop.device import STATION
from shop.models import Person, Station
from shop.services import issue_badge, make_station, set_pin
from tests.factories import SET_UP_AT, Shop
from tests.pages import send

PIN = "7305"
WRONG = "7306"


def make_bay_pc(shop: Shop, name: str = "Bay PC") -> tuple[Station, str]:
    """Marta makes the station; its token goes into a browser's cookie."""
    return make_station(name, shop.establishment, at=SET_UP_AT, by=shop.marta)


def browser_with(token: str) -> Client:
    client = Client()
    client.cookies[STATION] = token
    return client


def give_pin(person: Person, pin: str = PIN) -> None:
    set_pin(pin, at=SET_UP_AT, by=person)


def give_badge(person: Person) -> str:
    return issue_badge(at=SET_UP_AT, by=person)[1]


def tap(client: Client, person: Person, pin: str = PIN, wanted: str = "/cabinet/") -> Any:
    """Tap the name, type the PIN."""
    return send(client, f"/sign-on/{person.pk}/?next={wanted}", pin=pin)


def who(client: Client) -> str:
    """The first name in the frame; nothing when nobody is signed on."""
    page = client.get("/words/")
    user = page.context["request"].user
    return str(user.first_name) if user.is_authenticated else ""
