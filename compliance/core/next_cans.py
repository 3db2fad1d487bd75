"""Which can to take next, by what a page took along and what waits on its device.

The twin for a phone without a signal is compliance/static/compliance/next_cans.js; both are held to
fixtures/next_can_cases.csv, and the page that the server draws to the same order and sums.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from compliance.core.charge import plan
from shop.core.mass import ZERO, Mass


def next_cans(context: Mapping[str, Any], wanted: Mass | None) -> dict[str, Any]:
    """Open cans first, then the oldest delivery, until the car has what it wants.

    ``context`` is that of ``entry_rules`` as ``after`` left it. ``first`` is the code of the can that may go on now,
    ``takes`` are the cans of the plan: what each should weigh and what to take from it, micrograms as text, and
    whether it is empty then. Nothing is planned without a label, nor while a can hangs of which nobody knows what it
    gives.
    """
    cans = context["cans"]
    shelf = {code: can for code, can in cans.items() if _may_go_on(can)}
    turn = sorted(shelf, key=lambda code: ("last" not in shelf[code], shelf[code]["came"], code))
    hanging = next((can for can in cans.values() if can.get("on")), None)
    takes = plan(_left_over(wanted, hanging), [(code, _left(shelf[code], keeps=True)) for code in turn])
    return {
        "first": turn[0] if turn else None,
        "takes": [
            {
                "code": one.code,
                "weighs": f"{_weighs(shelf[one.code]).ug}",
                "take": f"{one.mass.ug}",
                "empties": one.empties,
            }
            for one in takes
        ],
    }


def _may_go_on(can: Mapping[str, Any]) -> bool:
    return "left" in can and not can.get("on") and not can.get("emptied")


def _left_over(wanted: Mass | None, hanging: Mapping[str, Any] | None) -> Mass:
    """What the can on the car does not give."""
    if wanted is None or (hanging is not None and "kind" not in hanging):
        return ZERO
    gives = max(Mass(hanging["last"]["gross"] - hanging["kind"][1]), ZERO) if hanging is not None else ZERO
    return wanted - gives


def _left(can: Mapping[str, Any], *, keeps: bool = False) -> Mass:
    """What is in it by the book, less what this job took, and less its heel if it ``keeps`` that."""
    taken = can["before"] - can["last"]["gross"] if can.get("on_job") else 0
    return Mass(can["left"] - taken - (can["heel"] if keeps else 0))


def _weighs(can: Mapping[str, Any]) -> Mass:
    """What the scale should show: its last ticket, or label and shell of a sealed can."""
    return Mass(can["last"]["gross"]) if "last" in can else _left(can) + Mass(can["kind"][1])
