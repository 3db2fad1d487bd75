"""Who is caught by the rules of subpart B, who may work, and what may go into a car or the air."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum

from compliance.core.stages import UnitKind

VENTING_EXEMPT = frozenset({"R-744", "nitrogen", "water"})  # 40 CFR 82.154(a)(1), read, as far as cars go
RECOVERED_OFF_G = Decimal(30)  # App. C 7.1.3, read: a machine's display of what it took out
CHARGED_OFF_G = Decimal(15)  # App. C 9.1, read: and of what it put in
STABLE_MINUTES = 5  # App. A 3.2.1, read: machine off this long before the vacuum is looked at again


class Credential(StrEnum):
    SECTION_609 = "609"
    SECTION_608 = "608"


class State(StrEnum):
    """What was done to refrigerant since it came out of a car."""

    RECOVERED = "recovered"
    RECYCLED = "recycled"
    RECLAIMED = "reclaimed"


def rules_apply(*, touches_refrigerant: bool, paid_cents: int, barter: bool = False) -> bool:
    """40 CFR 82.30(b), 82.32(g) and (h), read: service for consideration, which is everything but free work."""
    return touches_refrigerant and (paid_cents > 0 or barter)


def may_service(credential: Credential, unit_kind: UnitKind) -> bool:
    """40 CFR 82.34(a)(2) and (3), read: a 609 card serves all; a 608 card only farm and off-road machines."""
    return credential is Credential.SECTION_609 or unit_kind is UnitKind.OFF_ROAD


def may_go_into_a_car(state: State) -> bool:
    """40 CFR 82.32(e), 82.156(h), read: recycled or reclaimed first, also for the car that it came out of."""
    return state is not State.RECOVERED


def may_be_released(refrigerant: str) -> bool:
    """40 CFR 82.154(a)(1), read: a knowing release is forbidden but for what is exempt."""
    return refrigerant in VENTING_EXEMPT


def may_be_de_minimis(*, certified: bool, approved_machine: bool) -> bool:
    """40 CFR 82.154(a)(2), read: it rests on keeping to subpart B, and on no number of grams."""
    return certified and approved_machine


def display_fits(weighed_g: Decimal, displayed_g: Decimal, *, charged: bool) -> bool:
    """Whether a machine's display is within what it is built to show; a warning about the machine, never an offence."""
    return abs(weighed_g - displayed_g) <= (CHARGED_OFF_G if charged else RECOVERED_OFF_G)


def waited_enough(minutes: int) -> bool:
    return minutes >= STABLE_MINUTES
