"""Containers whose book waits for an open job to close, with what that closing will move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from compliance.models import Job
from compliance.queries.facts import recovered
from compliance.queries.sheets import CanOnJob, Sheet, job_sheet
from inventory.core.counting import Waiting
from inventory.core.weighing import Style
from inventory.models import Container, Movement, SpokenFor
from inventory.queries import last_ticket
from shop.core.mass import ZERO, Mass, total
from shop.core.phrase import phrase
from shop.models import Establishment

WRONG_CAR = phrase("it went into a car of another refrigerant")
NOT_BARE = phrase("its last ticket is not of the bare can")
GAVE_MORE = phrase("it gave more than the book had in it, which the closing puts right")

TOO_LITTLE = phrase("until then its book has less than the scale lacks")


def waiting_for_jobs(establishment: Establishment) -> dict[str, Waiting]:
    """Every container of open jobs by its code; first those that hang on a car."""
    holders = SpokenFor.objects.filter(container__establishment=establishment).values("holder")
    jobs = Job.objects.at_shop(establishment).open().filter(number__in=holders).order_by("pk")
    sheets = [job_sheet(job) for job in jobs]
    found = [*_cans(sheets), *_cylinders(sheets)]
    return {one.code: one for one in sorted(found, key=lambda one: (not one.on_car, one.code))}


def _cans(sheets: Sequence[Sheet]) -> list[Waiting]:
    by_code: dict[str, list[tuple[Sheet, CanOnJob]]] = {}
    for sheet in sheets:
        for can in sheet.cans:
            by_code.setdefault(can.container.code, []).append((sheet, can))
    wrong = {one.container_id for sheet in sheets for one in sheet.mischarges}
    held = Movement.objects.balances(list(by_code))
    return [_can(rows, held[code], code in wrong) for code, rows in by_code.items()]


def _can(rows: Sequence[tuple[Sheet, CanOnJob]], book: Mass, went_wrong: bool) -> Waiting:
    """One can on one open job, or on several one after the other."""
    sheet, can = max(rows, key=lambda row: row[1].tickets[-1].ticket.number)
    last = can.tickets[-1].ticket
    change = -total(max(one.before.ticket.gross - one.expected_g, ZERO) + one.lacked for _, one in rows)
    settled = any(one.emptied for _, one in rows)
    why_not = WRONG_CAR if went_wrong else NOT_BARE if last.style != Style.BARE else ""
    if not why_not and not settled and book + change < ZERO:
        why_not = GAVE_MORE
    hanging = any(one.hanging for _, one in rows)
    return Waiting(
        can.container.code,
        sheet.job.number,
        hanging,
        change,
        last.reading,
        last.gross,
        last.at,
        settled,
        why_not,
    )


def _cylinders(sheets: Sequence[Sheet]) -> list[Waiting]:
    change: dict[str, Mass] = {}
    job: dict[str, str] = {}
    cylinders: dict[str, Container] = {}
    for sheet in sheets:
        for recovery in sheet.recoveries:
            code = recovery.cylinder_id
            change[code] = change.get(code, ZERO) + recovered(recovery)
            job[code], cylinders[code] = sheet.job.number, recovery.cylinder
    held, found = Movement.objects.balances(list(cylinders)), []
    for code, cylinder in cylinders.items():
        last = last_ticket(cylinder)
        assert last is not None  # noqa: S101 - a recovery weighs its cylinder
        one = Waiting(code, job[code], False, change[code], last.reading, last.gross, last.at)
        tare = cylinder.cylinder.tare
        if one.expected(held[code], tare) - one.found(tare) > held[code]:
            one = replace(one, why_not=TOO_LITTLE)
        found.append(one)
    return found
