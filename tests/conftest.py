"""What every test may ask for: the shop, a client signed on as each person, and a database that others see."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any, Protocol, TypeVar
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client, TransactionTestCase, override_settings
from django.test.client import ClientHandler
from django.utils import timezone
from pytest_django import DjangoDbBlocker

from shop.models import Person
from tests.factories import Shop, make_shop
from tests.put_back import remember

DATABASES = {"db", "transactional_db"}
BROWSERS = {"client", "lee", "dev", "rosa", "marta", "sign_on", "stranger"}
KEPT: list[transaction.Atomic] = []  # open, each inside the one before
HANDLER = ClientHandler(enforce_csrf_checks=False)
SignOn = Callable[[Person], Client]
Made = TypeVar("Made")
SHOP_ZONE = ZoneInfo("America/Denver")


class Keep(Protocol):
    """Write rows once, for all tests of a module: ``keep(make_shop)`` returns what ``make_shop()`` returns."""

    def __call__(self, make: Callable[[], Made]) -> Made: ...


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings: None) -> None:
    """No test pulls the plug of the machine, so no engine need wait for the disk. A killed process loses nothing."""
    options = connection.settings_dict["OPTIONS"]
    if connection.vendor == "sqlite":
        options["init_command"] = options["init_command"].replace("synchronous=FULL", "synchronous=OFF")
    else:
        options["options"] = "-c synchronous_commit=off"


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The test database, and a quicker way than Django's to clean it after a test whose writes were committed."""
    with django_db_blocker.unblock():
        put_back = remember()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", lambda _case: put_back())
        yield


@pytest.fixture(scope="session", autouse=True)
def _static_folder() -> None:
    """The server that hands out style sheets warns when its folder is missing, and here a warning is an error."""
    Path(settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    """Scrypt is slow on purpose; no test here measures it."""
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield


@pytest.fixture(autouse=True)
def _the_clock_on_the_wall() -> Iterator[None]:
    """A test's ``timezone.localdate()`` is the day in its shop, at any hour of the machine that runs it."""
    with timezone.override(SHOP_ZONE):
        yield


@pytest.fixture(scope="module")
def keep(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Keep]:
    """Rows that every test of a module begins with.

    They are written in transactions that stay open until the module's last test and are then taken back. Each
    test runs in a transaction inside, as ever, so it leaves them as it found them. What is returned lives as long as
    the rows: a test that might change it takes a copy (see ``shop``).
    """

    def kept(make: Callable[[], Any]) -> Any:
        with django_db_blocker.unblock():
            KEPT.append(transaction.atomic())
            KEPT[-1].__enter__()
            made = make()
            connection.check_constraints()
        return made

    yield kept
    with django_db_blocker.unblock():
        take_back()


def take_back() -> None:
    """Take the kept rows out of the database again, the newest first."""
    while KEPT:
        transaction.set_rollback(True)
        KEPT.pop().__exit__(None, None, None)


@pytest.fixture
def nothing_kept(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> None:
    """No kept rows. pytest-django runs a module's live tests after all others, so none of those misses them."""
    with django_db_blocker.unblock():
        take_back()


@pytest.fixture(scope="module")
def shop_of_all(keep: Keep) -> Shop:
    """The shop that the tests of a module begin with; to be read only."""
    return keep(make_shop)


@pytest.fixture
def copies() -> dict[int, Any]:
    """What a test has copied so far, so that one person is one person in all that it asks for."""
    return {}


@pytest.fixture
def shop(db: None, shop_of_all: Shop, copies: dict[int, Any]) -> Shop:
    """Copper Gulch Auto Repair with its people, equipment, kinds of can and cylinders; no can in the cabinet."""
    return deepcopy(shop_of_all, copies)


@pytest.fixture
def live_db(nothing_kept: None, transactional_db: None) -> None:
    """A database whose writes are really committed, for tests about transactions, triggers and threads."""
    assert not connection.in_atomic_block


def new_client() -> Client:
    """A browser of its own, on the one handler of this process: every new one looks through all style sheets again."""
    client = Client()
    client.handler = HANDLER
    return client


@pytest.fixture
def client() -> Client:
    return new_client()


@pytest.fixture
def sign_on() -> SignOn:
    """A client signed on as the given person."""

    def signed_on(person: Person) -> Client:
        client = new_client()
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
    return new_client()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark who asks for a database, whose engine cannot matter, and begin with the stories.

    pytest-django refuses a database to everybody else. A page asks through queries and services, which their own tests
    try on both engines; that every page opens on both, and takes what is typed into it, is tested in ``contracts``.
    Two pages at once, whose writes are committed, meet on both.
    """
    for item in items:
        asks: set[str] = set(item.fixturenames)  # type: ignore[attr-defined]
        if DATABASES & asks or item.get_closest_marker("django_db"):
            item.add_marker("database")
        if BROWSERS & asks and "transactional_db" not in asks and "/contracts/" not in item.nodeid:
            item.add_marker("one_engine")
    items.sort(key=lambda item: "/stories/" not in item.nodeid)  # the longest first, not alone at the end


def pytest_collection_finish() -> None:
    """What stands now stays to the end: the collector of garbage need not look through it again at every turn."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say what tests measured, at the end, from whatever process they ran in."""
    for report in terminalreporter.stats.get("passed", []):
        for name, value in getattr(report, "user_properties", ()):
            if name == "measured":
                terminalreporter.write_line(f"Measured: {value}")
