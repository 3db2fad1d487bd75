"""The rules for an entry in Chromium and on the server: the same codes, sentences and sums, in both languages."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import translation
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from compliance.core.entry_rules import after, charge, look
from compliance.core.entry_tables import stage_tables, tables
from compliance.core.next_cans import next_cans
from shop.core.mass import Mass
from shop.http import say
from tests.core.entry_cases import (
    NEXT_CAN_CASES,
    SCALES,
    STYLES,
    clock,
    context,
    entry,
    pile,
    rows,
    stage_context,
    stage_fields,
    stage_rows,
)

pytestmark = pytest.mark.browser

SCRIPTS = Path(__file__).parents[2] / "compliance" / "static" / "compliance"
ASK = """cases => cases.map(({ tables, context, pile, entry }) => {
  tarebookRules.using(tables);
  const sums = tarebookRules.charge(context, pile);
  return { sums, next: tarebookNextCans(tarebookRules.after(context, pile), sums.wanted),
           found: entry && tarebookRules.look("ticket", entry, tarebookRules.after(context, pile)) };
})"""
ENTRIES = 300  # at random, in one call
AT_RANDOM = settings(
    max_examples=ENTRIES,
    deadline=None,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],  # a busy machine
)


@pytest.fixture(scope="module")
def phone(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.set_content(
        f'<script type="application/json" id="entry-rules">{json.dumps({"tables": None})}</script>'
    )
    for name in ("exact.js", "rules.js", "next_cans.js"):
        page.add_script_tag(path=SCRIPTS / name)
    yield page
    page.close()


def server(case: dict[str, Any]) -> dict[str, Any]:
    """What Python says of the same case."""
    entered, knew = case["entry"], case["context"]
    later, sums = after(knew, case["pile"]), charge(knew, case["pile"])
    found = look("ticket", entered, later) if entered else None
    return {
        "sums": sums,
        "next": next_cans(later, Mass(int(sums["wanted"])) if sums["wanted"] is not None else None),
        "found": (found and [told(one) for one in found]) or (entered and []),
    }


def told(one: Any) -> dict[str, Any]:
    return {
        "code": one.code,
        "field": one.field,
        "sentence": say(one.message),
        "weight": one.weight.value,
        "blocks": one.blocks,
    }


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_phone_says_of_every_case_what_the_server_says(phone: Page, language: str) -> None:
    asked = [*rows(), *rows(NEXT_CAN_CASES)]
    with translation.override(language):
        cases = [
            {
                "tables": tables(say),
                "context": context(row["label"]),
                "pile": pile(row),
                "entry": entry(row["entry"], row["scale"]) if row.get("entry") else None,
            }
            for row in asked
        ]
        answers = phone.evaluate(ASK, cases)
        for row, case, answer in zip(asked, cases, answers, strict=True):
            assert answer == server(case), row["case"]
            if case["entry"]:
                assert [one["code"] for one in answer["found"]] == row["codes"].split()


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_phone_says_of_a_stage_what_the_server_says(phone: Page, language: str) -> None:
    with translation.override(language):
        knew = stage_context()
        cases: list[dict[str, Any]] = [
            {
                "kind": row["kind"],
                "tables": stage_tables(row["kind"], say),
                "fields": stage_fields(row["fields"]),
            }
            for row in stage_rows()
        ]
        answers = phone.evaluate(
            """([cases, context]) => cases.map(({ kind, tables, fields }) => {
              tarebookRules.using(tables);
              return tarebookRules.look(kind, fields, context);
            })""",
            [cases, knew],
        )
        for row, case, answer in zip(stage_rows(), cases, answers, strict=True):
            assert answer == [told(one) for one in look(case["kind"], case["fields"], knew)], row["case"]
            assert [one["code"] for one in answer] == row["codes"].split()


typed = st.one_of(
    st.integers(0, 999).map(str),
    st.decimals(0, 40, places=2).map(str),
    st.builds("{} lb {} oz".format, st.integers(0, 3), st.decimals(0, 17, places=1)),
    st.text("0123456789.,:-− lbozkgtrfuid\u00a0\u2009\u017f\u212a", max_size=12),
)
entries: st.SearchStrategy[dict[str, Any]] = st.builds(
    dict,
    container=st.sampled_from(
        ["K-0312", "k312", "313", "K-0320", "K-0400", "K-0401", "K-0402", "K-0403", "K-0999"]
    ),
    what=st.sampled_from(["before", "leak test", "stays", "off", "empty"]),
    reading=typed,
    scale=st.sampled_from([*SCALES]),
    style=st.sampled_from(["bare can", *STYLES.values()]),
    from_label=st.booleans(),
    said_at=st.one_of(st.none(), st.none(), st.integers(clock("12:50"), clock("14:10"))),
    at=st.just(clock("13:30")),
    clock=st.just("13:30"),
)
labels = st.sampled_from(["", "500 g ± 20 g", "300 g ± 15 g", "500 g ± 0 g", "907 g ± 28 g"])


def test_they_agree_on_entries_that_nobody_thought_of(phone: Page) -> None:
    cases: list[dict[str, Any]] = []

    @AT_RANDOM
    @given(labels, st.lists(entries, max_size=4), entries)
    def draw(label: str, waiting: list[dict[str, Any]], entered: dict[str, Any]) -> None:
        cases.append({"context": context(label), "pile": waiting, "entry": entered})

    draw()
    whole = tables(say)
    answers = phone.evaluate(
        f"([tables, cases]) => ({ASK})(cases.map((one) => ({{ ...one, tables }})))", [whole, cases]
    )
    assert len(answers) >= ENTRIES // 2
    for case, answer in zip(cases, answers, strict=True):
        assert answer == server(case), case


gauge_texts = st.one_of(
    st.builds(
        "{} {}".format,
        st.decimals(-500, 900, places=1),
        st.sampled_from(
            ["°F", "F", "deg c", "psi", "bar", "kPa", "inHg", "micron", "% RH", "°F wet bulb", "stone"]
        ),
    ),
    st.text("0123456789.,+-−°FCcpsibar% wetbulb\u00a0\u017f\u03bc", max_size=14),
)
final_readings: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    dict.fromkeys(("vent", "inlet", "outdoor", "humidity", "low_side", "high_side"), gauge_texts)
)


def test_they_agree_on_gauges_that_nobody_thought_of(phone: Page) -> None:
    cases: list[dict[str, Any]] = []
    AT_RANDOM(given(final_readings)(lambda fields: cases.append(fields)))()
    answers = phone.evaluate(
        """([tables, cases]) => {
          tarebookRules.using(tables);
          return cases.map((fields) => tarebookRules.look("final-readings", fields, {}));
        }""",
        [stage_tables("final-readings", say), cases],
    )
    assert sum(map(len, answers)) >= ENTRIES
    for fields, answer in zip(cases, answers, strict=True):
        assert answer == [told(one) for one in look("final-readings", fields, {})], fields
