"""The shop's computer is off, or only what stands before it answers: to a phone both are no signal."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import BrowserType, expect

from tests.browser.conftest import Profiles
from tests.browser.phones import not_sent, pile, ready
from tests.served import served

pytestmark = pytest.mark.browser


def test_a_stopped_server_is_no_signal_and_the_pile_is_sent_when_it_is_back(
    browser_type: BrowserType, tmp_path: Path
) -> None:
    with served(tmp_path / "shop") as shop:
        phones = Profiles(browser_type, tmp_path / "phones", shop.url)
        dev = ready(phones.sign_on("dev", shop.session))
        shop.kill()
        dev.weigh("K-0001", "466", "Before: it goes on the car now")
        not_sent(dev.page, 1)
        dev.weigh("K-0001", "300", "After, it stays on the car")
        not_sent(dev.page, 2)
        shop.again()
        expect(pile(dev.page)).to_be_hidden()
        dev.sees("last read 300 g")
        kept = "SELECT reading_text FROM inventory_weighticket WHERE container_id = 'K-0001' ORDER BY number"
        assert shop.rows(kept) == [("466",), ("300",)]
        phones.end()


@contextmanager
def gateway(url: str, patience: float) -> Iterator[None]:
    """What stands at the shop's address while the shop does not: after its patience it says 502 to everything."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            time.sleep(patience)
            self.send_error(502)

        def do_POST(self) -> None:
            self.do_GET()

        def log_message(self, *said: object) -> None:
            """Nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", int(url.rsplit(":", 1)[1])), Answer)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield
    server.shutdown()
    server.server_close()


def test_a_gateway_without_the_shop_behind_it_is_no_signal_and_its_patience_is_not_in_the_times(
    browser_type: BrowserType, tmp_path: Path
) -> None:
    with served(tmp_path / "shop") as shop:
        phones = Profiles(browser_type, tmp_path / "phones", shop.url)
        dev = ready(phones.sign_on("dev", shop.session))
        shop.kill()
        with gateway(shop.url, 2.0):
            dev.type_in(container="K-0001", reading="466")
            pressed = time.time() * 1000
            dev.keep()
            not_sent(dev.page, 1)
            dev.is_at("Charge")  # by its copy
            typed_at = dev.page.evaluate("async () => (await tarebookPile.all())[0].typedAt")
            assert typed_at - pressed < 1500
        shop.again()
        expect(pile(dev.page)).to_be_hidden()
        phones.end()
