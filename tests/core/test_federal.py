"""The boundary tables of the federal rules: one row for each edge, the paragraph beside it.

"Read" and "from memory" are as the rule packs say: what was not read is nowhere more than a warning.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from compliance.core.federal import statement, trade, work
from compliance.core.federal.equipment import Approval, approval
from compliance.core.federal.trade import Fate
from compliance.core.federal.work import Credential, State
from compliance.core.packs.words import STATES
from compliance.core.stages import UnitKind
from shop.core.standing import AuthorisedStretch, CardFacts, standing

ONLY, RECYCLE = "recover only", "recover and recycle"
NEW = date(2022, 6, 1)


# --- A. Scope: 40 CFR 82.30(b), 82.32(g) and (h)


@pytest.mark.parametrize(
    ("touches", "cents", "barter", "caught"),
    [
        (True, 1, False, True),  # paid
        (True, 0, True, True),  # goods or services in return
        (True, 0, False, False),  # free work
        (False, 9900, False, False),  # a belt, no refrigerant
    ],
)
def test_work_with_refrigerant_for_consideration_is_caught(
    touches: bool, cents: int, barter: bool, caught: bool
) -> None:
    assert work.rules_apply(touches_refrigerant=touches, paid_cents=cents, barter=barter) is caught


# --- B. People: 40 CFR 82.34(a)(2) and (3)


@pytest.mark.parametrize(
    ("day", "in_force"),
    [(date(2026, 6, 10), True), (date(2026, 6, 9), False), (date(2056, 6, 10), True)],
    ids=["issued on the day of the job", "issued the day after", "thirty years later: no end date, 82.40"],
)
def test_a_card_is_in_force_from_the_day_it_was_issued_and_has_no_end(day: date, in_force: bool) -> None:
    card = CardFacts("Sample Certification Program", "SAMPLE-1", date(2026, 6, 10))
    stretch = AuthorisedStretch(date(2020, 1, 1), None)
    assert standing("Dev Larkin", day, [card], [stretch]).in_force is in_force


@pytest.mark.parametrize(
    ("day", "in_force"),
    [
        (date(2026, 6, 1), True),
        (date(2026, 5, 31), False),
        (date(2026, 6, 30), True),
        (date(2026, 7, 1), False),
    ],
)
def test_an_authorisation_holds_on_its_first_and_its_last_day(day: date, in_force: bool) -> None:
    # 40 CFR 82.42(b)(2): all persons authorised to operate the equipment
    card = CardFacts("Sample Certification Program", "SAMPLE-1", date(2019, 1, 1))
    stretch = AuthorisedStretch(date(2026, 6, 1), date(2026, 6, 30))
    assert standing("Dev Larkin", day, [card], [stretch]).in_force is in_force


@pytest.mark.parametrize(
    ("credential", "unit", "may"),
    [
        (Credential.SECTION_608, UnitKind.CAR, False),
        (Credential.SECTION_608, UnitKind.OFF_ROAD, True),
        (Credential.SECTION_609, UnitKind.CAR, True),
        (Credential.SECTION_609, UnitKind.OFF_ROAD, True),
    ],
)
def test_a_608_card_alone_serves_a_tractor_and_no_car(
    credential: Credential, unit: UnitKind, may: bool
) -> None:
    assert work.may_service(credential, unit) is may


# --- C. Equipment: 40 CFR 82.36(a) and (b)(1); 86 FR 15587


@pytest.mark.parametrize(
    ("refrigerant", "does", "plate", "bought", "found"),
    [
        ("R-134a", RECYCLE, "SAE J2788", NEW, Approval.MEETS),
        ("R-1234yf", RECYCLE, "SAE J2788", NEW, Approval.FALLS_SHORT),
        ("R-134a", RECYCLE, "SAE J3030", NEW, Approval.MEETS),
        ("R-1234yf", RECYCLE, "SAE J3030", NEW, Approval.MEETS),
        ("R-1234yf", RECYCLE, "J2843, tested", NEW, Approval.MEETS),
        ("R-134a", RECYCLE, "J2843, tested", NEW, Approval.FALLS_SHORT),
        ("R-134a", ONLY, "SAE J2810", NEW, Approval.MEETS),
        ("R-134a", RECYCLE, "SAE J2810", NEW, Approval.FALLS_SHORT),  # recover-only does not recycle
        ("R-134a", ONLY, "SAE J2851", NEW, Approval.MEETS),
        ("R-1234yf", ONLY, "SAE J2851", NEW, Approval.MEETS),
        ("R-134a", RECYCLE, "", date(1996, 3, 5), Approval.EXCUSED),
        ("R-134a", RECYCLE, "", date(1996, 3, 6), Approval.UNKNOWN),
        ("R-134a", RECYCLE, "SAE J2210", date(2007, 12, 31), Approval.OLD),
        ("R-134a", RECYCLE, "SAE J2210", date(2008, 1, 1), Approval.FALLS_SHORT),
        ("R-134a", ONLY, "SAE J1732", date(2008, 10, 30), Approval.OLD),
        ("R-134a", ONLY, "SAE J1732", date(2008, 10, 31), Approval.FALLS_SHORT),
        ("R-152a", ONLY, "App. F", NEW, Approval.UNKNOWN),  # App. F has no number of SAE
        ("R-134a", ONLY, "a plate without a number", NEW, Approval.UNKNOWN),
    ],
)
def test_a_machine_meets_the_standard_of_its_refrigerant_and_what_it_does(
    refrigerant: str, does: str, plate: str, bought: date, found: Approval
) -> None:
    assert approval(refrigerant, does, plate, bought) is found


# --- C2. Equipment statement: 40 CFR 82.42(a)(1)

WHOLE = dict.fromkeys(statement.CONTENT, "as on the plate")


@pytest.mark.parametrize(
    ("left_out", "signer", "lacks"),
    [
        ("", "owner", []),
        ("", "responsible officer", []),
        ("", "technician", ["signer"]),
        *((name, "owner", [name]) for name in statement.CONTENT),
    ],
)
def test_a_statement_needs_its_six_contents_and_an_owner_or_officer(
    left_out: str, signer: str, lacks: list[str]
) -> None:
    assert statement.statement_lacks(WHOLE | ({left_out: " "} if left_out else {}), signer) == lacks


@pytest.mark.parametrize(
    ("state", "region"), [("CO", 8), ("CT", 1), ("PR", 2), ("WI", 5), ("CA", 9), ("WA", 10), ("MP", None)]
)
def test_a_statement_goes_to_the_region_of_its_state(state: str, region: int | None) -> None:
    assert statement.region_of(state) == region


def test_every_state_has_one_region() -> None:
    listed = " ".join(statement.REGIONS.values()).split()
    assert len(listed) == len(set(listed))
    assert set(STATES) <= set(listed)


# --- D. Using the equipment: 40 CFR 82.32(e); App. C 7.1.3, 9.1; App. A 3.2.1


@pytest.mark.parametrize(
    ("state", "may"), [(State.RECYCLED, True), (State.RECLAIMED, True), (State.RECOVERED, False)]
)
def test_recovered_refrigerant_goes_back_only_recycled_or_reclaimed_the_same_car_too(
    state: State, may: bool
) -> None:
    assert work.may_go_into_a_car(state) is may  # 82.156(h): the owner's exception does not reach cars


@pytest.mark.parametrize(
    ("weighed", "displayed", "charged", "fits"),
    [
        ("512", "482", False, True),  # 30 g
        ("512", "481", False, False),  # 31 g
        ("512", "542", False, True),
        ("500", "485", True, True),  # 15 g
        ("500", "484.9", True, False),  # 15.1 g
        ("500", "515", True, True),
    ],
)
def test_a_machines_display_is_held_to_thirty_and_fifteen_grams(
    weighed: str, displayed: str, charged: bool, fits: bool
) -> None:
    assert work.display_fits(Decimal(weighed), Decimal(displayed), charged=charged) is fits


@pytest.mark.parametrize(("minutes", "enough"), [(4, False), (5, True)])
def test_the_machine_is_off_for_five_minutes_before_the_vacuum_is_looked_at(
    minutes: int, enough: bool
) -> None:
    assert work.waited_enough(minutes) is enough


# --- E. Where it goes: 40 CFR 82.154(d), 82.34(d)


@pytest.mark.parametrize(
    ("fate", "state", "for_cars", "allowed"),
    [
        (Fate.RECYCLED_HERE, State.RECYCLED, False, True),
        (Fate.RECLAIM, State.RECOVERED, False, True),
        (Fate.DESTRUCTION, State.RECOVERED, False, True),
        (Fate.RETURNED, State.RECOVERED, False, True),
        (Fate.RELEASED, State.RECOVERED, False, False),
        (Fate.SOLD, State.RECLAIMED, False, True),
        (Fate.SOLD, State.RECYCLED, True, True),
        (Fate.SOLD, State.RECYCLED, False, False),
        (Fate.SOLD, State.RECOVERED, True, False),
    ],
)
def test_what_may_become_of_recovered_refrigerant(
    fate: Fate, state: State, for_cars: bool, allowed: bool
) -> None:
    assert trade.fate_allowed(fate, state, for_cars=for_cars) is allowed


@pytest.mark.parametrize(
    ("state", "here", "may"),
    [
        (State.RECLAIMED, False, True),
        (State.RECYCLED, True, True),
        (State.RECYCLED, False, False),
        (State.RECOVERED, True, False),
    ],
)
def test_refrigerant_from_salvage_is_reclaimed_or_recycled_by_who_charges_it(
    state: State, here: bool, may: bool
) -> None:
    assert trade.salvage_may_be_charged(state, recycled_here=here) is may


# --- F. Release: 40 CFR 82.154(a)


@pytest.mark.parametrize(
    ("refrigerant", "may"),
    [("R-134a", False), ("R-152a", False), ("R-1234yf", False), ("R-12", False), ("R-744", True)],
)
def test_only_co2_of_the_refrigerants_of_cars_is_exempt(refrigerant: str, may: bool) -> None:
    assert work.may_be_released(refrigerant) is may


@pytest.mark.parametrize(
    ("certified", "machine", "may"), [(True, True, True), (False, True, False), (True, False, False)]
)
def test_de_minimis_rests_on_who_worked_with_what_and_on_no_gram(
    certified: bool, machine: bool, may: bool
) -> None:
    assert work.may_be_de_minimis(certified=certified, approved_machine=machine) is may
