"""What a page takes along to judge entries without a signal: the tables, and what the server knew when it was drawn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from datetime import datetime
from typing import Any

from django.utils.translation import gettext

from compliance.core.entry_tables import stage_tables, tables
from compliance.core.stage_rules import STAGES
from compliance.core.stages import StageKind
from compliance.models import CanTicket
from compliance.queries.charge_view import heel, left_in, state_of
from compliance.queries.facts import local
from compliance.queries.sheets import CanOnJob, Sheet
from inventory.models import Container, Movement, WeighTicket
from inventory.queries import last_ticket, last_tickets
from shop.core.clock import milliseconds
from shop.core.mass import ZERO, Mass
from shop.core.phrase import in_language
from shop.queries import in_service


def charge_rules(sheet: Sheet, free: Sequence[Container], now: datetime) -> dict[str, Any]:
    """For the charge page: the cans of this job and the next ones, in one language."""
    return {
        "tables": tables(_say),
        "context": charge_context(sheet, free, now),
    }


def stage_entry_rules(
    sheet: Sheet, kind: str, cylinders: Iterable[Container], now: datetime
) -> dict[str, Any]:
    """For a stage's page; empty where nothing is asked of its fields without a signal."""
    if kind not in STAGES:
        return {}
    context: dict[str, Any] = {"now": milliseconds(now)}
    if kind == StageKind.RECOVERY:
        context |= {
            "scales": _scales(sheet),
            "cylinders": {f"{one.pk}": cylinder_facts(one) for one in cylinders},
        }
    return {"tables": stage_tables(kind, _say), "context": context}


def cylinder_facts(cylinder: Container) -> dict[str, Any]:
    """What a cylinder should weigh: its last ticket, or its stamped tare and what the book has in it."""
    stamps, last = cylinder.cylinder, last_ticket(cylinder)
    book = Movement.objects.balances([cylinder.code])[cylinder.code] if last is None else ZERO
    return {
        "cylinder": cylinder.code,
        "tare": stamps.tare.ug,
        "tare_text": stamps.tare_text,
        "tare_unit": stamps.tare_unit,
        "expected": last.gross.ug if last is not None else (stamps.tare + book).ug,
    }


def charge_context(sheet: Sheet, free: Sequence[Container], now: datetime) -> dict[str, Any]:
    """See ``compliance/core/entry_rules.py`` for what it means."""
    state = state_of(sheet)
    offered = {can.code for can in free}
    mine = {can.container.code: _on_job(can, sheet, offered) for can in sheet.cans}
    others = [can for can in free if can.code not in mine]
    tickets, left = last_tickets(others), left_in(sheet, others)
    return {
        "label": state.label.ug if state.label is not None else None,
        "tolerance": state.tolerance.ug,
        "hoses": state.hoses.ug,
        "assumed": state.assumed,
        "gone": state.gone.ug,
        "came": milliseconds(sheet.job.at),
        "now": milliseconds(now),
        "scales": _scales(sheet),
        "cans": mine | {can.code: _off_job(can, tickets.get(can.pk), left, sheet) for can in others},
    }


def _say(text: str) -> str:
    return in_language(text, gettext)


def _scales(sheet: Sheet) -> dict[str, dict[str, Any]]:
    scales = in_service(sheet.job.establishment, sheet.job.on, "scale")
    return {f"{one.pk}": {"unit": one.unit, "division": one.division.ug} for one in scales}


def _on_job(can: CanOnJob, sheet: Sheet, offered: Set[str]) -> dict[str, Any]:
    known = _kind(can.container) | {
        "on_job": True,
        "on": can.hanging,
        "emptied": can.emptied,
        "before": can.before.ticket.gross.ug,
        "waiting": can.lost_between.ug,
        "last": _last(can.tickets[-1].ticket, can.tickets[-1], sheet),
    }
    if can.hanging:
        known["since"] = _clock(sheet, can.container.on_the_car.since)
    return known | (
        _turn(can.container, can.book, sheet) if can.hanging or can.container.code in offered else {}
    )


def _off_job(
    can: Container, last: WeighTicket | None, left: Mapping[str, Mass], sheet: Sheet
) -> dict[str, Any]:
    known = _kind(can) | _turn(can, left[can.code], sheet)
    return known | ({"last": _last(last, last, sheet)} if last is not None else {"seal": True})


def _turn(can: Container, left: Mass, sheet: Sheet) -> dict[str, Any]:
    """When its turn comes among the next cans: see ``compliance/core/next_cans.py``. ``left`` is as before this job."""
    return {"left": left.ug, "heel": heel(sheet, can).ug, "came": can.came_on.isoformat()}


def _kind(can: Container) -> dict[str, Any]:
    kind = can.can.type
    return {"kind": [kind.net.ug, kind.shell.ug, round(float(kind.shell_spread_g) * 1_000_000)]}


def _last(ticket: WeighTicket, written: CanTicket | WeighTicket, sheet: Sheet) -> dict[str, Any]:
    return {
        "gross": ticket.gross.ug,
        "division": ticket.division.ug,
        "style": ticket.style,
        "origin": ticket.origin,
        "text": ticket.reading_text,
        "unit": ticket.reading_unit,
        "shows": ticket.scale.unit,
        "at": milliseconds(written.at),
        "clock": _clock(sheet, written.at),
    }


def _clock(sheet: Sheet, instant: datetime) -> str:
    return f"{local(sheet.job.establishment, instant):%H:%M}"
