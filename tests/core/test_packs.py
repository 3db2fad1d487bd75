"""Rule packs: what a pack may say, which line is wrong when it is something else, how packs lie over each other."""

from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.packs import BadPack, Pack, Problem, Status, loosened, read_pack, read_places, stack
from compliance.core.packs.words import STATES

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "compliance" / "rule_packs"
GOOD = """[pack]
id = "us-zz"
edition = "2026-11"
level = "state"
title = "Sample State"
parent = "us"
from = 2026-01-01
to = 2026-12-31
read_on = 2026-11-25

[[rule]]
code = "zz-keep"
kind = "retention"
records = ["job papers"]
years = 4
counted_from = "the day of the job"
sentence = "Papers are kept for four years."
cite = "Sample Code 1"
status = "read"
read_at = "the sample library"
read_on = 2026-11-25
severity = "info"
moment = "keeping"

[[rule]]
code = "zz-leak"
kind = "gate"
needs = "leak-answered"
sentence = "No charge into a leak."
cite = "Sample Code 2"
status = "memory"
severity = "warns"
moment = "charge"
"""


def on_file() -> list[Pack]:
    return [read_pack(path.read_text("utf-8")) for path in sorted(FOLDER.glob("us*.toml"))]


def line_of(text: str, part: str) -> int:
    return next(at for at, row in enumerate(text.splitlines(), 1) if part in row)


def wrong(text: str) -> list[str]:
    with pytest.raises(BadPack) as bad:
        read_pack(text)
    return [str(one) for one in bad.value.problems]


def test_a_pack_is_read_with_its_rules_their_values_and_their_lines() -> None:
    pack = read_pack(GOOD)
    keep, leak = pack.rules
    assert (pack.name, pack.key, pack.covers(date(2026, 12, 31)), pack.covers(date(2027, 1, 1))) == (
        "Sample State 2026-11",
        "us-zz-2026-11",
        True,
        False,
    )
    assert (keep.number("years"), keep.texts("records"), keep.line) == (4, ("job papers",), 11)
    assert (leak.status, leak.text("needs"), leak.line) == (Status.MEMORY, "leak-answered", 25)
    assert len(pack.sha256) == 64


@pytest.mark.parametrize(
    ("was", "now", "where", "why"),
    [
        ('kind = "gate"', 'kind = "fence"', 'kind = "fence"', "cannot be"),
        ('cite = "Sample Code 2"\n', "", 'code = "zz-leak"', '"cite" is missing'),
        ('cite = "Sample Code 2"', 'cite = " "', 'cite = " "', "a text that is not empty"),
        (
            'status = "memory"\nseverity = "warns"',
            'status = "memory"\nseverity = "blocks"',
            'severity = "blocks"',
            "never block",
        ),
        (
            'status = "memory"\nseverity = "warns"',
            'status = "secondary"\nseverity = "blocks"',
            'severity = "blocks"',
            "second-hand",
        ),
        ("to = 2026-12-31", "to = 2025-12-31", "to = 2025-12-31", "before it begins"),
        ('code = "zz-leak"', 'code = "zz-keep"', None, "stands on line 12 already"),
        ('code = "zz-leak"', 'code = "Leak"', 'code = "Leak"', "is no code"),
        ("years = 4", "years = 0", "years = 0", "from 1 to 100"),
        ("years = 4", 'years = "4"', 'years = "4"', "whole number"),
        ("from = 2026-01-01", 'from = "2026-01-01"', 'from = "2026-01-01"', "without quotes"),
        ('needs = "leak-answered"', 'needs = "luck"', 'needs = "luck"', "it is one of"),
        ('needs = "leak-answered"\n', "", 'code = "zz-leak"', '"needs" is missing'),
        ('level = "state"', 'level = "county"', 'level = "county"', "federal, state, local"),
        ('moment = "charge"', 'moment = "charge"\ncolour = "red"', "colour", 'no key "colour"'),
        ('read_at = "the sample library"\n', "", 'status = "read"', "says where and when"),
        ('parent = "us"\n', "", "[pack]", "names the pack that it narrows"),
        ('records = ["job papers"]', 'records = ["gossip"]', "gossip", "it is one of"),
    ],
)
def test_a_pack_that_is_wrong_is_refused_with_the_line(
    was: str, now: str, where: str | None, why: str
) -> None:
    text = GOOD.replace(was, now, 1)
    assert text != GOOD
    (said,) = wrong(text)
    line = line_of(text, where) if where else line_of(text, "zz-keep") + 14
    if where and where.startswith("code") and "missing" in why:
        line -= 1  # what is missing is missed at the head of its rule
    assert said.startswith(f"line {line}: "), said
    assert why in said


def test_a_text_that_is_no_toml_names_its_line() -> None:
    text = GOOD.replace('level = "state"', "level = state", 1)
    (said,) = wrong(text)
    assert said.startswith(f"line {line_of(text, 'level =')}: this is not TOML")


def test_everything_that_is_wrong_is_said_at_once() -> None:
    text = GOOD.replace("years = 4", "years = 0").replace('level = "state"', 'level = "county"')
    assert len(wrong(text)) == 2


@pytest.mark.parametrize(
    "text", ["", "rule = 1", "[rule]\ncode = 1", "[pack]\n", "[pack]\nid = 1\n[other]\n"]
)
def test_what_is_no_pack_at_all_is_refused(text: str) -> None:
    assert wrong(text)


@given(st.data())
def test_whatever_is_cut_out_or_put_in_a_pack_comes_back_or_its_line_is_said(data: st.DataObject) -> None:
    rows = GOOD.splitlines()
    at = data.draw(st.integers(0, len(rows) - 1))
    strange = st.sampled_from(
        ["", "x", "= 1", "[[rule]]", "[rule]", 'code = ["a"]', "kind = 1", "years = 1.5"]
    )
    rows[at] = data.draw(st.one_of(strange, st.text(max_size=12), st.sampled_from(rows)))
    read = read_or_wrong("\n".join(rows))
    if isinstance(read, Pack):
        assert len(read.rules) in (1, 2)
    else:
        assert read
        assert all(1 <= one.line <= len(rows) + 1 for one in read)


def read_or_wrong(text: str) -> Pack | tuple[Problem, ...]:
    try:
        return read_pack(text)
    except BadPack as bad:
        return bad.problems


@pytest.mark.parametrize("text", ["place = 1", "place = [1]", "[place]\ncode = 1", "[[place]]\ncode = 1"])
def test_a_list_of_states_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(BadPack):
        read_places(text)


def child(**changes: str) -> Pack:
    text = GOOD.replace('id = "us-zz"', 'id = "us-zz-town"').replace('level = "state"', 'level = "local"')
    text = text.replace('"zz-', '"zt-').replace('parent = "us"', 'parent = "us-zz"')
    text = text.replace('code = "zt-keep"', 'code = "zt-keep"\ntightens = "zz-keep"')
    for was, now in changes.items():
        text = text.replace(was.replace("_", " "), now)
    return read_pack(text)


@pytest.mark.parametrize(
    ("was", "now", "why"),
    [
        ("years = 4", "years = 3", "3 years, where that one asks for 4"),
        ('severity = "info"', 'severity = "info"\nrefrigerants = ["R-134a"]', "leaves out some refrigerants"),
        ('records = ["job papers"]', 'records = ["cards"]', "leaves out job papers"),
        ('tightens = "zz-keep"', 'tightens = "zz-nothing"', "no wider pack has that rule"),
        ('tightens = "zz-keep"', 'tightens = "zz-leak"', "not a retention"),
    ],
)
def test_a_narrower_pack_that_asks_for_less_is_found_with_its_line(was: str, now: str, why: str) -> None:
    town = child(**{was: now})
    (problem,) = loosened(town, [read_pack(GOOD)])
    assert why in problem.message
    assert problem.line == 11


def test_a_narrower_pack_that_asks_for_more_takes_the_place_of_the_wider_rule() -> None:
    state, town = read_pack(GOOD), child(**{"years = 4": "years = 6"})
    assert loosened(town, [state]) == []
    together = stack([state, town], ["us-zz", "us-zz-town"], date(2026, 6, 1))
    assert [one.rule.code for one in together.layers] == ["zz-leak", "zt-keep", "zt-leak"]
    assert together.keep("job papers", 3).years == 6


def test_a_pack_that_narrows_a_pack_which_is_not_there_is_found_with_its_line() -> None:
    (problem,) = loosened(read_pack(GOOD), [])
    assert str(problem) == f'line {line_of(GOOD, "parent")}: there is no wider pack "us" on file'


def test_a_chosen_pack_without_an_edition_for_the_day_is_named() -> None:
    assert stack([read_pack(GOOD)], ["us-zz"], date(2027, 1, 1)).missing == ("us-zz",)


def test_every_pack_on_file_is_a_pack_and_loosens_nothing() -> None:
    packs = on_file()
    assert {"us", "us-ca", "us-wi", "us-wa", "us-fl", "us-vt", "us-mi", "us-ny", "us-ct", "us-ca-bay"} == {
        pack.id for pack in packs
    }
    assert [problem for pack in packs for problem in loosened(pack, packs)] == []
    assert len({pack.key for pack in packs}) == len(packs)
    assert {pack.key + ".toml" for pack in packs} == {path.name for path in FOLDER.glob("us*.toml")}


def test_two_editions_of_one_pack_never_hold_on_the_same_day() -> None:
    packs = on_file()
    both = [
        (one.key, other.key)
        for one in packs
        for other in packs
        if one.id == other.id and one.since < other.since and (one.until is None or one.until >= other.since)
    ]
    assert both == []


def test_a_code_means_one_rule_within_one_jurisdiction() -> None:
    owners: dict[str, set[str]] = {}
    for pack in on_file():
        for rule in pack.rules:
            owners.setdefault(rule.code, set()).add(pack.id)
    assert {code: ids for code, ids in owners.items() if len(ids) > 1} == {}


def test_no_rule_that_nobody_read_blocks() -> None:
    unread = [rule for pack in on_file() for rule in pack.rules if rule.status is not Status.READ]
    assert len(unread) > 5
    assert [rule.code for rule in unread if rule.severity == "blocks"] == []


def test_the_states_where_nothing_was_found_are_states_without_a_pack() -> None:
    places = read_places((FOLDER / "nothing-found.toml").read_text("utf-8"))
    ids = {pack.id for pack in on_file()}
    assert all(STATES[place.code] == place.name and place.looked_on for place in places)
    assert [place.code for place in places if f"us-{place.code.lower()}" in ids] == []
    assert len(STATES) == 51  # fifty and the District of Columbia


with (ROOT / "fixtures" / "pack_cases.csv").open(encoding="utf-8", newline="") as sheet:
    CASES = list(csv.DictReader(sheet))


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_packs_lie_over_each_other_as_worked_by_hand(case: dict[str, str]) -> None:
    asked = stack(on_file(), case["packs"].split(), date.fromisoformat(case["day"]))
    what, _, rest = case["question"].partition(" ")
    if what == "keep":
        record, _, years = rest.rpartition(" ")
        kept = asked.keep(record, int(years))
        assert (str(kept.years), kept.layer.asked_by if kept.layer else "Shop rule") == (
            case["answer"],
            case["asked_by"],
        )
    elif what == "gate":
        found = [one for one in asked.gates() if one.rule.text("needs") == rest]
        assert [(one.rule.severity.value, one.asked_by) for one in found] == (
            [] if case["answer"] == "none" else [(case["answer"], case["asked_by"])]
        )
    elif what == "supply":
        layer = asked.for_car("R-134a", "car or light truck").supply(Decimal(rest))
        assert layer is not None
        assert (layer.rule.text("verdict"), layer.asked_by) == (case["answer"], case["asked_by"])
    elif what == "rule":
        assert ("yes" if rest in {one.rule.code for one in asked.layers} else "no") == case["answer"]
    else:
        assert ", ".join(asked.names()) == case["answer"]
