"""Vehicle identification numbers: a wrong one is pointed out, never refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.findings import Weight
from shop.core.vin import VALUES, check_digit, normalised, vin_problems

legal = st.text(alphabet=sorted(VALUES), min_size=17, max_size=17)


@pytest.mark.parametrize(
    "vin",
    [
        # Weighted sums by hand from the tables of 49 CFR 565.15(c); the first is the rule's own sample (sum 411).
        "1G4AH59H45G118341",  # 411
        "1M8GDM9AXKP042788",  # 351, rest 10 is X
        "JH2RC3605MM101581",  # 280
        "LJCPCBLCX11000237",  # 186, rest 10 is X
        "1FAPP64R7LH123456",  # 403
        "5GZCZ43D13S812715",  # 408
        "1HGCM82633A004352",  # 311
        # What the check digit cannot see: D and M are both 4, K and B are both 2.
        "1M8GMD9AXKP042788",
        "1M8GDM9AXBP042788",
    ],
)
def test_a_vin_whose_sum_agrees_passes(vin: str) -> None:
    assert vin_problems(vin) == []


@pytest.mark.parametrize(
    ("vin", "should_be"),
    [("1M8GDM9AXKP042787", "8"), ("1HGCM82633A004325", "0"), ("1G4AH59H35G118341", "4")],
)
def test_a_wrong_check_digit_is_a_warning_that_names_position_9(vin: str, should_be: str) -> None:
    (finding,) = vin_problems(vin)
    assert (finding.code, finding.weight) == ("vin-check-digit", Weight.WARNS)
    assert f"(position 9) is {vin[8]} and should be {should_be}" in finding.message
    assert finding.basis == "49 CFR 565.15(c)"


@pytest.mark.parametrize(
    ("vin", "code", "says"),
    [
        ("1G4AH59H45G11834", "vin-length", "16 characters, not 17"),
        ("1G4AH59H45G1183411", "vin-length", "18 characters, not 17"),
        ("1G4AH59H45G11834O", "vin-letter", "O (perhaps 0)"),
        ("IG4AH59H45G118341", "vin-letter", "I (perhaps 1)"),
        ("1G4AQ59H45G118341", "vin-letter", "Q (perhaps 0)"),
        ("1G4AH59H45G11834!", "vin-letter", "has no !"),
        ("1" * 17, "vin-all-same", "Seventeen equal characters"),
        ("0" * 17, "vin-all-same", "Seventeen equal characters"),
    ],
)
def test_what_looks_wrong_with_a_vin_is_said_and_never_blocks(vin: str, code: str, says: str) -> None:
    (finding,) = vin_problems(vin)
    assert (finding.code, finding.weight, finding.field) == (code, Weight.WARNS, "vin")
    assert says in finding.message


@pytest.mark.parametrize("vin", ["", "   ", "--"])
def test_a_car_without_a_vin_is_known_by_its_plate(vin: str) -> None:
    assert vin_problems(vin) == []


def test_blanks_hyphens_and_small_letters_do_not_matter() -> None:
    assert normalised(" 1g4ah59h-45g 118341 ") == "1G4AH59H45G118341"
    assert vin_problems("1g4ah59h-45g 118341") == []


def test_letters_are_only_suggested_never_changed() -> None:
    assert normalised("1G4AH59H45G11834o") == "1G4AH59H45G11834O"


@given(legal)
def test_one_digit_and_no_other_completes_a_vin(vin: str) -> None:
    fits = [mark for mark in "0123456789X" if check_digit(vin[:8] + mark + vin[9:]) == mark]
    assert fits == [check_digit(vin)]


@given(st.text())
def test_nothing_that_can_be_typed_breaks_the_vin(vin: str) -> None:
    assert all(not finding.blocks for finding in vin_problems(vin))
