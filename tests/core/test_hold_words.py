"""What a technician reads about a leak-test hold, from readings as they are typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.certificate_holds import hold_facts
from compliance.core.hold_readings import HoldTyped, Unknown, hold_of, hold_problems
from compliance.core.hold_words import leak_answer
from compliance.core.leak import Seen, see
from shop.core.answer import Answer
from shop.core.conditions import conditions, with_barometer
from shop.core.findings import Weight
from shop.core.house import HouseRules

HERE = conditions(HouseRules())  # sea level, gauge 1 psi, thermometer give or take 2 °F
WARM = {"pressure_start": "78 psi", "temperature": "86 °F"}  # 85 g of R-1234yf in 2.5 L
NEVER = ("no leak", "g a year leak", "tight", "guaranteed")


def seen_of(
    refrigerant: str = "R-1234yf",
    grams: float = 85.0,
    minutes: int = 15,
    volume_l: float | None = None,
    **readings: str,
) -> Seen | Unknown:
    hold = hold_of(HoldTyped(refrigerant, minutes, grams, 2.0, volume_l=volume_l, **readings), HERE)
    return hold if isinstance(hold, Unknown) else see(hold)


def said(**typed: object) -> Answer:
    return leak_answer(seen_of(**typed), 4)  # type: ignore[arg-type]


def whole(answer: Answer) -> str:
    pairs = (f"{label}: {value}" for label, value in answer.numbers)
    return " | ".join((answer.headline, *answer.says, *pairs, answer.basis))


def test_a_cold_system_is_blind_and_says_what_to_do() -> None:
    # R-134a at 55 °F: saturation 51.2 psig; vapour 22.13 kg/m³, so in 1.5 L 68 - 33.2 = 35 g could go
    answer = said(refrigerant="R-134a", grams=68.0, pressure_start="51 psi", temperature="55 °F")
    assert answer.weight is Weight.WARNS
    assert answer.headline.startswith("Blind: at 55 °F (13 °C) some of it may be liquid")
    assert "up to 35 g gone" in answer.headline
    assert "Use the detector. Or warm the bay, never with a flame" in answer.says[0]
    assert ("With 1.5 L inside", "35 g unseen; sees above 101 °F (38 °C)") in answer.numbers
    assert "is our assumption" in answer.basis


def test_a_known_room_inside_gives_one_number() -> None:
    answer = said(
        refrigerant="R-134a", grams=68.0, volume_l=2.5, pressure_start="51 psi", temperature="55 °F"
    )
    assert [label for label, _ in answer.numbers if "inside" in label] == ["With 2.5 L inside"]
    assert "our assumption" not in answer.basis


def test_a_small_system_that_no_bay_makes_warm_enough_is_left_to_the_detector() -> None:
    answer = said(grams=85.0, volume_l=1.5, pressure_start="71 psi", temperature="68 °F")
    assert "the gauge would be blind even at 104 °F (40 °C)" in answer.says[0]


def test_before_the_hold_ends_it_says_what_it_could_show() -> None:
    answer = said(**WARM)
    assert answer.weight is Weight.NOTE
    assert answer.headline == "It can see: a loss of 2.1 g or more would show."
    assert "Over 15 min that is a leak of about 72 kg a year." in answer.says
    assert any("at its setting, 4 g a year" in sentence for sentence in answer.says)
    assert answer.says[-1].startswith("Start the clock 10 to 15 min after charging")


def test_no_change_rules_out_gross_leaks_only() -> None:
    answer = said(**WARM, pressure_end="76 psi", temperature_end="79 °F")
    assert answer.headline == "No change larger than 2.1 g; small leaks would not show."
    assert answer.says[0] == "In 15 min this rules out leaks above about 74 kg a year only."
    assert ("Expected at 79 °F (26 °C)", "76.3 psi") in answer.numbers


def test_a_drop_that_temperature_does_not_explain_is_searched_for_and_may_be_oil() -> None:
    answer = said(**WARM, pressure_end="74 psi", temperature_end="86 °F")
    assert answer.weight is Weight.WARNS
    assert answer.headline == (
        "The pressure is 4.0 psi below what the temperature explains, about 4.4 g."  # 0.91 psi a gram
    )
    assert answer.says[:2] == (
        "Oil takes refrigerant up for hours, and that looks the same.",
        "Search with the detector before adding refrigerant.",
    )


def test_a_rise_is_metal_still_warming() -> None:
    answer = said(**WARM, pressure_end="82 psi", temperature_end="86 °F")
    assert "4.0 psi above what the temperature explains" in answer.headline
    assert "start the clock again" in answer.says[0]


def test_more_pressure_than_the_refrigerant_has_is_air_or_another_one() -> None:
    answer = said(pressure_start="120 psi", temperature="86 °F")
    assert answer.headline == "21.0 psi above what R-1234yf alone can show at 86 °F (30 °C)."
    assert answer.says[0].startswith("Air or another refrigerant in it")
    assert not any("detector is used" in sentence for sentence in answer.says)


def test_cooled_until_it_is_blind() -> None:
    answer = said(**WARM, pressure_end="48 psi", temperature_end="50 °F")
    assert answer.headline.startswith("It began seeing and ended blind: at 50 °F (10 °C)")


def test_a_pressure_that_no_car_explains_is_asked_about() -> None:
    answer = said(pressure_start="5 psi", temperature="84 °F")
    assert answer.weight is Weight.WARNS
    assert "cars hold about 1.5 to 4.5" in answer.headline


@pytest.mark.parametrize("minutes", [1, 4])
def test_under_five_minutes_a_hold_says_nothing(minutes: int) -> None:
    answer = said(**WARM, minutes=minutes, pressure_end="78 psi", temperature_end="86 °F")
    assert answer.headline == f"Held {minutes} min: too short to say anything."
    assert "a year" not in " ".join(answer.says)


def test_without_the_end_temperature_the_change_is_not_judged() -> None:
    answer = said(**WARM, pressure_end="74 psi")
    assert answer.weight is Weight.WARNS
    assert answer.says[0] == "Type the temperature at the end, with its unit."
    assert not any(label == "Apparent loss" for label, _ in answer.numbers)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"pressure_start": "", "temperature": "84 °F"}, "Type the pressure at the start, with its unit."),
        ({"pressure_start": "about 50", "temperature": "84 °F"}, "Type the pressure at the start"),
        (
            {"pressure_start": "52 psi", "temperature": ""},
            "Type the temperature at the start, with its unit.",
        ),
        ({"pressure_start": "5 psi", "temperature": "-13 °F"}, "colder than the equations cover"),
        (WARM | {"refrigerant": "unknown"}, "There are no equations for unknown."),
        (WARM | {"grams": 5.0}, "5 g put in is outside what this sum covers: 20 to 1,500 g."),
        (WARM | {"pressure_start": "78 psia"}, "counts from zero"),
    ],
)
def test_what_cannot_be_said_says_why(typed: dict[str, object], why: str) -> None:
    answer = said(**typed)
    assert answer.headline.startswith("Not known.")
    assert why in answer.headline


@pytest.mark.parametrize(
    ("readings", "fields"),
    [
        (WARM, []),
        ({"pressure_start": "nearly full", "temperature": "warm"}, []),  # kept as typed; it only says less
        ({"pressure_start": "-15 psi"}, ["pressure_start"]),
        ({"pressure_end": "600 psi"}, ["pressure_end"]),  # above what R-1234yf has at its critical point
        ({"pressure_start": "29 inHg"}, ["pressure_start"]),
        ({"pressure_end": "600 micron"}, ["pressure_end"]),
        ({"pressure_start": "92.9 psia"}, ["pressure_start"]),
        ({"temperature": "84 °C"}, ["temperature"]),
        ({"temperature_end": "-500 °F"}, ["temperature_end"]),
        ({"pressure_start": "-20 psi", "temperature": "200 °F"}, ["pressure_start", "temperature"]),
    ],
)
def test_what_cannot_be_is_refused_on_its_field(readings: dict[str, str], fields: list[str]) -> None:
    found = hold_problems(HoldTyped("R-1234yf", 15, **readings), HERE)  # type: ignore[arg-type]
    assert [finding.field for finding in found] == fields
    assert all(finding.blocks and finding.message for finding in found)


def test_a_gauge_reads_less_from_zero_in_the_mountains() -> None:
    # 24.9 inHg is 84.3 kPa: 12.2 psi is all a gauge there can show below the air
    high, _ = with_barometer(conditions(HouseRules(altitude_ft=HouseRules().altitude_ft + 5000)), "24.9 inHg")
    typed = HoldTyped("R-1234yf", 15, pressure_start="-13 psi")
    assert hold_problems(typed, HERE) == []
    assert [one.field for one in hold_problems(typed, high)] == ["pressure_start"]


@given(
    st.sampled_from(("R-1234yf", "R-134a", "R-152a", "unknown")),
    st.integers(0, 3000),
    st.floats(0, 2000),
    *[st.one_of(st.text(max_size=24), st.integers(-20, 400).map(lambda n: f"{n} psi"))] * 2,
    *[st.one_of(st.text(max_size=24), st.integers(-60, 200).map(lambda n: f"{n} °F"))] * 2,
)
def test_whatever_was_typed_there_is_an_answer_that_claims_nothing(
    refrigerant: str, minutes: int, grams: float, start: str, end: str, warm: str, later: str
) -> None:
    seen = seen_of(
        refrigerant,
        grams,
        minutes,
        pressure_start=start,
        temperature=warm,
        pressure_end=end,
        temperature_end=later,
    )
    text = whole(leak_answer(seen, 4))
    assert not any(word in text for word in NEVER)
    assert "?" not in text or "?" in (start + end + warm + later)
    assert hold_facts(seen).sight in ("seeing", "blind", "excess", "unknown")
