"""Letters to other programs: signed, tried again, given up, sent again; on a real connection to this machine."""

from __future__ import annotations

import json
import logging
import socket
import time
from datetime import datetime, timedelta
from threading import Event
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.test import override_settings

from shop.core.findings import Refused
from shop.core.outgoing import SENT_AT, SIGNATURE, What, signed
from shop.models import Letter, LetterDue, LetterTry, Listener, News
from shop.queries import dead_letters
from shop.services import ListenerIn, add_listener, end_listener, send_again, tell, write_trial
from shop.services import sending as the_sender
from shop.services.outgoing import secret_of
from shop.services.sending import HELD, send_due, send_now
from shop.services.transport import post_letter
from tests.factories import NOON, Shop
from tests.listening import Program, program

EVERYTHING = tuple(what.value for what in What)
MINUTE = timedelta(minutes=1)


def listener_at(shop: Shop, url: str, *events: str, name: str = "Bookkeeping") -> Listener:
    said = ListenerIn(name, url, events or EVERYTHING)
    return add_listener(said, shop.establishment, at=NOON, by=shop.marta)[0]


def happens(shop: Shop, job: str = "J24-0001", at: datetime = NOON) -> None:
    tell(shop.establishment, What.JOB_CLOSED, {"job": job}, at=at, by=shop.dev)


def letters_of_every_state(shop: Shop) -> Listener:
    """One program with a letter that it took, one that waits after a refusal, and a dead one."""
    with program((200, "thanks"), (503, "closed for lunch")) as books:
        listener = listener_at(shop, books.url)
        for job in ("J24-0001", "J24-0002", "J24-0003"):
            happens(shop, job)
        LetterDue.objects.filter(letter__news__facts__contains="J24-0003").update(tries=5)
        send_due(lambda: NOON)
    return listener


def round_at(at: datetime) -> dict[str, int]:
    return dict(send_due(lambda: at))


def tries() -> list[tuple[int, int | None, bool]]:
    return list(LetterTry.objects.order_by("pk").values_list("number", "status", "taken"))


def test_a_letter_arrives_once_with_a_signature_that_holds(shop: Shop) -> None:
    with program() as books:
        said = ListenerIn("Bookkeeping", books.url, EVERYTHING)
        _, secret = add_listener(said, shop.establishment, at=NOON, by=shop.marta)
        happens(shop)
        assert round_at(NOON) == {"taken": 1}
        assert round_at(NOON + timedelta(days=2)) == {}

    (came,) = books.came
    told = json.loads(came.body)
    assert told == {
        "letter": Letter.objects.get().key,
        "event": "job_closed",
        "at": "2024-04-02T12:00:00-06:00",  # noon in the shop
        "shop": "Copper Gulch Auto Repair",
        "practice": False,
        "facts": {"job": "J24-0001"},
    }
    assert (came.path, came.headers["Content-Type"]) == ("/told", "application/json")
    assert came.headers["Tarebook-Letter"] == told["letter"]
    assert came.headers[SENT_AT] == "1712080800"  # 2024-04-02 18:00:00 UTC
    assert came.headers[SIGNATURE] == signed(secret, 1712080800, came.body)
    assert tries() == [(1, 200, True)]
    assert LetterTry.objects.get().answer == "thanks"


def test_only_who_asked_for_it_is_told_and_nothing_is_written_where_nobody_listens(shop: Shop) -> None:
    happens(shop)
    assert not News.objects.exists()
    listener_at(shop, "http://127.0.0.1:9/", "stock_low", name="Orders")
    books = listener_at(shop, "http://127.0.0.1:9/", "job_closed", "report_signed")
    gone = listener_at(shop, "http://127.0.0.1:9/")
    end_listener(gone, at=NOON, by=shop.marta)

    happens(shop)

    assert [letter.listener for letter in Letter.objects.all()] == [books]


def test_a_refusal_is_tried_again_under_the_same_key_a_minute_later(shop: Shop) -> None:
    with program((500, "out of\npaper \x07\x00"), (200, "now")) as books:
        listener_at(shop, books.url)
        happens(shop)
        assert round_at(NOON) == {"failed": 1}
        assert round_at(NOON + timedelta(seconds=59)) == {}
        assert round_at(NOON + MINUTE) == {"taken": 1}

    assert tries() == [(1, 500, False), (2, 200, True)]
    assert len(set(books.keys)) == 1
    assert books.came[0].body == books.came[1].body
    assert books.came[0].headers[SIGNATURE] != books.came[1].headers[SIGNATURE]  # it was sent at another time
    assert LetterTry.objects.get(number=1).answer == "out of paper"


def test_after_six_tries_a_letter_is_dead_until_marta_sends_it_again(shop: Shop) -> None:
    with program((503, "closed")) as books:
        books_listener = listener_at(shop, books.url)
        happens(shop)
        at = NOON
        for wait in (0, 1, 5, 30, 120, 720):
            at += timedelta(minutes=wait)
            assert round_at(at - timedelta(seconds=1)) == {}
            assert round_at(at) == {"failed": 1}
        assert round_at(at + timedelta(days=30)) == {}
        (dead,) = dead_letters(books_listener)

        books.answers = [(204, "")]
        send_again(books_listener, [dead.key], at=at, by=shop.marta)
        assert not dead_letters(books_listener)
        assert round_at(at) == {"taken": 1}

    assert [number for number, _, _ in tries()] == [1, 2, 3, 4, 5, 6, 7]
    assert set(books.keys) == {dead.key}
    with pytest.raises(Refused, match="no dead letter"):
        send_again(books_listener, None, at=at, by=shop.marta)


def test_a_letter_sent_again_has_all_its_tries_anew(shop: Shop) -> None:
    with program((500, "")) as books:
        listener = listener_at(shop, books.url)
        happens(shop)
        LetterDue.objects.update(tries=5)
        round_at(NOON)
        send_again(listener, None, at=NOON, by=shop.marta)
        round_at(NOON)
    assert LetterDue.objects.get().tries == 1
    assert LetterDue.objects.get().at == NOON + MINUTE


def test_who_does_not_answer_in_time_has_not_taken_it(shop: Shop) -> None:
    with program() as books:
        books.seconds = 1.0
        assert post_letter(books.url, b"{}", {}, seconds=0.2).error == "No whole answer within 10 seconds."
        books.seconds, books.drips = 0.0, "head"  # byte by byte, so that no single wait is long
        late = post_letter(books.url, b"{}", {}, seconds=0.3)
    assert (late.taken, late.error) == (False, "No whole answer within 10 seconds.")


def test_who_says_yes_and_then_goes_on_talking_has_taken_it(shop: Shop) -> None:
    with program() as books:
        books.drips, books.headers = "body", {"Content-Length": "100000"}
        began = time.monotonic()
        answer = post_letter(books.url, b"{}", {}, seconds=0.3)
    assert answer.taken
    assert time.monotonic() - began < 5


def test_of_a_long_answer_only_the_beginning_is_read(shop: Shop) -> None:
    with program((200, "a" * 50_000)) as books:
        answer = post_letter(books.url, b"{}", {})
    assert answer.taken
    assert answer.text == "a" * 200


def test_a_redirect_is_not_followed(shop: Shop) -> None:
    with program() as elsewhere, program((302, "")) as books:
        books.headers = {"Location": elsewhere.url}
        answer = post_letter(books.url, b"{}", {})
    assert (answer.status, answer.taken, elsewhere.came) == (302, False, [])
    assert answer.error.startswith("It points somewhere else.")


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("http://2852039166/latest/", "nothing is sent to 169.254.169.254"),  # 169.254.169.254 as one number
        ("http://0/", "nothing is sent to 0.0.0.0"),
        (
            "http://nobody.invalid/",
            "Its name could not be found.",
        ),  # RFC 2606: no such name is ever given out
    ],
)
def test_a_name_that_leads_to_a_forbidden_place_or_nowhere_is_not_called(url: str, words: str) -> None:
    assert words in post_letter(url, b"{}", {}).error


def test_the_place_that_is_looked_at_is_the_place_that_is_called(monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that leads to this machine once and to a cloud's keys at a second look-up gets no second look-up."""
    looked: list[str] = []
    with program() as books:
        port = urlsplit(books.url).port

        def answers(host: str, *_: object, **__: object) -> list[object]:
            looked.append(host)
            place = "127.0.0.1" if len(looked) == 1 else "169.254.169.254"
            return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (place, port))]

        monkeypatch.setattr(socket, "getaddrinfo", answers)
        assert post_letter(f"http://books.invalid:{port}/", b"{}", {}).taken
        assert looked == ["books.invalid"]
        assert "nothing is sent to 169.254.169.254" in post_letter("http://books.invalid/", b"{}", {}).error
    assert len(books.came) == 1


def test_a_look_up_that_takes_its_time_ends_with_the_time_of_the_try(monkeypatch: pytest.MonkeyPatch) -> None:
    over = Event()
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: over.wait(30) and [])
    began = time.monotonic()
    answer = post_letter("http://books.invalid/", b"{}", {}, seconds=0.2)
    took = time.monotonic() - began
    over.set()
    assert answer.error == "No whole answer within 10 seconds."
    assert took < 10


def test_a_secure_address_needs_a_certificate_that_can_be_verified() -> None:
    """A listener that answers TLS with something else is refused before a byte of the letter leaves."""
    with program() as books:
        answer = post_letter(books.url.replace("http:", "https:"), b"{}", {})
    assert (answer.status, books.came) == (None, [])
    assert answer.error.startswith("It could not be reached")


def nobody_there() -> str:
    with socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))
        return f"http://127.0.0.1:{closed.getsockname()[1]}/"


def test_a_listener_that_is_down_does_not_hold_up_the_others(shop: Shop) -> None:
    with program() as books:
        listener_at(shop, nobody_there(), name="Down")
        listener_at(shop, books.url)
        for job in ("J24-0001", "J24-0002", "J24-0003"):
            happens(shop, job)
        assert round_at(NOON) == {"taken": 3, "failed": 1}
    assert [json.loads(one.body)["facts"]["job"] for one in books.came] == [
        "J24-0001",
        "J24-0002",
        "J24-0003",
    ]
    assert LetterTry.objects.get(taken=False).error == "Nobody listens there."


def test_a_sender_killed_before_it_wrote_the_answer_down_sends_the_same_letter_again(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Killed(BaseException):
        pass

    def killed(*_: Any, **__: Any) -> LetterTry:
        raise Killed

    with program() as books:
        listener_at(shop, books.url)
        happens(shop)
        with monkeypatch.context() as patched:
            patched.setattr(the_sender, "_answered_for", killed)
            with pytest.raises(Killed):
                round_at(NOON)
        assert tries() == []
        assert round_at(NOON + HELD - timedelta(seconds=1)) == {}  # the claim still holds
        assert round_at(NOON + HELD) == {"taken": 1}
    assert books.keys == books.keys[:1] * 2


def test_what_another_sender_has_is_left_alone(shop: Shop) -> None:
    with program() as books:
        listener = listener_at(shop, books.url)
        letter = write_trial(listener, at=NOON, by=shop.marta)
        LetterDue.objects.update(held_until=NOON + HELD)
        assert send_now(letter, lambda: NOON) is None
        assert books.came == []


def test_an_ended_listener_gets_nothing_that_waited(shop: Shop) -> None:
    with program() as books:
        listener = listener_at(shop, books.url)
        happens(shop)
        end_listener(listener, at=NOON, by=shop.marta)
        assert round_at(NOON) == {}
        assert books.came == []
    for again in (
        lambda: end_listener(listener, at=NOON, by=shop.marta),
        lambda: write_trial(listener, at=NOON, by=shop.marta),
        lambda: send_again(listener, None, at=NOON, by=shop.marta),
    ):
        with pytest.raises(Refused, match="Bookkeeping is told nothing any more"):
            again()


def test_another_signing_key_signs_nothing_in_the_old_name(shop: Shop) -> None:
    with program() as books:
        listener = listener_at(shop, books.url)
        happens(shop)
        with override_settings(SECRET_KEY="another one, after a restore elsewhere"):
            assert round_at(NOON) == {"failed": 1}
        assert books.came == []
    assert "has changed since Bookkeeping was made" in LetterTry.objects.get().error
    assert len(secret_of(listener)) == 64


def test_the_secret_is_in_no_row_and_no_log(shop: Shop, caplog: pytest.LogCaptureFixture) -> None:
    with program((500, "")) as books, caplog.at_level(logging.DEBUG):
        said = ListenerIn("Bookkeeping", books.url, EVERYTHING)
        listener, secret = add_listener(said, shop.establishment, at=NOON, by=shop.marta)
        happens(shop)
        round_at(NOON)
    rows = [*Listener.objects.values(), *Letter.objects.values(), *LetterTry.objects.values()]
    assert secret not in str(rows) + caplog.text
    assert secret_of(listener) == secret


def test_what_cannot_be_a_listener_is_refused_with_every_reason(shop: Shop) -> None:
    with pytest.raises(Refused) as refused:
        add_listener(ListenerIn(" ", "ftp://x", ()), shop.establishment, at=NOON, by=shop.marta)
    assert [(one.code, one.field) for one in refused.value.findings] == [
        ("url-unread", "url"),
        ("nothing-told", "events"),
        ("listener-name", "name"),
    ]
    assert not Listener.objects.exists()


def test_the_practice_clock_does_not_sign(shop: Shop) -> None:
    """A listener holds the time of sending against its own clock, which knows of no practice."""
    listens: Program
    with program() as listens, override_settings(PRACTICE=True, PRACTICE_OFFSET=timedelta(days=-100)):
        listener_at(shop, listens.url)
        happens(shop)
        round_at(NOON)
    assert listens.came[0].headers[SENT_AT] == str(1712080800 + 100 * 24 * 3600)
    assert json.loads(listens.came[0].body)["practice"] is True
