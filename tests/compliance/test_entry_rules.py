"""What the charge page takes along says of an entry what the service says, ticket after ticket."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.test import Client

from compliance.core.entry_rules import after, charge, look
from compliance.core.entry_tables import version
from compliance.core.next_cans import next_cans
from compliance.forms.charging import MOMENTS
from compliance.queries import job_sheet
from compliance.queries.charge_view import charge_view
from compliance.queries.entry_rules import charge_context
from compliance.services import WeighingIn, look_at_weighing
from inventory.core.weighing import Style
from inventory.models import Container
from inventory.services import TicketIn, weigh
from shop.core.mass import Mass
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import NOON, reading, ticket_in

pytestmark = pytest.mark.one_engine

WEIGHED = (
    ("before", "466", "466"),
    ("stays", "400", "400"),
    ("off", "300", "300"),
    ("before", "295", "295"),
)
TYPED = ("16", "121", "120", "239", "294", "297", "300", "301", "455", "456", "466.5", "478", "479", "664")


def fields(bay: Bay, can: Container, what: str, typed: str) -> dict[str, object]:
    return {
        "container": can.code,
        "what": what,
        "reading": typed,
        "scale": str(bay.shop.scale.pk),
        "style": Style.BARE.value,
        "from_label": False,
        "said_at": None,
    }


def knows(bay: Bay) -> dict[str, Any]:
    """What the charge page would take along now."""
    sheet = job_sheet(bay.job)
    return charge_context(sheet, charge_view(sheet).free, bay.later())


def agree(bay: Bay, cans: list[Container]) -> int:
    """Every number on every can and in every moment, both ways; how many findings there were."""
    at, said = bay.later(), 0
    knew = knows(bay)
    for can in cans:
        for what in ("before", "stays"):
            for typed in TYPED:
                ticket = TicketIn(bay.shop.scale, reading(typed))
                weighing = WeighingIn(can, ticket, MOMENTS[what], stays_on=True)
                by_service = look_at_weighing(bay.job, weighing, at=at, by=bay.by)
                by_page = look("ticket", fields(bay, can, what, typed), knew)
                told = [(one.code, one.message, one.weight, one.field) for one in by_page]
                assert told == [(one.code, one.message, one.weight, one.field) for one in by_service], (
                    what,
                    typed,
                )
                said += len(told)
    return said


def test_the_page_says_what_the_service_says_while_cans_are_changed(bay: Bay, cans: list[Container]) -> None:
    weigh(cans[3], ticket_in(bay.shop, "293"), at=NOON, by=bay.by)
    asked = [cans[0], cans[1], cans[3]]
    said = agree(bay, asked)
    for what, typed, _ in WEIGHED:
        seen = ("lost-waiting", "frost")
        bay.weigh(cans[0], typed, MOMENTS[what], stays_on=what == "stays", seen=seen)
        said += agree(bay, asked)
    assert said > 200


def test_the_pile_comes_to_what_the_server_comes_to(bay: Bay, cans: list[Container]) -> None:
    """Before anything was weighed the page knows what the sheet will say after each of these tickets."""
    weigh(cans[3], ticket_in(bay.shop, "293"), at=NOON, by=bay.by)
    knew = knows(bay)
    waiting = []
    steps = (
        (0, "before", "466"), (0, "stays", "391"), (0, "empty", "128"), (1, "before", "464"), (1, "off", "350"),
        (1, "before", "344"), (1, "off", "280"),
    )  # fmt: skip
    for place, what, typed in steps:
        waiting.append(fields(bay, cans[place], what, typed))
        told = charge(knew, waiting)
        moment = Moment.BEFORE if what == "before" else Moment.AFTER
        bay.weigh(
            cans[place],
            typed,
            moment,
            stays_on=what == "stays",
            emptied=what == "empty",
            seen=("lost-waiting",),
        )
        view = charge_view(job_sheet(bay.job))
        assert view.to_go is not None
        assert told["out"] == f"{view.out.ug}"
        assert told["inCar"] == f"{view.in_car.ug}"
        assert told["toGo"] == f"{view.to_go.ug}"
        assert told["stop"] == (str(view.stop) if view.stop is not None else None)
        assert told["enough"] == view.enough
        assert next_cans(after(knew, waiting), Mass(int(told["wanted"]))) == {
            "first": view.free[0].code,
            "takes": [
                {
                    "code": one.can.code,
                    "weighs": f"{one.weighs.ug}",
                    "take": f"{one.take.ug}",
                    "empties": one.empties,
                }
                for one in view.next_cans
            ],
        }


def test_the_context_after_the_pile_is_the_context_of_the_next_page(bay: Bay, cans: list[Container]) -> None:
    knew = knows(bay)
    later = after(knew, [fields(bay, cans[0], "before", "466"), fields(bay, cans[0], "stays", "391")])
    bay.weigh(cans[0], "466", Moment.BEFORE)
    bay.weigh(cans[0], "391", stays_on=True)
    now = knows(bay)
    clocks = {"at", "clock", "since", "seal"}

    def plain(can: dict[str, object]) -> dict[str, object]:
        flat = {**can, **{f"last {name}": one for name, one in can["last"].items()}}  # type: ignore[attr-defined]
        return {name: one for name, one in flat.items() if name.split()[-1] not in clocks | {"last"}}

    assert plain(later["cans"][cans[0].code]) == plain(now["cans"][cans[0].code])


def test_the_charge_page_carries_the_rules_in_the_readers_language(bay: Bay, sign_on: SignOn) -> None:
    dev = sign_on(bay.by)
    english, spanish = on_the_page(dev, bay, "en"), on_the_page(dev, bay, "es")
    assert english["tables"]["version"] == spanish["tables"]["version"] == version()
    assert [row[0] for row in english["tables"]["ticket"]] == [row[0] for row in spanish["tables"]["ticket"]]
    assert "A full can of this kind" in str(english)
    assert "A full can of this kind" not in str(spanish)


def on_the_page(client: Client, bay: Bay, language: str) -> dict[str, Any]:
    bay.by.language = language
    bay.by.save(update_fields=["language"])
    text = client.get(f"/bay/{bay.job.number}/charge/").content.decode()
    match = re.search(r'<script id="entry-rules" type="application/json">(.*?)</script>', text)
    assert match is not None
    read: dict[str, Any] = json.loads(match[1])
    return read
