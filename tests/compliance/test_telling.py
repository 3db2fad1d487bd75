"""What other programs are told of jobs, reports and stock; by the command, by the server, by several at once."""

from __future__ import annotations

import json
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from compliance.management import sending
from compliance.models import Closing, Document
from compliance.services import issue_usage_report, reissue_usage_report
from inventory.models import StockMark
from inventory.services import LineIn
from inventory.services.low import look_at_stock
from shop.core.period import Period
from shop.http import now
from shop.models import Letter, LetterDue, LetterTry, Listener, News
from shop.services import ListenerIn, add_listener
from shop.services.outgoing import secret_of
from shop.services.sending import HELD, send_due
from tests.compliance.test_faults import _same_database, in_threads
from tests.compliance.work import Bay
from tests.factories import NOON, Shop, cans_of, make_shop, receive
from tests.listening import program
from tests.shop.test_outgoing import happens, listener_at, nobody_there

ROOT = Path(__file__).parents[2]
NOWHERE = "http://127.0.0.1:9/"


def told(event: str) -> list[dict[str, Any]]:
    return [json.loads(one.facts) for one in News.objects.filter(event=event).order_by("pk")]


def test_a_closed_job_is_told_in_grams_as_typed_without_customer_or_car(shop: Shop) -> None:
    """338 g and 171 g out of two cans, 6 g in the hoses, 503 g in the car; 210 g recovered before."""
    listener_at(shop, NOWHERE)
    cans = cans_of(receive(shop))

    closing = Bay.check_in(shop).straight(cans[0], cans[1])

    (facts,) = told("job_closed")
    assert (facts["job"], facts["day"], facts["refrigerant"]) == ("J24-0001", "2024-04-02", "R-134a")
    assert facts["cans"][0] == {
        "can": "K-0001",
        "before": {"value": "466", "unit": "g", "micrograms": 466_000_000},
        "after": {"value": "128", "unit": "g", "micrograms": 128_000_000},
        "out": {"value": "338", "unit": "g", "micrograms": 338_000_000},
    }
    assert {where: mass["value"] for where, mass in facts["into"].items()} == {
        "vehicle": "503",
        "hoses": "6",
        "air": "0",
        "cylinder": "0",
    }
    assert [one["micrograms"] for one in facts["recovered"]] == [210_000_000]
    paper = Document.objects.get()
    assert facts["certificate"]["pdf_sha256"] == paper.pdf_sha256
    assert facts["certificate"]["page"].endswith("/papers/C24-0001/1/")
    for private in ("Calloway", "SMP-417", "sedan", "Larkin", "SAMPLE-7741"):
        assert private not in News.objects.get().facts
    assert (News.objects.get().by, News.objects.get().at) == (shop.dev, closing.at)


def test_a_job_not_charged_is_told_without_cans(shop: Shop) -> None:
    listener_at(shop, NOWHERE)
    bay = Bay.check_in(shop)
    bay.leak_check()
    bay.close(stopped="customer left", state_now="as it came", choice="none")

    (facts,) = told("job_closed")
    assert facts["charged"] is False
    assert "cans" not in facts


def test_news_and_closing_are_written_together_or_not_at_all(shop: Shop) -> None:
    listener_at(shop, NOWHERE)
    cans = cans_of(receive(shop))

    with transaction.atomic():
        Bay.check_in(shop).straight(cans[0], cans[1])
        assert (Closing.objects.count(), LetterDue.objects.count()) == (1, 1)
        transaction.set_rollback(True)
    assert not Closing.objects.exists()
    assert not News.objects.exists()
    assert not LetterDue.objects.exists()


def test_a_signed_report_and_its_next_version_are_told(shop: Shop) -> None:
    listener_at(shop, NOWHERE, "report_signed")
    cans = cans_of(receive(shop))
    Bay.check_in(shop).straight(cans[0], cans[1])
    may = NOON + timedelta(days=30)
    signed: dict[str, Any] = {"at": may, "by": shop.marta}
    april = Period.month(date(2024, 4, 1))

    report = issue_usage_report(shop.establishment, april, today=may.date(), **signed)
    reissue_usage_report(report, why="a name", **signed)

    first, second = told("report_signed")
    assert (first["report"]["number"], first["report"]["version"]) == (report.number, 1)
    assert (second["report"]["number"], second["report"]["version"]) == (report.number, 2)
    assert (first["first"], first["last"]) == ("2024-04-01", "2024-04-30")
    (line,) = first["new"]
    assert line["received"] == {"value": "4080", "unit": "g", "micrograms": 4_080_000_000}
    assert line["into_vehicles"]["value"] == "503"


def test_low_stock_is_told_once_for_each_time_it_falls(shop: Shop) -> None:
    """509 g left two of three cans in the first week, 1.5 cans a week: one full can does not last two such weeks."""
    listener_at(shop, NOWHERE, "stock_low")
    house = shop.establishment
    cans = cans_of(receive(shop, LineIn(shop.can12, 3, 3)))
    assert look_at_stock(house, on=NOON.date(), at=NOON) == []
    Bay.check_in(shop).straight(cans[0], cans[1])

    (low,) = look_at_stock(house, on=NOON.date(), at=NOON)
    assert (low.refrigerant, low.full) == ("R-134a", 1)
    assert look_at_stock(house, on=NOON.date(), at=NOON) == []
    more = cans_of(receive(shop, LineIn(shop.can12, 5, 5), slip="88413"))
    assert look_at_stock(house, on=NOON.date(), at=NOON) == []
    assert [mark.low for mark in StockMark.objects.all()] == [True, False]
    second = Bay.check_in(shop, plate="SMP-999")
    second.up_to_charge_again()
    second.draw(more[0], "466", "128", emptied=True)
    second.draw(more[1], "464", "293")
    second.keep_charge()
    second.finals()
    second.close()
    assert [one.full for one in look_at_stock(house, on=NOON.date(), at=NOON)] == [4]
    assert [mark.low for mark in StockMark.objects.all()] == [True, False, True]
    facts, fell_again = told("stock_low")
    assert (fell_again["full_cans"], fell_again["cans_in_a_usual_week"]) == (4, "3")
    assert facts == {
        "refrigerant": "R-134a",
        "full_cans": 1,
        "cans_in_a_usual_week": "1.5",
        "low_means_at_most_weeks": 2,
    }
    assert {one.by for one in News.objects.all()} == {None}


def test_the_command_looks_at_the_stock_and_sends(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("outgoing")
    assert "nothing to send" in capsys.readouterr().out
    with program() as books:
        listener_at(shop, books.url)
        listener_at(shop, nobody_there(), name="Down")
        happens(shop)
        call_command("outgoing")
    assert "1 taken, 1 not taken." in capsys.readouterr().out
    assert len(books.came) == 1


def test_a_round_that_breaks_is_logged_and_the_next_one_goes_on(
    live_db: None, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    shop, rounds = make_shop(), sending.one_round
    broken = [RuntimeError("the database is away")]

    looks: list[bool] = []

    def breaks_once(*, look: bool) -> object:
        looks.append(look)
        if broken:
            raise broken.pop()
        return rounds(look=look)

    monkeypatch.setattr(sending, "one_round", breaks_once)
    with program() as books:
        listener_at(shop, books.url)
        happens(shop)
        with sending.rounds_beside(every=0.05):
            assert until(lambda: LetterTry.objects.exists() and len(looks) >= 3)
    assert "the next round tries again" in caplog.text
    assert len(books.came) == 1
    assert looks[:3] == [
        True,
        True,
        False,
    ]  # after a look that came to its end the stock has five minutes' rest


def test_of_senders_at_once_each_letter_goes_out_once(live_db: None) -> None:
    shop = make_shop()
    with program() as books:
        listener_at(shop, books.url)
        for number in range(12):
            happens(shop, f"J24-{number:04d}")
        books.seconds = 0.02  # so that they meet
        assert in_threads([lambda: send_due(lambda: NOON)] * 4) == ["done"] * 4
    assert sorted(map(str, books.keys)) == sorted(Letter.objects.values_list("key", flat=True))
    assert LetterTry.objects.filter(taken=True).count() == LetterTry.objects.count() == 12


def until(what: Callable[[], bool], seconds: float = 30) -> bool:
    """Whether it comes true in time."""
    end = time.monotonic() + seconds
    while not what() and time.monotonic() < end:
        time.sleep(0.1)
    return what()


DIES = """
import os
import django
django.setup()
from compliance.management.sending import one_round
from shop.services import sending
sending._answered_for = lambda *args, **kwargs: os._exit(9)
one_round()
"""


def test_a_process_killed_between_sending_and_writing_it_down_loses_no_letter(live_db: None) -> None:
    """The listener has it, the book does not know: when the claim has ended it comes once more, under the same key."""
    shop = make_shop()
    with program() as books:
        listener_at(shop, books.url)
        happens(shop)
        connection.close()
        killed = subprocess.run([sys.executable, "-c", DIES], env=_same_database(), cwd=ROOT, timeout=60)
        assert (killed.returncode, len(books.came), LetterTry.objects.count()) == (9, 1, 0)

        moment = now()
        assert send_due(lambda: moment) == {}
        assert send_due(lambda: moment + HELD) == {"taken": 1}
    assert books.keys == [Letter.objects.get().key] * 2


def test_the_server_sends_beside_its_pages_and_stops_when_told_to(live_db: None) -> None:
    shop = make_shop()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    with program() as books:
        listener_at(shop, books.url)
        happens(shop)
        connection.close()
        command = [sys.executable, "manage.py", "serve", "--port", port, "--every", "0.2"]
        server = subprocess.Popen(command, env=_same_database(), cwd=ROOT, stdout=subprocess.DEVNULL)
        try:
            assert until(lambda: LetterTry.objects.filter(taken=True).exists())
            with socket.create_connection(("127.0.0.1", int(port)), timeout=5):
                pass
        finally:
            server.send_signal(signal.SIGTERM)
        assert server.wait(timeout=30) == 0
    assert len(books.came) == 1
    assert not LetterDue.objects.exists()


def test_the_programs_example_in_the_readme_holds_real_letters_against_their_signature(shop: Shop) -> None:
    manual = (ROOT / "README.md").read_text(encoding="utf-8")
    (example,) = [one for one in re.findall(r"```python\n(.*?)```", manual, re.DOTALL) if "hmac" in one]
    names: dict[str, Any] = {}
    exec(example, names)
    with program() as books:
        said = ListenerIn("Bookkeeping", books.url, ("job_closed",))
        _, secret = add_listener(said, shop.establishment, at=NOON, by=shop.marta)
        happens(shop)
        send_due(lambda: NOON)
    (came,) = books.came
    at = NOON.timestamp()

    assert names["ours"](secret, came.headers, came.body, at + 299)
    assert not names["ours"](secret, came.headers, came.body, at + 301)  # an old letter that comes anew
    assert not names["ours"](secret, came.headers, came.body + b" ", at)
    assert not names["ours"](secret_of(listener_at(shop, NOWHERE)), came.headers, came.body, at)
    assert Listener.objects.count() == 2
