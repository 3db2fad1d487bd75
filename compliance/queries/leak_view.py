"""What the leak-test hold of a job could see: from its readings, written or still a draft, to page and paper."""

from __future__ import annotations

from typing import Any

from compliance.core.certificate_facts import LeakTestFacts
from compliance.core.certificate_holds import hold_facts
from compliance.core.hold_readings import HoldTyped, Unknown, hold_of
from compliance.core.hold_words import leak_answer
from compliance.core.leak import Seen, see, u_put_in
from compliance.core.stages import Outcome, StageKind
from compliance.models import CanTicket, Draft, LeakTest
from compliance.queries.facts import emptied_first, leak_test_drawn
from compliance.queries.sheets import Sheet
from shop.core.answer import Answer
from shop.core.clock import pressed_instant
from shop.core.conditions import conditions, with_barometer
from shop.core.gauge import shown
from shop.core.phrase import phrase

UNWEIGHED = phrase("Weigh the can after the leak-test charge first; its grams come from the scale.")
NOT_KNOWN_INSIDE = phrase(
    "The system was not emptied first, so what is in it is more than the can gave, or something else."
)
READINGS = ("pressure_start", "temperature", "pressure_end", "temperature_end")


def leak_test_answer(sheet: Sheet, draft: Draft | None) -> Answer | None:
    """What the readings say: those of the draft when it has some, else those of the last hold. None without any."""
    scale = float(sheet.rules.detector_g_year)
    if draft is not None and (typed := _draft_readings(draft.typed)):
        minutes = _draft_minutes(draft.typed) or int(sheet.rules.pressure_hold_minutes)
        barometer = _with_unit(draft.typed, "barometer")
        return leak_answer(_seen(sheet, typed, minutes, barometer), scale)
    for stage in sheet.of(StageKind.LEAK_TEST)[-1:]:
        if stage.outcome == Outcome.DONE and any(getattr(stage.leaktest, name) for name in READINGS):
            return leak_answer(leak_test_seen(sheet, stage.leaktest), scale)
    return None


def leak_test_seen(sheet: Sheet, test: LeakTest) -> Seen | Unknown:
    """What a hold that was written down could see."""
    readings = {name: getattr(test, name) for name in READINGS}
    return _seen(sheet, readings, test.minutes, test.barometer)


def leak_test_facts(sheet: Sheet, test: LeakTest, *, by: str, at: str) -> LeakTestFacts:
    """The hold as a certificate keeps it."""
    return LeakTestFacts(
        by=by,
        at=at,
        mass_ug=leak_test_drawn(sheet).ug,
        pressure_start=test.pressure_start,
        pressure_end=test.pressure_end,
        minutes=test.minutes,
        temperature=test.temperature,
        result=test.result,
        temperature_end=test.temperature_end,
        barometer=test.barometer,
        saw=hold_facts(leak_test_seen(sheet, test)),
    )


def _seen(sheet: Sheet, readings: dict[str, str], minutes: int, barometer: str) -> Seen | Unknown:
    here, problems = with_barometer(conditions(sheet.rules), barometer)
    if problems:
        return Unknown(problems[0].message)
    steps = [row.ticket.division.grams for row in _test_tickets(sheet)]
    if not steps:
        return Unknown(UNWEIGHED)
    if sheet.mischarge_open is not None or not emptied_first(sheet):
        return Unknown(NOT_KNOWN_INSIDE)
    typed = HoldTyped(
        sheet.refrigerant,
        minutes,
        leak_test_drawn(sheet).grams,
        u_put_in(steps, float(sheet.rules.hose_allowance_g)),
        pressure_start=readings["pressure_start"],
        temperature=readings["temperature"],
        pressure_end=readings["pressure_end"],
        temperature_end=readings["temperature_end"],
    )
    hold = hold_of(typed, here)
    return hold if isinstance(hold, Unknown) else see(hold)


def _test_tickets(sheet: Sheet) -> list[CanTicket]:
    return [row for can in sheet.cans for row in can.tickets if row.moment == CanTicket.Moment.LEAK_TEST]


def _draft_readings(typed: dict[str, Any]) -> dict[str, str]:
    readings = {name: _with_unit(typed, name) for name in READINGS}
    return readings if any(readings.values()) else {}


def _with_unit(typed: dict[str, Any], name: str) -> str:
    """As the form's field will read it: a unit typed with the number stands, else the one beside it."""
    text = " ".join(str(typed.get(name) or "").split())
    return f"{text} {typed.get(f'{name}_unit') or ''}".strip() if text and shown(text) is None else text


def _draft_minutes(typed: dict[str, Any]) -> int | None:
    """Typed by hand, or between the two pressed clocks."""
    by_hand = str(typed.get("minutes") or "").strip()
    if by_hand.isdecimal() and len(by_hand) <= 4:
        return int(by_hand)
    began = pressed_instant(typed.get("hold_started_at_instant"))
    ended = pressed_instant(typed.get("hold_stopped_at_instant"))
    return int((ended - began).total_seconds() // 60) if began and ended and ended >= began else None
