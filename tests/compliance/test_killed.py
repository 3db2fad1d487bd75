"""The server dies between taking an entry and answering it, a hundred times: each is kept once, in order."""

from __future__ import annotations

import http.client
import json
import random
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest

from tests.served import Served, served

CUTS = 100
CHARGE = "/bay/J24-0001/charge/"
FULL = 466  # g, a sealed can of 340 g with its shell


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Served]:
    with served(tmp_path) as shop:
        yield shop


@dataclass
class Phone:
    """Sends a pile as the page's script does: one after the other, each until it has a receipt."""

    shop: Served
    cookies: dict[str, str] = field(default_factory=dict)
    token: str = ""

    def ask(
        self, method: str, path: str, body: str = "", cut: Callable[[], None] | None = None, **headers: str
    ) -> str:
        host = urlsplit(self.shop.url)
        line = http.client.HTTPConnection(host.hostname or "", host.port, timeout=20)
        cookie = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        try:
            line.request(method, path, body, {"Cookie": cookie, "Accept": "application/json"} | headers)
            if cut is not None:
                cut()
            answer = line.getresponse()
            text = answer.read().decode()
        finally:
            line.close()
        assert answer.status == 200, (answer.status, text[:400])
        assert answer.headers["Content-Type"].startswith("application/json"), text
        for one in answer.headers.get_all("Set-Cookie") or ():
            name, _, rest = one.partition("=")
            self.cookies[name] = rest.partition(";")[0]
        return text

    def send(self, fields: dict[str, str], cut: Callable[[], None] | None = None) -> bool:
        """Whether a receipt came."""
        try:
            self.token = self.token or json.loads(self.ask("GET", "/bay/waiting/token/"))["token"]
            sent = {"X-CSRFToken": self.token, "Content-Type": "application/x-www-form-urlencoded"}
            return "kept" in json.loads(self.ask("POST", CHARGE, urlencode(fields), cut, **sent))
        except (OSError, http.client.HTTPException):
            return False


def written(shop: Served) -> int:
    return int(shop.rows("SELECT count(*) FROM compliance_canticket")[0][0])


def cut_at(shop: Served, delay: float) -> None:
    """Anywhere between the receipt and the answer."""
    time.sleep(delay)
    shop.kill()


def lose_answer(shop: Served, entries: int) -> None:
    """As soon as the entry stands in the database; nobody reads the answer."""
    while written(shop) < entries:
        time.sleep(0.002)
    shop.kill()
    raise ConnectionError


def test_a_hundred_cuts_between_receipt_and_answer_lose_and_double_nothing(
    shop: Served, record_property: Callable[[str, object], None]
) -> None:
    chance, phone = random.Random(20261126), Phone(shop, {"sessionid": shop.session})
    who = shop.rows("SELECT id FROM shop_person WHERE username = 'dev'")[0][0]
    scale = shop.rows("SELECT id FROM shop_equipment WHERE code = 'SC-1'")[0][0]
    readings = [FULL - 3 * turn for turn in range(CUTS)]
    began, usual, unanswered = time.monotonic(), 0.1, 0  # s that an answer takes

    for turn, reading in enumerate(readings):
        entry = {
            "container": "K-0001",
            "reading": str(reading),
            "what": "stays" if turn else "before",
            "scale": str(scale),
            "style": "bare can",
            "once": f"key of {turn}",
            "waits": str(who),
            "said_at": f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%S.%fZ}",
            "said_ahead": "0",
        }
        late = chance.random() < 0.5
        cut = (
            partial(lose_answer, shop, turn + 1) if late else partial(cut_at, shop, chance.uniform(0, usual))
        )
        answered = phone.send(entry, cut)
        unanswered += written(shop) == turn + 1 and not answered
        shop.again()
        while not answered:
            asked = time.monotonic()
            answered = phone.send(entry)
            usual += (time.monotonic() - asked - usual) / 4
    took = time.monotonic() - began

    rows = shop.rows(
        "SELECT t.reading_text FROM compliance_canticket c"
        " JOIN inventory_weighticket t ON t.id = c.ticket_id ORDER BY t.number"
    )
    assert [int(text) for (text,) in rows] == readings
    assert shop.rows("SELECT count(*) FROM compliance_sentlater WHERE doubt = ''") == [(CUTS,)]
    assert shop.rows("SELECT count(*) FROM shop_formsent") == [(CUTS,)]
    assert 0 < unanswered < CUTS  # it was cut on both sides of the write
    record_property(
        "measured", f"{CUTS} killed servers in {took:.0f} s, {unanswered} after the entry was written."
    )
