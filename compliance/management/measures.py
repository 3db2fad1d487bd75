"""What ``bench`` measures, and the raw work it is measured against."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection, connections

from compliance import services as bay
from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts
from compliance.core.stages import LeakResult
from compliance.management import practice
from compliance.management.alternating import Measure, alternating
from compliance.management.measures_api import api_measures
from compliance.management.measures_can import can_measures
from compliance.management.measures_cylinder import cylinder_measures
from compliance.management.measures_difference import difference_measures
from compliance.management.measures_find import find_measures
from compliance.management.measures_leak import leak_measures
from compliance.management.measures_vacuum import vacuum_measures
from compliance.management.measures_visits import visit_measures
from compliance.management.practice_deliveries import deliver
from compliance.management.practice_work import ZONE, Shop, Work
from compliance.management.rawpaper import raw_certificate
from compliance.management.synthetic import synthetic_history
from compliance.models import CanTicket, Certificate, Job
from compliance.pdf.drawing import draw
from compliance.queries.periods import usage_facts
from inventory.models import Container, ContainerType, Supplier
from inventory.queries import flows_in, last_ticket, usable_cans
from inventory.services import close_months
from shop.core.canonical import rebuild
from shop.core.period import Period
from shop.models import Equipment, Establishment, Person

RAW_ROWS = {"entry": 1, "movement": 4, "link": 1, "closing": 1, "document": 1, "certificate": 1}


def all_measures(folder: Path, rounds: int, sizes: list[int], jobs: int) -> list[Measure]:
    """A database of its own with the practice shop in it, then each measure in turn."""
    _own_database(folder)
    practice.seed()
    return [
        _close_out(folder, rounds),
        _statements(),
        *_paper(rounds),
        *(one for size in sizes for one in _period(size, rounds)),
        *vacuum_measures(rounds),
        *leak_measures(rounds),
        *can_measures(rounds),
        *cylinder_measures(rounds),
        *visit_measures(rounds),
        *difference_measures(rounds),
        *api_measures(rounds),
        *find_measures(jobs, rounds),
    ]


def _own_database(folder: Path) -> None:
    if connection.vendor == "sqlite":
        connections.close_all()
        settings.DATABASES["default"]["NAME"] = str(folder / "bench.sqlite3")
        connection.settings_dict["NAME"] = str(folder / "bench.sqlite3")
    call_command("migrate", verbosity=0)


class Ready:
    """Jobs worked up to their signature, so that only the closing is measured."""

    def __init__(self, count: int) -> None:
        self.establishment = Establishment.objects.order_by("pk")[0]
        self.dev = Person.objects.get(username="dev")
        self.jobs = [self._job(number) for number in range(count)]

    def _job(self, number: int) -> Job:
        row = {
            "day": "2026-07-02",
            "time": "08:00",
            "who": "dev",
            "refrigerant": "R-1234yf",
            "label_g": "210",
            "tolerance_g": "20",
            "description": "bench car",
            "vin": "",
            "plate": f"B-{number:04d}",
            "customer": "Bench",
            "phone": "",
            "odometer": "",
            "complaint": "bench",
        }
        shop = _shop_at_work()
        work = Work(shop, row)
        work.recover(0)
        work.leak_check(LeakResult.NONE_SEEN)
        work.evacuate()
        can = self._new_can()
        work.weigh(can, CanTicket.Moment.BEFORE)
        shop.gross[can.code] = shop.weight(can.code) - 216
        work.weigh(can, CanTicket.Moment.AFTER)
        work.keep_charge()
        work.finals()
        return work.job

    def _new_can(self) -> Container:
        """A sealed can for each job, since the book moves only when jobs are closed."""
        sealed = usable_cans(self.establishment, "R-1234yf").filter(tickets=None).first()
        if sealed is None:
            raise RuntimeError("more rounds than the bench has cans for: use fewer")
        return sealed

    def close(self) -> None:
        job = self.jobs.pop(0)
        bay.close_job(
            job, bay.CloseIn(), today=date(2026, 7, 2), at=datetime(2026, 7, 2, 12, tzinfo=ZONE), by=self.dev
        )


_WORKING: list[Shop] = []


def _shop_at_work() -> Shop:
    """The practice shop as it stands after seeding, with enough cans for the bench's cars."""
    if not _WORKING:
        people = {person.username: person for person in Person.objects.all()}
        shop = Shop(
            Establishment.objects.order_by("pk")[0],
            people["lee"],
            people["dev"],
            people["rosa"],
            people["marta"],
        )
        shop.kinds = {kind.refrigerant_id: kind for kind in ContainerType.objects.all()}
        shop.gear = {piece.code: piece for piece in Equipment.objects.all()}
        found = Container.objects.filter(kind="cylinder")
        shop.cylinders = {container.refrigerant_id: container for container in found}
        shop.supplier = Supplier.objects.get()
        day = date(2026, 7, 1)
        deliver("BENCH", "R-1234yf", 60, 60, 0, "C26Z", None)(shop, day)
        for can in Container.objects.filter(kind="can"):
            last = last_ticket(can)
            if last is not None:
                shop.gross[can.code] = round(last.gross.grams)
        _WORKING.append(shop)
    return _WORKING[0]


def _close_out(folder: Path, rounds: int) -> Measure:
    ready = Ready(rounds + 2)
    raw = _raw_close(folder)
    ours_ms, raw_ms = alternating(ready.close, raw, rounds)
    return Measure(
        f"close-out through the service, with its certificate ({connection.vendor})", ours_ms, raw_ms, None
    )


def _statements() -> Measure:
    from django.test.utils import CaptureQueriesContext

    ready = Ready(1)
    with CaptureQueriesContext(connection) as seen:
        ready.close()
    writes = [one for one in seen.captured_queries if one["sql"].startswith(("INSERT", "UPDATE", "DELETE"))]
    return Measure(
        "  its SQL statements (count): all, against those that write", len(seen), len(writes), None
    )


def _raw_close(folder: Path) -> Callable[[], None]:
    """The same rows as one close-out by hand-written SQL in a SQLite file of its own, durable."""
    raw = sqlite3.connect(folder / "raw.sqlite3", isolation_level=None)
    raw.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;")
    tables = {"entry": 7, "closing": 9, "link": 9, "document": 15, "certificate": 2, "movement": 11}
    for name, columns in tables.items():
        raw.execute(
            f"CREATE TABLE {name} (id INTEGER PRIMARY KEY, {', '.join(f'c{n}' for n in range(columns))})"
        )
    pdf = b"x" * 30_000

    def close() -> None:
        raw.execute("BEGIN IMMEDIATE")
        for name, times in (
            ("entry", 1),
            ("movement", 4),
            ("link", 2),
            ("closing", 1),
            ("document", 1),
            ("certificate", 1),
        ):
            marks = ", ".join("?" * tables[name])
            values = [pdf if name == "document" and n == 0 else "a value" for n in range(tables[name])]
            columns = ", ".join(f"c{n}" for n in range(tables[name]))
            for _ in range(times):
                raw.execute(f"INSERT INTO {name} ({columns}) VALUES ({marks})", values)  # noqa: S608 - our own names
        raw.execute("COMMIT")

    return close


def _paper(rounds: int) -> list[Measure]:
    document = Certificate.objects.select_related("document").first()
    assert document is not None  # noqa: S101
    facts = rebuild(CertificateFacts, document.document.facts)
    paper = certificate(facts)
    ours_ms, raw_ms = alternating(lambda: draw(paper), lambda: raw_certificate(paper), rounds)
    whole_ms, raw2_ms = alternating(
        lambda: draw(certificate(rebuild(CertificateFacts, document.document.facts))),
        lambda: raw_certificate(paper),
        rounds,
    )
    return [
        Measure("certificate drawn, facts at hand, against a raw canvas page", ours_ms, raw_ms, None),
        Measure("certificate from stored facts to bytes, against the same", whole_ms, raw2_ms, None),
    ]


def _period(size: int, rounds: int) -> list[Measure]:
    """One closed quarter after a history of this many movements: our service call against one scan in bare SQL."""
    owner = Person.objects.get(username="marta")
    name = f"bench {size:,}"
    shop = Establishment.objects.create(
        name=name, legal_name=name, address="-", phone="-", time_zone=str(ZONE)
    )
    last = synthetic_history(shop, owner, size)
    quarter = Period(last - timedelta(days=91), last)
    sql = (
        'SELECT refrigerant_id, purpose, source_kind, target_kind, SUM(CASE WHEN "on" < %s THEN mass ELSE 0 END),'
        ' SUM(CASE WHEN "on" >= %s THEN mass ELSE 0 END), COUNT(*) FROM inventory_movement'
        ' WHERE establishment_id = %s AND "on" <= %s GROUP BY refrigerant_id, purpose, source_kind, target_kind'
    )

    def raw() -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql, [quarter.first, quarter.first, shop.pk, quarter.last])
            cursor.fetchall()

    open_ms, raw_ms = alternating(lambda: flows_in(shop, quarter), raw, rounds)
    at = datetime(2026, 7, 2, 12, tzinfo=ZONE)
    close_months(shop, last_day=quarter.day_before, at=at, by=owner)
    close_months(shop, last_day=quarter.last, at=at, by=owner)
    closed_ms, raw2_ms = alternating(lambda: flows_in(shop, quarter), raw, rounds)
    facts_ms, raw3_ms = alternating(
        lambda: usage_facts(shop, quarter, number="", version=0, check_url="", signed="", at=at, by=owner),
        raw,
        rounds,
    )
    aim = 0.25 if size <= 10_000 else 0.03
    return [
        Measure(f"{size:,} movements: sums of a running quarter", open_ms, raw_ms, None),
        Measure(f"{size:,} movements: sums of a closed quarter", closed_ms, raw2_ms, aim),
        Measure(f"{size:,} movements: all facts of its usage report", facts_ms, raw3_ms, None),
    ]
