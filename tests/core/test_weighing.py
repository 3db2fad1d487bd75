"""Slips at the scale, seen while the can can still be weighed again. The cans here: 340 g in a shell of 126 g."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.weighing import (
    CanKind,
    Origin,
    Style,
    Ticket,
    likely_reading,
    ticket_problems,
    u_difference,
    u_ticket,
)
from shop.core.findings import Finding, Weight
from shop.core.mass import Mass, Unit, grams, ounces
from shop.core.reading import read_mass

KIND = CanKind(net=grams(340), shell=grams(126))
DIVISIONS = {Unit.G: grams(1), Unit.OZ: ounces("0.1"), Unit.LB_OZ: ounces("0.1"), Unit.KG: grams(1)}


def ticket(
    text: str, unit: Unit = Unit.G, style: Style = Style.BARE, origin: Origin = Origin.WEIGHED
) -> Ticket:
    reading, found = read_mass(text, unit)
    assert reading is not None, found
    return Ticket(reading, DIVISIONS.get(unit, Mass.of("0.005", Unit.LB)), style, origin)


def look(
    now: Ticket, previous: Ticket | None = None, *, first: bool = False, sealed: bool = False
) -> list[Finding]:
    return ticket_problems(now, kind=KIND, can="K-0312", previous=previous, sealed=sealed, first_in_job=first)


def one(now: Ticket, previous: Ticket | None = None, *, first: bool = False, sealed: bool = False) -> Finding:
    (finding,) = look(now, previous, first=first, sealed=sealed)
    return finding


def test_an_ordinary_can_is_not_remarked_upon() -> None:
    assert look(ticket("466"), first=True, sealed=True) == []
    assert look(ticket("128"), ticket("466")) == []
    assert look(ticket("293"), ticket("293"), first=True) == []


@pytest.mark.parametrize(
    ("typed", "unit", "says"),
    [
        # 16 oz = 453.59 g, 1.03 lb = 467.2 g, 0.466 kg = 466 g, 466 g = 16.44 oz = 1.027 lb; worked by hand
        ("16", Unit.G, "16 looks like ounces (= 454 g). If so, type 454 g."),
        ("466", Unit.OZ, "466 looks like grams (= 16.4 oz). If so, type 16.4 oz."),
        ("1.03", Unit.OZ, "1.03 looks like pounds (= 16.5 oz). If so, type 16.5 oz."),
        ("16.4", Unit.LB, "16.4 looks like ounces (= 1.025 lb). If so, type 1.025 lb."),
        ("466", Unit.KG, "466 looks like grams (= 0.466 kg). If so, type 0.466 kg."),
        ("0.466", Unit.OZ, "0.466 looks like kilograms (= 16.4 oz). If so, type 16.4 oz."),
    ],
)
def test_a_number_in_another_unit_is_recognised_and_converted(typed: str, unit: Unit, says: str) -> None:
    finding = one(ticket(typed, unit), first=True, sealed=True)
    assert (finding.code, finding.weight, finding.message) == ("unit-slip", Weight.BLOCKS, says)


def test_a_unit_slip_after_the_charge_is_recognised_too() -> None:
    # 10.3 oz = 292 g fits a can that weighed 464 g
    guess = likely_reading(ticket("10.3"), KIND, ticket("464"))
    assert guess is not None
    assert (guess.text, guess.unit, guess.mass) == ("10.3", Unit.OZ, ounces("10.3"))
    assert one(ticket("10.3"), ticket("464")).code == "unit-slip"


def test_pounds_on_a_kilogram_scale_are_recognised_although_they_are_only_twice_as_many() -> None:
    # 1.03 lb = 0.467 kg and 0.72 lb = 0.327 kg, worked by hand
    assert one(ticket("1.03", Unit.KG), first=True, sealed=True).code == "unit-slip"
    assert one(ticket("0.72", Unit.KG), ticket("0.466", Unit.KG)).code == "unit-slip"
    assert one(ticket("0.472", Unit.KG), ticket("0.466", Unit.KG)).code == "can-gained"


def test_a_unit_slip_is_recognised_a_little_below_the_shell_and_with_a_tap() -> None:
    # 4.2 oz = 119 g, a shell of 126 less 4 less 3 %; 20.6 oz = 584 g, a full can with its tap
    assert one(ticket("4.2"), ticket("464")).code == "unit-slip"
    assert one(ticket("4.1"), ticket("464")).code == "can-below-shell"
    assert one(ticket("20.6", style=Style.TAP), first=True, sealed=True).code == "unit-slip"


def test_a_number_that_fits_in_no_unit_is_no_unit_slip() -> None:
    assert likely_reading(ticket("60"), KIND, None) is None
    assert likely_reading(ticket("20 lb 0 oz", Unit.LB_OZ), KIND, None) is None


def test_a_converted_number_never_weighs_more_than_the_can_did() -> None:
    # 16 oz = 454 g, and the can weighed 200 g
    assert one(ticket("16"), ticket("200")).code == "can-below-shell"


@pytest.mark.parametrize(
    ("typed", "unit", "says"),
    [
        ("648", Unit.G, "A full can of this kind weighs about 466 g. Read the scale again."),
        ("22.9", Unit.OZ, "A full can of this kind weighs about 16.4 oz. Read the scale again."),
        (
            "1 lb 6.9 oz",
            Unit.LB_OZ,
            "A full can of this kind weighs about 1 lb 0.4 oz. Read the scale again.",
        ),
        ("0.648", Unit.KG, "A full can of this kind weighs about 0.466 kg. Read the scale again."),
    ],
)
def test_a_can_weighs_no_more_than_a_full_one(typed: str, unit: Unit, says: str) -> None:
    finding = one(ticket(typed, unit), first=True, sealed=True)
    assert (finding.code, finding.weight, finding.message) == ("can-above-full", Weight.BLOCKS, says)


def test_a_can_may_be_filled_a_little_above_its_label() -> None:
    # 466 + 2 % of 340 (6.8) + shell 4 + 3 u (1.2) = 478.0, worked by hand
    assert look(ticket("478"), first=True, sealed=True) == []
    assert one(ticket("479"), first=True, sealed=True).code == "can-above-full"


def test_a_can_weighs_no_less_than_its_shell() -> None:
    # 126 - 4 - 1.2 = 120.8, worked by hand
    finding = one(ticket("120"), ticket("466"))
    assert (finding.code, finding.weight) == ("can-below-shell", Weight.BLOCKS)
    assert "about 126 g; K-0312 cannot weigh less" in finding.message
    assert look(ticket("121"), ticket("466")) == []


def test_a_hose_that_pulls_at_the_can_is_not_taken_for_a_wrong_can() -> None:
    zeroed = Style.ZEROED
    assert look(ticket("115", style=zeroed), ticket("460", style=zeroed)) == []


def test_a_tap_may_add_to_the_weight_of_a_can() -> None:
    assert look(ticket("584", style=Style.TAP), first=True, sealed=True) == []


def test_before_and_after_are_weighed_in_the_same_style() -> None:
    finding = one(ticket("246"), ticket("584", style=Style.TAP))
    assert (finding.code, finding.field) == ("style-differs", "style")
    assert finding.message == "K-0312 was weighed before as “can with tap”. Weigh it the same way again."


def test_another_day_may_have_another_style() -> None:
    assert look(ticket("246"), ticket("411", style=Style.TAP), first=True) == []


def test_a_can_cannot_gain_weight() -> None:
    finding = one(ticket("301"), ticket("293"), first=True)
    assert (finding.code, finding.weight) == ("can-gained", Weight.BLOCKS)
    assert "301 g after 293 g. A can cannot gain. Is it the right can?" in finding.message


@pytest.mark.parametrize("first", [True, False])
def test_a_gram_or_three_more_is_frost(first: bool) -> None:
    finding = one(ticket("296"), ticket("293"), first=first)
    assert (finding.code, finding.weight) == ("frost", Weight.NOTE)
    assert finding.message == "K-0312 shows 3 g more than before: frost or water. Wipe it."
    assert one(ticket("297"), ticket("293"), first=first).code == "can-gained"


def test_a_coarser_scale_allows_more_frost() -> None:
    # 3 u + d at 0.1 oz is 3.47 + 2.83 = 6.31 g: 0.2 oz (5.67 g) may be frost, 0.3 oz (8.50 g) may not
    assert one(ticket("10.5", Unit.OZ), ticket("10.3", Unit.OZ)).code == "frost"
    assert one(ticket("10.6", Unit.OZ), ticket("10.3", Unit.OZ)).code == "can-gained"


def test_a_can_that_lost_weight_on_the_shelf_is_asked_about() -> None:
    # 3 u of a difference at 1 g is 1.22 g: a loss of 1 g is reading, of 2 g is not
    assert look(ticket("292"), ticket("293"), first=True) == []
    finding = one(ticket("285"), ticket("293"), first=True)
    assert (finding.code, finding.weight) == ("can-lost-on-shelf", Weight.WARNS)
    assert "should weigh about 293 g and is 8 g lighter" in finding.message
    assert one(ticket("291"), ticket("293"), first=True).code == "can-lost-on-shelf"


def test_a_coarser_scale_sees_less() -> None:
    # 3 u at 0.1 oz is 3.47 g, that is 0.12 oz
    assert look(ticket("10.2", Unit.OZ), ticket("10.3", Unit.OZ), first=True) == []
    assert one(ticket("10.1", Unit.OZ), ticket("10.3", Unit.OZ), first=True).code == "can-lost-on-shelf"


def test_a_weight_taken_from_the_label_is_not_held_against_the_can() -> None:
    # u from the label: root of 2 g squared and (4/root 3) squared = 3.06 g, so 3 u = 9.2 g
    label = ticket("466", origin=Origin.LABEL)
    assert u_ticket(label, KIND) == pytest.approx(3.055, abs=1e-3)
    assert look(ticket("458"), label, first=True) == []
    assert one(ticket("455"), label, first=True).code == "can-lost-on-shelf"


def test_two_swapped_digits_are_recognised() -> None:
    finding = one(ticket("315"), ticket("351"), first=True)
    assert (finding.code, finding.weight) == ("digits-swapped", Weight.WARNS)
    assert "should weigh about 351 g. Were two digits swapped: 351 g?" in finding.message


def test_two_swapped_digits_of_an_ounce_reading_are_recognised() -> None:
    assert (
        "Were two digits swapped: 13.2 oz?"
        in one(ticket("12.3", Unit.OZ), ticket("13.2", Unit.OZ), first=True).message
    )
    assert one(ticket("10.3", Unit.OZ), ticket("10.8", Unit.OZ), first=True).code == "can-lost-on-shelf"


def test_swapped_digits_of_a_sealed_can_are_recognised() -> None:
    # 446 swapped is 464, but a full can of 466 weighs 466
    assert one(ticket("446"), first=True, sealed=True).code == "sealed-light"
    # 340 in a shell of 112 is 452 full
    (finding,) = ticket_problems(
        ticket("425"),
        kind=replace(KIND, shell=grams(112)),
        can="K-0312",
        previous=None,
        sealed=True,
        first_in_job=True,
    )
    assert finding.code == "digits-swapped"
    assert "should weigh about 452 g. Were two digits swapped: 452 g?" in finding.message


def test_a_sealed_can_that_is_light_is_asked_about() -> None:
    assert look(ticket("456"), first=True, sealed=True) == []
    finding = one(ticket("455"), first=True, sealed=True)
    assert (finding.code, finding.weight) == ("sealed-light", Weight.WARNS)
    assert "K-0312 is sealed, and 11 g lighter than a full can. Weigh it again." in finding.message


def test_an_open_can_may_be_light() -> None:
    assert look(ticket("455"), first=True) == []


def test_findings_stand_beside_the_field_they_speak_of() -> None:
    (finding,) = ticket_problems(
        ticket("648"), kind=KIND, can="K-0312", previous=None, sealed=True, first_in_job=True, field="before"
    )
    assert finding.field == "before"


def test_two_readings_on_one_display_have_u_of_0_408_divisions() -> None:
    # GUM F.2.2.1, for a difference of two (computed: 0.408248)
    assert u_difference(grams(1)) == pytest.approx(0.408248, abs=1e-6)
    assert u_ticket(ticket("466"), KIND) == pytest.approx(0.288675, abs=1e-6)


plausible = st.integers(126, 466)


@given(plausible, plausible)
def test_a_draw_of_a_sound_can_is_never_remarked_upon(one_weight: int, other: int) -> None:
    after, before = sorted((one_weight, other))
    assert look(ticket(str(after)), ticket(str(before))) == []


@given(
    st.integers(0, 99_999),
    st.one_of(st.none(), plausible),
    st.booleans(),
    st.booleans(),
    st.sampled_from(Style),
)
def test_looking_at_a_reading_never_breaks(
    typed: int, before: int | None, first: bool, sealed: bool, style: Style
) -> None:
    previous = None if before is None else ticket(str(before))
    found = look(replace(ticket(str(typed)), style=style), previous, first=first, sealed=sealed)
    assert all(finding.message and finding.code for finding in found)
    assert len(found) <= 1


@given(st.integers(126, 466))
def test_a_can_weighed_in_the_wrong_unit_is_always_caught(weight: int) -> None:
    # Every gram reading typed on an ounce scale: none of them is a weight of this can in ounces
    assert one(ticket(str(weight), Unit.OZ), first=True).code == "unit-slip"
