"""Suspects of a difference: hand-worked cases in fixtures/suspects_cases.csv, their order, and what is left over."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from inventory.core.difference import period_u
from inventory.core.suspect_facts import (
    BookedFacts,
    DeliveryFacts,
    DrawFacts,
    HangingFacts,
    LabelWeightFacts,
    LineFacts,
    MovedFacts,
    PairFacts,
    PeriodFacts,
    ScaleFacts,
)
from inventory.core.suspect_sums import suspects_of
from inventory.core.suspects import Sure, Suspect, left_over
from shop.core.mass import Mass, grams

FILE = Path(__file__).parents[2] / "fixtures" / "suspects_cases.csv"
CASES = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))


def line(words: list[str]) -> LineFacts:
    code, how, expected, found, *marks = words
    kind = "cylinder" if how == "cylinder" else "can"
    return LineFacts(
        code,
        kind,
        "weighed" if how == "cylinder" else how,
        grams(expected),
        grams(found),
        shell_spread_g=4.0 if kind == "can" else 0.0,
        ticketed="ticketed" in marks,
        known="known" in marks,
        last="300 g (7)",
    )


def delivery(words: list[str]) -> DeliveryFacts:
    number, net, *rest = words
    marks = [rest.index(mark) for mark in ("unlabelled", "twin", "to") if mark in rest]
    cans = tuple(rest[: min(marks, default=len(rest))])
    bare = tuple(rest[rest.index("unlabelled") + 1 :]) if "unlabelled" in rest else ()
    return DeliveryFacts(
        number,
        cans,
        grams(net),
        bare,
        len(cans) - len(bare),
        rest[-1] if "twin" in rest else "",
        int(rest[-1]) if "to" in rest else 0,
    )


def scale(words: list[str]) -> ScaleFacts:
    said = {name: words[words.index(name) + 1] for name in ("readings", "weighed")}
    known: dict[str, Any] = {
        name: grams(words[words.index(name) + 1]) for name in ("error", "known") if name in words
    }
    return ScaleFacts(
        words[0], date(2024, 3, 9), readings=int(said["readings"]), weighed_g=float(said["weighed"]), **known
    )


def facts_of(case: dict[str, str]) -> PeriodFacts:
    said: dict[str, list[Any]] = {}
    for one in filter(None, (part.strip() for part in case["facts"].split(";"))):
        what, *words = one.split()
        if what == "pair":
            code, kind, before, after, role, *job = words
            made: Any = PairFacts(code, kind, grams(before), grams(after), after, role, job[0] if job else "")
            said.setdefault("pairs", []).append(made)
        elif what == "hanging":
            made = HangingFacts(words[0], words[1], grams(words[2]), "counted" in words)
            said.setdefault("hanging", []).append(made)
        elif what == "draw":
            made = DrawFacts(words[0], words[1], grams(words[2]))
            said.setdefault("draws", []).append(made)
        elif what == "label":
            made = LabelWeightFacts(words[0], int(words[1]), float(words[2]))
            said.setdefault("label_weights", []).append(made)
        elif what == "delivery":
            said.setdefault("deliveries", []).append(delivery(words))
        elif what == "moved":
            said.setdefault("moved", []).append(MovedFacts(words[0], words[1], False, date(2024, 4, 2)))
        elif what == "scale":
            said.setdefault("scales", []).append(scale(words))
        elif what == "booked":
            said.setdefault("booked", []).append(BookedFacts(words[0], int(words[1]), grams(words[2])))
    given: dict[str, Any] = {name: tuple(rows) for name, rows in said.items()}
    lines = tuple(line(one.split()) for one in case["lines"].split(";"))
    return PeriodFacts("R-134a", lines=lines, **given)


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_a_case_worked_by_hand(case: dict[str, str]) -> None:
    expected = [one.strip() for one in case["suspects"].split(";") if one.strip()]
    found = suspects_of(facts_of(case))
    assert len(found) == len(expected), [(one.kind, one.evidence) for one in found]
    for one, words in zip(found, expected, strict=True):
        sure = next(kind for kind in Sure if words.endswith(kind))
        kind, low, high = words.removesuffix(sure).strip().rsplit(" ", 2)
        assert (one.kind, one.sure) == (kind, sure)
        assert one.low.grams == pytest.approx(float(low), abs=0.02)
        assert one.high.grams == pytest.approx(float(high), abs=0.02)


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_every_suspect_says_what_is_on_file_and_opens_one_page(case: dict[str, str]) -> None:
    for one in suspects_of(facts_of(case)):
        assert one.evidence.endswith(".")
        assert one.do
        assert one.door.page


def test_a_swap_says_how_much_of_either_line_it_explains() -> None:
    case = next(one for one in CASES if one["case"] == "two cans whose tickets look swapped")
    (swapped,) = suspects_of(facts_of(case))
    assert "These two tickets, swapped, explain 113 g on either line." in swapped.evidence
    assert swapped.door.asks == "heavier=K-1&lighter=K-2"


def suspect(low: str, high: str, sure: Sure, *, booked: bool = False) -> Suspect:
    case = next(one for one in CASES if one["case"] == "a can that was not found")
    (one,) = suspects_of(facts_of(case))
    return Suspect("x", "x.", grams(low), grams(high), sure, one.do, one.door, booked=booked)


def test_what_is_left_over_is_a_range_and_never_a_plug() -> None:
    # Hand-worked: -383 less what is on file, -340, is -43; u = 10: -63 to -23, and zero lies outside
    left = left_over([suspect("-340", "-340", Sure.ON_FILE)], grams("-383"), 10.0)
    assert (left.low, left.high, left.middle) == (grams("-63"), grams("-23"), grams("-43"))
    assert not left.within


def test_only_what_is_on_file_is_taken_off_the_difference() -> None:
    # Hand-worked: likely and possible take nothing off, nor does what is booked: -20 with u = 11 is -42 to +2
    some = [
        suspect("-20", "-20", Sure.LIKELY),
        suspect("-50", "50", Sure.POSSIBLE),
        suspect("-25", "-25", Sure.ON_FILE, booked=True),
    ]
    left = left_over(some, grams("-20"), 11.0)
    assert (left.low, left.high) == (grams("-42"), grams("2"))
    assert left.within


def test_a_range_leaves_nothing_of_a_difference_inside_it() -> None:
    wide = suspect("-20", "20", Sure.POSSIBLE)
    assert wide.leaves(grams("-20")) == Mass(0)
    assert wide.leaves(grams("-35")) == grams("15")
    assert wide.leaves(grams("26")) == grams("6")


def test_the_worked_period_has_its_u_and_its_score() -> None:
    # Published worked example (computed): 22 cans, 22 draws of 0.1 oz steps, 5 part cans, gain 0.3 percent of 4905 g
    u = period_u(
        cans_opened=22,
        draws=22,
        division_g=2.8349523125,
        part_cans=5,
        gain_half_width=0.003,
        gain_base_g=4905.0,
    )
    assert u == pytest.approx(13.892, abs=0.005)
    assert -77.516 / u == pytest.approx(-5.58, abs=0.01)
