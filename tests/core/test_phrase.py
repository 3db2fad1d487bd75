"""Sentences that remember how they were made."""

from __future__ import annotations

import json
from datetime import date, datetime
from enum import StrEnum

from shop.core.days import said_day
from shop.core.phrase import Phrase, in_language, joined, made, phrase, word

SPANISH = {
    "{can} got heavier: {reading}.": "{can} pesa más: {reading}.",
    "Over by {over} g. What next?": "{over} g de más. ¿Qué sigue?",
    "held": "aguantó",
    "eyes": "a ojo",
}


def spanish(pattern: str) -> str:
    return SPANISH.get(pattern, pattern)


class Result(StrEnum):
    HELD = "held"


def test_a_phrase_is_its_english_wherever_a_text_is_kept() -> None:
    said = phrase("{can} got heavier: {reading}.", can="K-0312", reading="468 g")

    assert said == "K-0312 got heavier: 468 g."
    assert json.dumps([said]) == '["K-0312 got heavier: 468 g."]'
    assert hash(said) == hash("K-0312 got heavier: 468 g.")


def test_a_phrase_puts_its_values_into_the_other_language() -> None:
    said = phrase("{can} got heavier: {reading}.", can="K-0312", reading="468 g")

    assert in_language(said, spanish) == "K-0312 pesa más: 468 g."


def test_a_number_keeps_its_format_in_the_other_language() -> None:
    said = phrase("{grams:,} g", grams=12240)

    assert said == "12,240 g"
    assert in_language(said, {"{grams:,} g": "{grams:,} gramos"}.__getitem__) == "12,240 gramos"


def test_the_month_of_a_day_is_said_in_the_other_language() -> None:
    said = phrase("Signed {on:%b} {day}, {on:%H:%M}.", on=datetime(2024, 4, 3, 9, 5), day=3)
    words = {"Signed {on:%b} {day}, {on:%H:%M}.": "Firmado el {day} de {on:%b}, {on:%H:%M}.", "Apr": "abr"}

    assert said == "Signed Apr 3, 09:05."
    assert in_language(said, words.__getitem__) == "Firmado el 3 de abr, 09:05."


def test_a_whole_day_is_said_in_the_order_of_the_language() -> None:
    words = {"{month} {day} {year}": "{day} {month} {year}", "Apr": "abr"}
    said = phrase("since {day}", day=said_day(date(2024, 4, 3)))

    assert said == "since Apr 3 2024"
    assert in_language(said, lambda text: words.get(text, text)) == "since 3 abr 2024"


def test_a_phrase_inside_a_phrase_is_translated_too() -> None:
    said = phrase("{result} (pass {number})", result=phrase("held"), number=2)

    assert in_language(said, spanish) == "aguantó (pass 2)"


def test_a_value_of_a_closed_list_is_translated_and_a_typed_text_is_not() -> None:
    said = phrase("{result}, {typed}", result=Result.HELD, typed="held")

    assert in_language(said, spanish) == "aguantó, held"


def test_parts_that_were_joined_or_built_are_translated_one_by_one() -> None:
    both = joined(" ", [phrase("Over by {over} g. What next?", over=27), "R-134a"])
    shouted = made(str.upper, word("eyes"))

    assert both == "Over by 27 g. What next? R-134a"
    assert in_language(both, spanish) == "27 g de más. ¿Qué sigue? R-134a"
    assert shouted == "EYES"
    assert in_language(shouted, spanish) == "A OJO"


def test_what_is_made_of_typed_text_alone_stays_plain_text() -> None:
    assert not isinstance(joined(", ", ["oil out 5 mL", "dye seen"]), Phrase)


def test_typed_text_that_looks_like_a_pattern_is_left_alone() -> None:
    assert in_language(word("{can} {"), spanish) == "{can} {"
    assert in_language(phrase("{typed}", typed="{can}"), spanish) == "{can}"
