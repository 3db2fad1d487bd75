"""A shop under the packs of a state, and a job in it up to its closing."""

from __future__ import annotations

from datetime import date

from django.test import Client

from compliance.core.stages import StageKind
from compliance.models import PackChoice
from compliance.queries.sheets import job_sheet
from compliance.services import (
    PackChoiceIn,
    choose_packs,
    closing_problems,
)
from compliance.services.closing import CloseIn
from inventory.models import Container
from shop.core.findings import Finding
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop


def choose(shop: Shop, state: str, *local: str, from_day: date = DAY) -> PackChoice:
    choice = PackChoiceIn(state, local, from_day)
    return choose_packs(shop.establishment, choice, today=DAY, at=NOON, by=shop.marta)


def charged(shop: Shop, cans: list[Container], *, leak_check: bool = True, finals: bool = True) -> Bay:
    """The sample job up to its closing."""
    bay = Bay.check_in(shop)
    bay.recover()
    if leak_check:
        bay.leak_check()
    else:
        bay.leave_out(StageKind.LEAK_CHECK)
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals(**({"vent": "44 °F", "low_side": "30 psi", "high_side": "180 psi"} if finals else {}))
    return bay


def asked(bay: Bay) -> dict[str, Finding]:
    problems = closing_problems(job_sheet(bay.job), CloseIn(), by=bay.by)
    return {one.code: one for one in problems if one.code.startswith(("us-", "wi-", "ca-"))}


def today_of(client: Client) -> str:
    """The day that the form begins with."""
    initial: date = client.get("/records/rules/choose/").context["form"].initial["from_day"]
    return initial.isoformat()
