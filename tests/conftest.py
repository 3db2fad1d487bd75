"""What every test may ask for: the shop, a client signed on as each person, and a database that others see."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from pytest_django import DjangoDbBlocker, Settings

from shop.models import Person
from shop.records import drop_guards
from tests.factories import Shop, make_shop

SignOn = Callable[[Person], Client]


@pytest.fixture(scope="session", autouse=True)
def _static_folder() -> None:
    """The server that hands out style sheets warns when its folder is missing, and here a warning is an error."""
    Path(settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)


@pytest.fixture(autouse=True)
def _quick_passwords(settings: Settings) -> None:
    """Scrypt is slow on purpose; no test here measures it."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def shop(db: None) -> Shop:
    """Copper Gulch Auto Repair with its people, equipment, kinds of can and cylinders; no can in the cabinet."""
    return make_shop()


@pytest.fixture
def live_db(transactional_db: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """A database whose writes are really committed, for tests about transactions, triggers and threads.

    Its flush at the end would be refused by the guards, so they are dropped just before it; the flush's
    ``post_migrate`` puts them back.
    """
    yield
    with django_db_blocker.unblock():
        drop_guards()


@pytest.fixture
def sign_on() -> SignOn:
    """A client signed on as the given person."""

    def signed_on(person: Person) -> Client:
        client = Client()
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return signed_on


@pytest.fixture
def lee(shop: Shop, sign_on: SignOn) -> Client:
    """The front office at the keyboard."""
    return sign_on(shop.lee)


@pytest.fixture
def dev(shop: Shop, sign_on: SignOn) -> Client:
    """A technician at the keyboard."""
    return sign_on(shop.dev)


@pytest.fixture
def rosa(shop: Shop, sign_on: SignOn) -> Client:
    """The other technician at the keyboard."""
    return sign_on(shop.rosa)


@pytest.fixture
def marta(shop: Shop, sign_on: SignOn) -> Client:
    """The owner at the keyboard."""
    return sign_on(shop.marta)


@pytest.fixture
def stranger(db: None) -> Client:
    """Somebody who has not signed on."""
    return Client()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say what tests measured, at the end, from whatever process they ran in."""
    for report in terminalreporter.stats.get("passed", []):
        for name, value in getattr(report, "user_properties", ()):
            if name == "measured":
                terminalreporter.write_line(f"Measured: {value}")
