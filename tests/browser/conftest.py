"""The shop as people see it: pages in Chromium, served from a database whose writes are really committed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Protocol

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import BrowserContext, BrowserType, ConsoleMessage, Page, WebError, expect
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from inventory.models import Container
from shop.models import Person
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import Shop, cans_of, make_shop, receive

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = (
    "1"  # Playwright keeps a loop running; we look into the book beside it
)
PATIENCE = 15_000  # ms, for a machine that has other things to do
expect.set_options(timeout=PATIENCE)

CHROMIUM = os.environ.get("TAREBOOK_CHROMIUM", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-fake-device-for-media-stream",
]
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
}
DESK: dict[str, Any] = {"viewport": {"width": 1280, "height": 900}}
AFTERNOON = datetime(2024, 4, 2, 21, 0, tzinfo=UTC)  # 15:00 in the shop, on the day of the factories

SetClock = Callable[[datetime], None]
Phone = Callable[[Person], Page]


class Enter(Protocol):
    """Open a browser of one's own as a person, or as nobody; its pages are given by their path."""

    def __call__(self, person: Person | None = None, **looks: Any) -> Page: ...


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": FLAGS}


@pytest.fixture
def set_clock(settings: Settings) -> SetClock:
    """Put the shop's clock to a moment; it runs on from there."""

    def set_to(moment: datetime) -> None:
        settings.PRACTICE_OFFSET = moment - timezone.now()

    return set_to


@pytest.fixture
def shop(live_db: None, live_server: LiveServer, set_clock: SetClock) -> Shop:
    """The shop of the other tests, committed and served, at three in the afternoon."""
    set_clock(AFTERNOON)
    return make_shop()


@pytest.fixture
def complaints() -> list[str]:
    """What the browsers complained of: errors, warnings, and what the content security policy stopped."""
    return []


@pytest.fixture
def enter(
    shop: Shop,
    live_server: LiveServer,
    sign_on: SignOn,
    complaints: list[str],
    new_context: Callable[..., BrowserContext],
) -> Iterator[Enter]:
    """Open browsers. At the end none of them may have complained."""

    def open_browser(person: Person | None = None, **looks: Any) -> Page:
        context = new_context(base_url=live_server.url, **(looks or DESK))
        context.set_default_timeout(PATIENCE)
        if person is not None:
            context.add_cookies([_session(sign_on(person), live_server.url)])
        context.on("console", lambda said: _note(complaints, said))
        context.on("weberror", lambda error: _note_error(complaints, error))
        return context.new_page()

    yield open_browser
    assert complaints == []


def _session(client: Client, url: str) -> Any:
    return {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": url}


def _note(complaints: list[str], said: ConsoleMessage) -> None:
    if said.type in ("error", "warning"):
        complaints.append(f"{said.page.url if said.page else ''}: {said.text}")


def _note_error(complaints: list[str], error: WebError) -> None:
    complaints.append(f"{error.page.url if error.page else ''}: {error.error}")


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def bay(shop: Shop, cans: list[Container]) -> Bay:
    """A 500 g car, tight and empty, with K-0001 emptied into it and K-0002 on it: 168 g to go, stop at 296."""
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.weigh(cans[1], "464", Moment.BEFORE)
    return bay


class Profiles:
    """Phones whose browsers can be closed and opened again with all that they kept."""

    def __init__(self, browser_type: BrowserType, folder: Path, url: str) -> None:
        self.browser_type, self.folder, self.url = browser_type, folder, url
        self.open: list[BrowserContext] = []
        self.errors: list[str] = []

    def take(self, name: str) -> BrowserContext:
        context = self.browser_type.launch_persistent_context(
            self.folder / name, executable_path=CHROMIUM, args=FLAGS, base_url=self.url, **PHONE
        )
        context.set_default_timeout(PATIENCE)
        context.on("weberror", lambda error: self.errors.append(str(error.error)))
        context.on("console", lambda said: self.errors.append(said.text) if "Policy" in said.text else None)
        self.open.append(context)
        return context

    def sign_on(self, name: str, session: str) -> Page:
        context = self.take(name)
        cookie: Any = {"name": "sessionid", "value": session, "url": self.url, "expires": 4_000_000_000}
        context.add_cookies([cookie])
        return context.pages[0]

    def again(self, page: Page, name: str) -> Page:
        """The browser ended and was opened again."""
        page.context.close()
        self.open.remove(page.context)
        return self.take(name).pages[0]

    def end(self) -> None:
        for context in self.open:
            context.close()


@pytest.fixture
def profiles(browser_type: BrowserType, tmp_path: Path, live_server: LiveServer) -> Iterator[Profiles]:
    phones = Profiles(browser_type, tmp_path, live_server.url)
    yield phones
    phones.end()
    assert phones.errors == []


@pytest.fixture
def phone(profiles: Profiles, sign_on: SignOn) -> Phone:
    """The phone of a person, signed on."""
    return lambda person: profiles.sign_on(person.username, sign_on(person).cookies["sessionid"].value)
