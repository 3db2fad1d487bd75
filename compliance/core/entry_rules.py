"""The rules for an entry as a page takes them along: tables, and a look at an entry with what the page knew.

``look``, ``after`` and ``charge`` have twins of the same names in compliance/static/compliance/rules.js. Both are held
to fixtures/entry_cases.csv, and to each other. A context is plain JSON; masses in it are whole micrograms, instants
milliseconds, clock times "14:02".
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from datetime import time
from typing import Any

from compliance.core import stage_rules
from compliance.core.charge import with_the_car
from compliance.core.charge_rules import GATES, SAID, TERMS
from compliance.core.charge_state import CanState, ChargeState, stop_of
from compliance.core.entry_tables import MOMENTS, NOT_HERE, STAYS_ON
from inventory.core import weighing_rules
from inventory.core.numbers import number_in
from inventory.core.weighing import CanKind, Origin, Style, Ticket, ticket_problems
from shop.core.findings import Finding
from shop.core.mass import Mass, Reading, Unit
from shop.core.reading import decimals_of, read_mass
from shop.core.rule_rows import Look

Context = Mapping[str, Any]
Fields = Mapping[str, Any]


def look(kind: str, fields: Fields, context: Context) -> list[Finding]:
    """What the rules say of an entry; ``kind`` is "ticket", or the stage whose fields these are."""
    return _look_at_ticket(fields, context) if kind == "ticket" else _look_at_stage(kind, fields, context)


def _look_at_stage(kind: str, fields: Fields, context: Context) -> list[Finding]:
    facts, unread = {**fields, "now": context.get("now")}, []
    if kind == "recovery":
        facts |= context["cylinders"].get(fields.get("cylinder"), {})
        for name in ("before", "after"):
            division, unit = _scale(fields, context)
            reading, found = read_mass(str(fields[name]), unit, division=division, field=name)
            facts[name] = reading.mass.ug if reading is not None else None
            unread += [one for one in found if one.blocks]
    return [*unread, *Look(stage_rules.TERMS, facts).judge(stage_rules.STAGES[kind])]


def _look_at_ticket(fields: Fields, context: Context) -> list[Finding]:
    code = number_in(str(fields["container"]))
    can = context["cans"].get(code, {})
    division, unit = _scale(fields, context)
    reading, unread = _read(fields, can, division, unit)
    if reading is None:
        return unread
    moment = MOMENTS[fields["what"]]
    origin = _origin(fields)
    last, on_job = can.get("last"), bool(can.get("on_job"))
    gates = Look(
        TERMS,
        {
            "can": code,
            "moment": moment,
            "origin": origin.value,
            "on_job": on_job,
            "on": bool(can.get("on")),
            "seal": bool(can.get("seal")),
            "now": context.get("now"),
            "said_at": fields.get("said_at"),
            "earlier": last["at"] if last and on_job else context.get("came"),
        },
    )
    gates.judge([*GATES, *SAID])
    if gates.found:
        return gates.found
    ticket = Ticket(reading, division, Style(fields["style"]), origin)
    rested = not on_job or moment == "before"
    found = Look({}, {"can": code, "here": "yes" if can.get("kind") else None}).judge([NOT_HERE])
    found += _of_the_can(ticket, code, can, rested, context)
    drawn = last["gross"] - reading.mass.ug if last and not rested else None
    facts = {"can": code, "moment": moment, "drawn": drawn, **_other(code, context)}
    if on_job and moment != "before":
        facts |= _car_if_kept(code, can, reading.mass, context)
    return with_the_car(found, reading, shows=division if reading.unit is unit else None, facts=facts)


def _scale(fields: Fields, context: Context) -> tuple[Mass, Unit]:
    scale = context["scales"][str(fields["scale"])]
    return Mass(scale["division"]), Unit(scale["unit"])


def _origin(fields: Fields) -> Origin:
    if fields.get("from_label"):
        return Origin.LABEL
    return Origin.TYPED_LATER if fields.get("said_at") is not None else Origin.WEIGHED


def _read(
    fields: Fields, can: Mapping[str, Any], division: Mass, unit: Unit
) -> tuple[Reading | None, list[Finding]]:
    """The reading that was typed, or what a full can of this kind weighs as this scale would show it."""
    if not fields.get("from_label") or not can.get("kind"):
        reading, found = read_mass(str(fields["reading"]), unit)
        return reading, [one for one in found if one.blocks]
    return label_weight(Mass(can["kind"][0] + can["kind"][1]), division, unit), []


def label_weight(full: Mass, division: Mass, unit: Unit) -> Reading:
    """What a full can weighs, in the unit and decimals of the scale."""
    unit = Unit.G if unit is Unit.LB_OZ else unit
    shown = f"{full.rounded(unit, decimals_of(division, unit))}"
    return read_mass(shown, unit)[0] or Reading(shown, unit, full)


def _of_the_can(
    ticket: Ticket, code: str, can: Mapping[str, Any], rested: bool, context: Context
) -> list[Finding]:
    last, kind = can.get("last"), can.get("kind")
    previous = _ticket_of(last) if last else None
    if kind is None:
        return []
    return ticket_problems(
        ticket,
        kind=CanKind(Mass(kind[0]), Mass(kind[1]), kind[2] / 1_000_000),
        can=code,
        previous=previous,
        sealed=rested and previous is None,
        first_in_job=rested,
        since=time.fromisoformat(last["clock"]) if last and can.get("on_job") else None,
    )


def _ticket_of(last: Mapping[str, Any]) -> Ticket:
    reading = Reading(last["text"], Unit(last["unit"]), Mass(last["gross"]))
    return Ticket(reading, Mass(last["division"]), Style(last["style"]), Origin(last["origin"]))


def _other(code: str, context: Context) -> dict[str, Any]:
    """Another can on this car, if there is one."""
    for other, can in context["cans"].items():
        if can.get("on") and other != code:
            return {
                "other": other,
                "other_since": time.fromisoformat(can["since"]),
                "other_reading": str(_ticket_of(can["last"]).reading),
            }
    return {}


def _car_if_kept(code: str, can: Mapping[str, Any], gross: Mass, context: Context) -> dict[str, Any]:
    if context["label"] is None:
        return {}
    stop = _stop(can, _state(context).wanted)[0]
    return {
        "in_car": _state(context, {code: gross}).in_car.ug,
        "label": context["label"],
        "tolerance": context["tolerance"],
        "stop": stop.mass.ug if stop is not None else None,
    }


def _state(context: Context, pretend: Mapping[str, Mass] | None = None) -> ChargeState:
    label = context["label"]
    return ChargeState(
        label=Mass(label) if label is not None else None,
        tolerance=Mass(context["tolerance"]),
        hoses=Mass(context["hoses"]),
        assumed=context["assumed"],
        gone=Mass(context["gone"]),
        cans=tuple(
            CanState(
                Mass(can["before"]),
                (pretend or {}).get(code, Mass(can["last"]["gross"])),
                Mass(can.get("waiting", 0)),
            )
            for code, can in context["cans"].items()
            if can.get("on_job")
        ),
    )


def _stop(can: Mapping[str, Any], wanted: Mass | None) -> tuple[Reading | None, bool]:
    """Of a can that this page does not know nobody can say how much it gives."""
    last, kind = can["last"], can.get("kind")
    if kind is None:
        return None, False
    now = Reading(last["text"], Unit(last["shows"]), Mass(last["gross"]))
    return stop_of(wanted, now, Mass(last["division"]), Mass(kind[1]))


def after(context: Context, entries: Iterable[Fields]) -> Context:
    """The context once these tickets are kept, in their order. One that cannot be read changes nothing."""
    later: dict[str, Any] = copy.deepcopy(dict(context))
    for fields in entries:
        code, what = number_in(str(fields["container"])), fields["what"]
        can = later["cans"].setdefault(code, {})
        division, unit = _scale(fields, later)
        reading, _ = _read(fields, can, division, unit)
        if reading is None:
            continue
        _keep(can, reading.mass, what)
        if not can.get("on"):
            can["since"] = fields.get("clock", "00:00")
        can |= {
            "on": what in STAYS_ON,
            "emptied": what == "empty",
            "seal": False,
            "last": {
                "gross": reading.mass.ug,
                "division": division.ug,
                "style": fields["style"],
                "origin": _origin(fields).value,
                "text": reading.text,
                "unit": reading.unit.value,
                "shows": unit.value,
                "at": fields.get("at", 0),
                "clock": fields.get("clock", "00:00"),
            },
        }
    return later


def _keep(can: dict[str, Any], gross: Mass, what: str) -> None:
    if not can.get("on_job"):
        can |= {"on_job": True, "before": gross.ug, "waiting": 0}
    elif what == "before":
        gap = can["last"]["gross"] - gross.ug
        can["waiting"] = can.get("waiting", 0) + (gap if gap > weighing_rules.FROST.ug else 0)


def charge(context: Context, entries: Iterable[Fields]) -> dict[str, Any]:
    """How the charge stands once these tickets are kept: micrograms as text, the reading at which to stop, whether that
    is enough. What is not known is None."""
    later = after(context, entries)
    state = _state(later)
    hanging = next((code for code, can in later["cans"].items() if can.get("on")), None)
    stop, enough = _stop(later["cans"][hanging], state.wanted) if hanging is not None else (None, False)
    return {
        "out": f"{state.drawn.ug}",
        "inCar": f"{state.in_car.ug}",
        "toGo": _text(state.to_go),
        "wanted": _text(state.wanted),
        "over": _text(state.over),
        "inside": state.inside,
        "hanging": hanging,
        "stop": str(stop) if stop is not None else None,
        "stopUg": _text(stop.mass if stop is not None else None),
        "enough": enough,
    }


def _text(mass: Mass | None) -> str | None:
    return f"{mass.ug}" if mass is not None else None
