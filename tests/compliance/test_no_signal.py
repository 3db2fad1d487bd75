"""Entries that were typed without signal, as the server takes them: once, at their own time, under who typed them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from compliance.models import CanTicket, Draft, EntryChoice, SentLater, SpareEntry, Stage
from inventory.models import Container
from shop.models import FormSent
from tests.compliance.work import Bay, Moment
from tests.factories import Shop, cans_of, receive

AFTERNOON = datetime(2024, 4, 2, 21, 0, tzinfo=UTC)
CHARGE, JOB = "/bay/J24-0001/charge/", "/bay/J24-0001/"
SCRIPT = {"Accept": "application/json"}


@pytest.fixture
def at_three(settings: Settings) -> None:
    """It is three in the afternoon in the shop."""
    settings.PRACTICE_OFFSET = AFTERNOON - timezone.now()


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


@pytest.fixture
def bay(shop: Shop, cans: list[Container], at_three: None) -> Bay:
    """K-0001 went on a 500 g car at 13:27."""
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    return bay


def typed(
    shop: Shop, reading: str, *, ago: timedelta | None = None, ahead: int | str = 0, **more: str
) -> dict[str, str]:
    """A reading of K-0001 as the pile sends it, typed so long ago by a phone that is ahead by so many ms."""
    said: dict[str, str] = {"waits": str(shop.dev.pk)}
    if ago is not None:
        ms = timedelta(milliseconds=int(ahead or 0))
        said |= {"said_at": (datetime.now(UTC) - ago + ms).isoformat(), "said_ahead": str(ahead)}
    weighed = {
        "container": "K-0001",
        "reading": reading,
        "what": "stays",
        "scale": str(shop.scale.pk),
        "style": "bare can",
    }
    return weighed | said | {"once": f"key of {reading}"} | more


def near(one: datetime, other: datetime) -> bool:
    return abs(one - other) < timedelta(seconds=20)


def newest() -> Any:
    return CanTicket.objects.select_related("sent_later").order_by("pk").last()


def test_a_reading_counts_at_the_time_it_was_typed_and_both_times_are_shown(
    bay: Bay, shop: Shop, dev: Client
) -> None:
    answer = dev.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=30)), headers=SCRIPT)

    assert answer.json() == {"kept": CHARGE}
    assert near(newest().at, AFTERNOON - timedelta(minutes=30))
    assert near(newest().sent_later.at, AFTERNOON)
    page = dev.get(CHARGE).content.decode()
    assert "Sent later" in page
    assert "typed 14:2" in page or "typed 14:30" in page


def test_a_retry_gets_the_first_answer_and_writes_nothing(bay: Bay, shop: Shop, dev: Client) -> None:
    entry = typed(shop, "400", ago=timedelta(minutes=1))
    first, second = (dev.post(CHARGE, entry, headers=SCRIPT).json() for _ in range(2))
    assert first == second
    assert (CanTicket.objects.count(), SentLater.objects.count(), FormSent.objects.count()) == (2, 1, 1)


def test_what_was_put_right_is_answered_though_the_device_still_sends_the_slip(
    bay: Bay, shop: Shop, dev: Client
) -> None:
    """The form itself refuses K-9999; the one beside it was written under the same key."""
    entry = typed(shop, "400", ago=timedelta(minutes=1))
    slip = entry | {"container": "K-9999"}
    assert dev.post(CHARGE, slip, headers=SCRIPT).headers["Content-Type"] != "application/json"
    dev.post(CHARGE, entry)

    assert dev.post(CHARGE, slip, headers=SCRIPT).json() == {"kept": CHARGE}
    assert CanTicket.objects.count() == 2


def test_a_phone_that_is_37_minutes_fast_is_put_right_and_told(bay: Bay, shop: Shop, dev: Client) -> None:
    dev.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=5), ahead=37 * 60_000))
    assert near(newest().at, AFTERNOON - timedelta(minutes=5))
    assert newest().sent_later.ahead_s == 37 * 60
    assert "off by 37 min" in dev.get(CHARGE).content.decode()


@pytest.mark.parametrize(
    ("said", "doubt"),
    [
        ({"said_at": "2999-01-01T00:00:00+00:00"}, "its time lies after it was received"),
        ({"said_at": "2020-01-01T00:00:00+00:00"}, "its time lies before what was on record already"),
        ({"said_at": "half past two"}, "its time cannot be read"),
    ],
)
def test_a_time_that_cannot_be_true_leaves_the_receipt(
    bay: Bay, shop: Shop, dev: Client, said: dict[str, str], doubt: str
) -> None:
    dev.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=1)) | said)
    assert near(newest().at, AFTERNOON)
    assert newest().sent_later.doubt == doubt
    page = dev.get(CHARGE).content.decode()
    assert doubt in page
    assert "counts" in page


def test_a_reading_is_never_put_before_the_last_one_of_its_can(bay: Bay, shop: Shop, dev: Client) -> None:
    dev.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=10)))
    dev.post(CHARGE, typed(shop, "390", ago=timedelta(minutes=20)))
    first, second = CanTicket.objects.order_by("pk")[1:]
    assert first.at < second.at
    assert (first.sent_later.doubt, second.sent_later.doubt) == (
        "",
        "its time lies before what was on record already",
    )


def test_a_form_that_did_not_wait_is_not_marked(bay: Bay, shop: Shop, dev: Client) -> None:
    assert dev.post(CHARGE, typed(shop, "400")).status_code == 302
    assert not SentLater.objects.exists()
    assert "Sent later" not in dev.get(CHARGE).content.decode()


def test_nobody_sends_what_somebody_else_typed(bay: Bay, shop: Shop, rosa: Client) -> None:
    answer = rosa.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=1)), headers=SCRIPT)
    assert answer.status_code == 403
    assert (CanTicket.objects.count(), FormSent.objects.count()) == (1, 0)


def test_what_is_refused_can_be_sent_again_under_the_same_key(bay: Bay, shop: Shop, dev: Client) -> None:
    wrong = dev.post(CHARGE, typed(shop, "500", ago=timedelta(minutes=1), once="one key"), headers=SCRIPT)
    assert wrong.status_code == 200
    assert (
        'name="said_at"' in wrong.content.decode()
    )  # the form that comes back still knows when it was typed
    assert dev.post(
        CHARGE, typed(shop, "400", ago=timedelta(minutes=1), once="one key"), headers=SCRIPT
    ).json()
    assert CanTicket.objects.count() == 2


def test_a_pressed_clock_that_waited_runs_from_when_it_was_pressed(bay: Bay, shop: Shop, dev: Client) -> None:
    pressed = {"clock": "started_at", "waits": str(shop.dev.pk), "once": "pump", "said_ahead": "0"}
    pressed["said_at"] = (datetime.now(UTC) - timedelta(minutes=12)).isoformat()
    first, second = (dev.post(f"{JOB}evacuation/", pressed, headers=SCRIPT).json() for _ in range(2))
    assert first == second == {"kept": f"{JOB}evacuation/"}
    began = datetime.fromisoformat(Draft.objects.get(kind="evacuation").typed["started_at_instant"])
    assert near(began, AFTERNOON - timedelta(minutes=12))
    assert not SentLater.objects.exists()  # a draft is no record


# --- Two phones on one thing


def looked(client: Client, path: str = CHARGE) -> str:
    page = client.get(path).content.decode()
    return page.partition('name="looked" value="')[2].partition('"')[0]


def test_a_second_entry_for_the_same_stage_is_kept_beside_the_first(
    bay: Bay, shop: Shop, dev: Client, rosa: Client
) -> None:
    path = f"{JOB}repair/"
    seen = looked(dev, path)
    rosa.post(path, {"what": "new O-ring at the condenser", "once": "1", "looked": looked(rosa, path)})
    answer = dev.post(path, {"what": "new hose", "once": "2", "looked": seen, "says": "Repair: new hose"})

    assert answer.headers["Location"] == JOB
    assert Stage.objects.filter(kind="repair").count() == 1
    page = dev.get(JOB).content.decode()
    assert "Two phones wrote this down" in page
    assert "new O-ring at the condenser" in page
    assert "Repair: new hose" in page


@pytest.mark.parametrize(("which", "holds"), [("first", "new O-ring"), ("second", "new hose")])
def test_who_stands_at_the_car_chooses_and_the_other_stays_in_the_history(
    bay: Bay, shop: Shop, dev: Client, rosa: Client, which: str, holds: str
) -> None:
    path = f"{JOB}repair/"
    seen = looked(dev, path)
    rosa.post(path, {"what": "new O-ring", "once": "1", "looked": looked(rosa, path)})
    dev.post(path, {"what": "new hose", "once": "2", "looked": seen})
    spare = SpareEntry.objects.get()

    for _ in range(2):  # a double tap
        rosa.post(f"{JOB}entries/{spare.pk}/", {"which": which, "once": "3"})

    choice = EntryChoice.objects.get()
    assert (choice.which, choice.by) == (which, shop.rosa)
    stage = Stage.objects.filter(kind="repair").last()
    assert stage is not None
    assert (stage.reason, stage.by) == (holds, shop.rosa if which == "first" else shop.dev)
    page = dev.get(JOB).content.decode()
    assert "Which is true of the car?" not in page
    assert "Typed, and kept without counting" in page


def test_a_job_waits_for_the_choice_before_it_is_closed(bay: Bay, dev: Client, rosa: Client) -> None:
    path = f"{JOB}repair/"
    seen = looked(dev, path)
    rosa.post(path, {"what": "new O-ring", "once": "1", "looked": seen})
    dev.post(path, {"what": "new hose", "once": "2", "looked": seen, "says": "Repair: new hose"})
    asked = "Two phones wrote one thing: Repair: new hose. Choose which is true."
    assert asked in dev.get(f"{JOB}close/").content.decode()

    rosa.post(f"{JOB}entries/{SpareEntry.objects.get().pk}/", {"which": "first", "once": "3"})
    assert asked not in dev.get(f"{JOB}close/").content.decode()


def test_ones_own_next_reading_is_no_second_entry(bay: Bay, shop: Shop, dev: Client) -> None:
    seen = looked(dev)
    dev.post(CHARGE, typed(shop, "400", looked=seen))
    dev.post(CHARGE, typed(shop, "390", looked=seen))
    assert CanTicket.objects.count() == 3
    assert not SpareEntry.objects.exists()


def test_what_was_set_aside_stays_even_when_the_job_was_closed_meanwhile(
    shop: Shop, at_three: None, dev: Client
) -> None:
    cans = cans_of(receive(shop))
    Bay.check_in(shop).straight(cans[0], cans[1])
    gone = dev.post(CHARGE, typed(shop, "400", ago=timedelta(minutes=1)), headers=SCRIPT)
    assert gone.status_code == 404
    aside = {
        "path": CHARGE,
        "fields_typed": '[["reading", "400"], ["methods", "eyes"], ["methods", "dye"]]',
        "once": "a",
    }
    told = {"says": "Charge: K-0001, 400 g", "why": "J24-0001 is closed"}
    assert dev.post(f"{JOB}aside/", aside | told, headers=SCRIPT).json() == {"kept": JOB}
    assert SpareEntry.objects.get().typed == {"reading": "400", "methods": ["eyes", "dye"]}
    assert "Charge: K-0001, 400 g" in dev.get(JOB).content.decode()


@pytest.mark.parametrize("fields", ["", "no list", "[1]", '{"a": 1}', '[["a"]]', "[" * 15_000])
def test_what_is_no_entry_is_not_set_aside(bay: Bay, dev: Client, fields: str) -> None:
    answer = dev.post(f"{JOB}aside/", {"path": CHARGE, "fields_typed": fields, "says": "x"}, headers=SCRIPT)
    assert answer.status_code == 302
    assert not SpareEntry.objects.exists()


def test_a_device_may_keep_open_jobs_only_and_only_for_who_works_at_the_car(
    bay: Bay, shop: Shop, dev: Client, lee: Client
) -> None:
    kept = {path: dev.get(path).headers.get("Tarebook-Copy-For") for path in (JOB, CHARGE, f"{JOB}recovery/")}
    assert set(kept.values()) == {f"{shop.dev.pk} en"}
    for path in ("/bay/", "/bay/new/", f"{JOB}close/", "/cabinet/", "/people/", "/find/?q=SMP"):
        assert "Tarebook-Copy-For" not in dev.get(path).headers, path
    assert "Tarebook-Copy-For" not in lee.get(JOB).headers


def test_the_worker_is_no_page_of_somebody_and_is_asked_for_anew(client: Client, db: None) -> None:
    answer = client.get("/bay-worker.js")
    assert (answer.headers["Content-Type"], answer.headers["Cache-Control"]) == (
        "text/javascript",
        "no-cache",
    )
    assert b"globalThis.tarebookPile =" in answer.content  # the words it shares with the pages
    assert "worker-src 'self'" in answer.headers["Content-Security-Policy"]
