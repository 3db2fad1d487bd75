"""Two people at once, and a process that dies in the middle. On both databases."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from django.conf import settings
from django.db import DatabaseError, close_old_connections, connection, connections

from compliance.models import Closing, Correction, Document, Link
from compliance.queries import job_sheet
from compliance.queries.corrections import spots
from compliance.queries.whole_book import whole_book_findings
from compliance.services import Change, correct_job
from inventory.core.ledger import Leg, Purpose
from inventory.models import Entry, Movement
from inventory.posting import post
from shop.core.findings import Refused
from shop.core.mass import grams
from tests.compliance.work import Bay, Moment
from tests.factories import NOON, Shop, cans_of, make_shop, receive

ROOT = Path(__file__).parents[2]


@pytest.fixture
def live_shop(live_db: None) -> Shop:
    return make_shop()


def in_threads(works: list[Callable[[], object]]) -> list[str]:
    """Run all at once; what each ended with: "done" or the refusal's first code."""
    ends: list[str] = []
    start = threading.Barrier(len(works))

    def run(work: Callable[[], object]) -> None:
        start.wait()
        try:
            work()
            ends.append("done")
        except Refused as refused:
            ends.append(refused.findings[0].code)
        except DatabaseError as broken:
            ends.append(f"broken: {broken}")
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    return ends


def test_exactly_the_possible_draws_on_one_can_succeed(live_shop: Shop) -> None:
    """A can of 340 g, twelve people who each want 100 g: three get them, and 40 g stay."""
    can = cans_of(receive(live_shop))[0]

    def draw() -> None:
        from django.db import transaction

        with transaction.atomic():
            legs = [Leg(can.code, "vehicles", grams(100), Purpose.CHARGED)]
            post(live_shop.establishment, legs, on=NOON.date(), text="a draw", at=NOON, by=live_shop.dev)

    ends = in_threads([draw] * 12)
    assert sorted(ends) == ["done"] * 3 + ["more-than-held"] * 9
    assert Movement.objects.balances([can.code])[can.code] == grams(40)
    assert Entry.objects.filter(text="a draw").count() == 3


def test_two_people_hanging_one_can_on_two_cars_get_one_yes(live_shop: Shop) -> None:
    can = cans_of(receive(live_shop))[0]
    bays = [
        Bay.check_in(live_shop, plate=f"SMP-{n}00", by=by)
        for n, by in enumerate((live_shop.dev, live_shop.rosa), 1)
    ]

    def hang(bay: Bay) -> Callable[[], object]:
        return lambda: bay.weigh(can, "466", Moment.BEFORE)

    ends = in_threads([hang(bay) for bay in bays])
    assert sorted(ends) == ["can-elsewhere", "done"]


def test_a_job_closed_by_two_people_at_once_is_closed_once(live_shop: Shop) -> None:
    cans = cans_of(receive(live_shop))
    bay = Bay.check_in(live_shop)
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    ends = in_threads([bay.close] * 4)
    assert sorted(ends) == ["done", "job-closed", "job-closed", "job-closed"]
    assert (Closing.objects.count(), Document.objects.count()) == (1, 1)
    assert whole_book_findings() == []


def test_papers_issued_at_once_hang_on_one_chain_without_a_fork(live_shop: Shop) -> None:
    bays = [Bay.check_in(live_shop, plate=f"SMP-{n}00") for n in range(1, 6)]

    def stop(bay: Bay) -> Callable[[], object]:
        said = {"stopped": "customer left", "state_now": "as it came", "choice": "none"}
        return lambda: bay.close(**said)

    for bay in bays:
        bay.leak_check()
    assert in_threads([stop(bay) for bay in bays]) == ["done"] * 5
    assert list(Link.objects.values_list("place", flat=True)) == list(range(1, 6))
    assert whole_book_findings() == []


DIES = """
import os, sys
from datetime import date
import django
django.setup()
from compliance.models import Job
from compliance.services import CloseIn, close_job, closing
from shop.models import Person
from django.utils import timezone
at = sys.argv[1]
def dying(*args, **kwargs):
    os._exit(9)
setattr(closing, at, dying)
job = Job.objects.get()
by = Person.objects.get(username="dev")
close_job(job, CloseIn(), today=date(2024, 4, 2), at=timezone.now(), by=by)
"""


@pytest.mark.parametrize("place", ["post", "add_link", "keep_certificate"])
def test_a_process_killed_in_the_middle_of_a_close_leaves_the_job_open_and_the_book_whole(
    live_shop: Shop, place: str
) -> None:
    cans = cans_of(receive(live_shop))
    bay = Bay.check_in(live_shop)
    bay.up_to_charge()
    bay.draw(cans[0], "466", "128")
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    connection.close()
    ended = subprocess.run(
        [sys.executable, "-c", DIES, place],
        env=_same_database(),
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert ended.returncode == 9, ended.stderr
    close_old_connections()
    assert not Closing.objects.exists()
    assert not Movement.objects.filter(purpose="charged").exists()
    assert whole_book_findings() == []
    bay.close()
    assert Document.objects.get().number == "C24-0001"


def _same_database() -> dict[str, str]:
    """The environment in which another process opens this very test database."""
    database = settings.DATABASES["default"]
    env = dict(os.environ, DJANGO_SETTINGS_MODULE="shop.settings")
    if connection.vendor == "sqlite":
        env["DATABASE_URL"] = ""
        env["TAREBOOK_SQLITE"] = str(database["NAME"])
    else:
        user, host, port = database["USER"], database["HOST"], database["PORT"]
        env["DATABASE_URL"] = f"postgresql://{user}@{host}:{port or 5432}/{database['NAME']}"
    return env


def test_two_corrections_of_one_job_at_once_come_one_after_the_other(live_shop: Shop) -> None:
    """Both saw 293 g. The second is told that it reads otherwise now, and the book moves once."""
    cans = cans_of(receive(live_shop))
    job = Bay.check_in(live_shop).straight(cans[0], cans[1]).job
    key = next(spot.key for spot in spots(job_sheet(job)) if spot.label == "K-0002 after")

    def corrects(text: str) -> Callable[[], object]:
        change = Change(key, "293 g", text, "g")
        signed = {"on": NOON.date(), "at": NOON, "by": live_shop.marta}
        return lambda: correct_job(job, [change], why="misread", **signed)  # type: ignore[arg-type]

    ends = in_threads([corrects("298"), corrects("296")])

    assert sorted(ends) == ["corrected-meanwhile", "done"]
    assert Correction.objects.count() == 1
    assert whole_book_findings() == []
