"""The rules for an entry as a page takes them along, held to cases worked by hand."""

from __future__ import annotations

import json

import pytest

from compliance.core.charge_rules import BESIDE, GATES, SAID, TERMS
from compliance.core.entry_rules import after, charge, look
from compliance.core.entry_tables import tables
from compliance.core.next_cans import next_cans
from compliance.core.stage_rules import STAGES
from inventory.core import weighing_rules
from shop.core.mass import Mass
from shop.core.rule_rows import OPERATORS, Expression, Row
from tests.core.entry_cases import (
    NEXT_CAN_CASES,
    context,
    entry,
    pile,
    rows,
    stage_context,
    stage_fields,
    stage_rows,
    told_takes,
)

FACTS = {
    "can", "number", "unit", "reading", "gross", "division", "style", "origin", "places", "net", "shell", "spread",
    "before", "before_division", "before_style", "before_origin", "before_reading", "first", "sealed", "since",
    "on_job", "on", "moment", "seal", "said_at", "earlier", "now", "in_car", "label", "tolerance", "stop", "other",
    "other_since", "other_reading", "drawn",
}  # fmt: skip
CASES = rows()


@pytest.mark.parametrize("row", CASES, ids=[row["case"] for row in CASES])
def test_every_entry_is_judged_as_it_was_by_hand(row: dict[str, str]) -> None:
    knew = context(row["label"])
    if row["entry"]:
        found = look("ticket", entry(row["entry"], row["scale"]), after(knew, pile(row)))
        assert [one.code for one in found] == row["codes"].split()
    if row["out"]:
        sums = charge(knew, pile(row))
        told = (sums["out"], sums["inCar"], sums["toGo"] or "", sums["stop"] or "")
        assert told == (row["out"], row["in_car"], row["to_go"], row["stop"])


def test_there_are_cases_on_both_sides_and_every_rule_has_one() -> None:
    asked = {code for row in CASES for code in row["codes"].split()}
    rules = {row.code for row in (*GATES, *SAID, *weighing_rules.TICKET, *BESIDE)}
    assert rules <= asked
    assert len(CASES) >= 60


TURNS = rows(NEXT_CAN_CASES)


@pytest.mark.parametrize("row", TURNS, ids=[row["case"] for row in TURNS])
def test_the_next_cans_are_those_of_the_cases_worked_by_hand(row: dict[str, str]) -> None:
    knew, waiting = context(row["label"]), pile(row)
    wanted = charge(knew, waiting)["wanted"]
    found = next_cans(after(knew, waiting), Mass(int(wanted)) if wanted is not None else None)
    assert (found["first"], told_takes(found["takes"])) == (row["first"], row["takes"])


STAGE_CASES = stage_rows()


@pytest.mark.parametrize("row", STAGE_CASES, ids=[f"{row['kind']}: {row['case']}" for row in STAGE_CASES])
def test_every_field_of_a_stage_is_judged_as_it_was_by_hand(row: dict[str, str]) -> None:
    found = look(row["kind"], stage_fields(row["fields"]), stage_context())
    assert [one.code for one in found] == row["codes"].split()


def test_every_rule_of_a_stage_has_a_case() -> None:
    asked = {code for row in STAGE_CASES for code in row["codes"].split()}
    assert {row.code for rules in STAGES.values() for row in rules} <= asked


def names(said: Expression) -> set[str]:
    """The names that an expression asks for; what follows ``is`` is text."""
    if isinstance(said, str):
        return set() if said[0] in "-0123456789" else {said}
    operator, *arguments = said
    assert operator in OPERATORS
    return set().union(*(names(one) for one in (arguments[:1] if operator == "is" else arguments)))


@pytest.mark.parametrize(
    ("rules", "terms"),
    [(weighing_rules.TICKET, weighing_rules.TERMS), ((*GATES, *SAID, *BESIDE), TERMS)],
    ids=["a can", "the car"],
)
def test_a_rule_asks_for_nothing_that_nobody_tells_it(
    rules: tuple[Row, ...], terms: dict[str, Expression]
) -> None:
    asked = set().union(*(names(one) for one in terms.values()))
    for row in rules:
        asked |= names(row.when).union(*(names(one) for one in row.values.values()))
    assert asked <= FACTS | set(terms)


def test_the_tables_are_plain_and_small() -> None:
    assert len(json.dumps(tables(str), ensure_ascii=False, separators=(",", ":"))) < 9_000
