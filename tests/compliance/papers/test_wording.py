"""How papers write masses, days and times."""

from __future__ import annotations

import pytest
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from compliance.core import wording as w
from compliance.core.known import known, known_list
from shop.http import say

G = 1_000_000


def plain(text: str) -> str:
    return text.replace(w.GLUE, " ")


def test_grams_come_first_and_ounces_in_brackets() -> None:
    # 503 g / 28.349523125 g = 17.743 oz (NIST SP 811, App. B.8).
    assert plain(w.both(503 * G)) == "503 g (17.7 oz)"
    assert plain(w.spelled(10_946 * G)) == "10,946 grams (386.1 oz)"


@pytest.mark.parametrize(
    ("ug", "places", "shown"),
    [
        (3 * G, 0, "+3"),
        (-35 * G, 0, "−35"),
        (0, 0, "0"),
        (-400_000, 0, "0"),
        (-400_000, 1, "−0.4"),
        (40_000, 1, "0.0"),
    ],
)
def test_a_difference_has_a_real_sign_and_nothing_has_none(ug: int, places: int, shown: str) -> None:
    assert w.signed(ug, places) == shown


def test_a_tenth_is_shown_only_when_a_reading_was_finer_than_a_gram() -> None:
    assert w.places_for([338 * G, 171 * G]) == 0
    assert w.places_for([338 * G, 328_854_468]) == 1


def test_the_largest_remainders_make_a_sum_add_up() -> None:
    thirds = [333_333, 333_333, 333_334]

    assert w.footed(thirds, G, 1) == (300_000, 300_000, 400_000)
    assert w.footed([-one for one in thirds], -G, 1) == (-300_000, -300_000, -400_000)


def test_rounding_does_not_hide_a_missing_gram() -> None:
    with pytest.raises(ValueError, match="does not come to"):
        w.footed([5 * G], 7 * G, 0)


@given(st.lists(st.integers(-(10**10), 10**10), max_size=12), st.sampled_from([0, 1]))
def test_rounded_parts_come_to_the_rounded_total_and_none_moves_by_a_unit(
    parts: list[int], places: int
) -> None:
    unit = G // 10**places
    shown = w.footed(parts, sum(parts), places)

    assert abs(sum(shown) - sum(parts)) * 2 <= unit
    assert all(one % unit == 0 and abs(one - exact) < unit for one, exact in zip(shown, parts, strict=True))


def test_days_and_times_are_written_as_people_say_them() -> None:
    assert plain(w.day("2026-06-11")) == "Jun 11 2026"
    assert plain(w.moment("2026-06-11T00:04-07:00")) == "Jun 11 2026, 12:04 am"
    assert w.zone("2026-06-11T12:04-07:00") == "UTC−7"
    assert w.zone("2026-06-11T12:04+05:30") == "UTC+5:30"
    assert w.day("") == "not recorded"


def test_a_span_says_the_day_only_when_it_is_another_one() -> None:
    on = "2026-06-11"

    assert plain(w.span(f"{on}T10:12-07:00", f"{on}T10:31-07:00", on)) == "10:12 to 10:31 am"
    assert plain(w.span(f"{on}T11:42-07:00", f"{on}T12:25-07:00", on)) == "11:42 am to 12:25 pm"
    assert (
        plain(w.span("2026-06-12T08:00-07:00", "2026-06-12T08:30-07:00", on))
        == "Jun 12 2026, 8:00 to 8:30 am"
    )
    assert plain(w.span(f"{on}T23:50-07:00", "2026-06-12T00:20-07:00", on)) == (
        "Jun 11 2026, 11:50 pm to Jun 12 2026, 12:20 am"
    )


def test_days_inside_typed_text_are_written_the_same_way() -> None:
    assert plain(w.plain_days("shop rules as of 2026-06-11")) == "shop rules as of Jun 11 2026"
    assert plain(w.plain_days("dev, 2026-06-11T12:04-07:00")) == "dev, Jun 11 2026, 12:04 pm"
    assert w.plain_days("lot 2026-6") == "lot 2026-6"


def test_a_temperature_below_zero_is_printed_with_a_real_minus() -> None:
    assert w.said("-9 °F") == "−9 °F"


def test_small_words() -> None:
    assert plain(w.duration(43)) == "43 min"
    assert plain(w.duration(75)) == "1 h 15 min"
    assert plain(w.counted(1, "can")) == "1 can"
    assert w.listed(["a", "b", "c"]) == "a, b and c"
    assert plain(w.percent(-35, 5841)) == "−0.6 %"
    assert w.percent(1, 0) == "–"


CARD = "Dev Larkin held Section 609 proof of certification SAMPLE-7741, issued"


@pytest.mark.parametrize(
    ("kept", "spanish"),
    [
        ("shop rules as of 2026-06-26", "reglas del taller al 26 jun 2026"),
        ("Dev Larkin, signed on as dev, 2026-06-26T15:40:00-06:00", "sesión de dev, 26 jun 2026, 3:40 pm"),
        (f"{CARD} Mar 12, 2019, on this date.", "SAMPLE-7741, con fecha de expedición 12 mar 2019"),
        (f"{CARD} Mar 12 2019, on this date.", "SAMPLE-7741, con fecha de expedición 12 mar 2019"),
        ("checked Yul 5 2026, passed", "Yul 5 2026"),
        (
            "Dev Larkin held Section 609 proof of certification SAMPLE-7741, issued May 6, 2022, on this date.",
            "expedición 6 may 2022",
        ),
        (
            "Bob Sample held no Section 609 proof of certification; written down by Dev Larkin.",
            "Bob Sample no tenía comprobante de certificación de la Sección 609; lo anotó Dev Larkin.",
        ),
        ("Replaces version 1 of Aug\u00a07 2026. Name misspelt.", "Reemplaza la versión 1 del 7 ago 2026."),
        (
            "Replaces version 2 of Aug\u00a07 2026. Changed: Check-in: Plate A → B. Misread. Slip CS26-0001,"
            " Marta Quill, Jan\u00a03 2027.",
            "Boleta CS26-0001, Marta Quill, 3 ene 2027.",
        ),
    ],
)
def test_the_month_of_a_kept_text_is_said_in_the_readers_language(kept: str, spanish: str) -> None:
    with translation.override("es"):
        assert spanish in plain(say(known(kept)))


@pytest.mark.parametrize(
    ("first", "last", "shown"),
    [
        ("2026-04-01", "2026-06-30", "Jun 11"),
        ("2025-07-01", "2026-06-30", "Jun 11 2026"),
        ("2025-04-01", "2025-06-30", "Jun 11 2026"),
    ],
)
def test_a_day_of_a_list_leaves_its_year_out_only_when_all_days_lie_in_it(
    first: str, last: str, shown: str
) -> None:
    assert plain(w.short_date("2026-06-11", first, last)) == shown


def test_the_rule_packs_of_a_closing_are_said_in_the_readers_language() -> None:
    kept = "federal baseline 2026-11, no state chosen"
    assert known_list(kept) == kept
    with translation.override("es"):
        said = say(known_list(kept))
    assert "2026-11" in said
    assert "federal baseline" not in said
    assert "no state chosen" not in said
