"""The two accounts of a usage report as tables, refrigerants side by side: a figure, and beside it what it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from typing import TypeVar

from compliance.core.paper import Table
from compliance.core.usage_account import Accounts, NewAccount, RecoveredAccount
from compliance.core.usage_corrections import parted
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.core.wording import GLUE, MINUS, counted, day, ounces, percent, said, signed

SIDE_BY_SIDE = 3  # refrigerants in one table; more get a table each
NEW = "New refrigerant, in cans"
RECOVERED = "Recovered refrigerant, in cylinders"
UNKNOWN = ("unknown", "")
Row = tuple[str, ...]
Cell = tuple[str, str]  # a figure in grams, and what it is made of
One = TypeVar("One", NewAccount, RecoveredAccount)


def account_tables(facts: UsageReportFacts, sums: Accounts) -> Iterator[Table]:
    """Where new refrigerant came from and went, and the same for what was recovered."""
    for group in _side_by_side(sums.new):
        yield _table(NEW, group, _new_rows(facts, sums, group))
    for cylinders in _side_by_side(sums.recovered):
        yield _table(RECOVERED, cylinders, _recovered_rows(facts, sums, cylinders))


def _side_by_side(items: tuple[One, ...]) -> list[tuple[One, ...]]:
    return [items] if len(items) <= SIDE_BY_SIDE else [(item,) for item in items]


def _table(title: str, group: Sequence[NewAccount | RecoveredAccount], rows: Iterator[Row]) -> Table:
    columns = ["Grams"]
    for one in group:
        columns += [one.facts.refrigerant, ""]
    kept = tuple(rows) if group else ()
    return Table(
        title,
        tuple(columns),
        kept,
        numeric=tuple(range(1, len(columns), 2)),
        strong=tuple(place for place, row in enumerate(kept) if row[0].startswith(("=", "Difference"))),
        empty="None in this period.",
    )


def _row(name: str, group: Sequence[One], cell: Callable[[One], Cell]) -> Row:
    return (name, *(part for one in group for part in cell(one)))


def _plain(name: str, group: Sequence[One], figure: Callable[[One], str]) -> Row:
    return _row(name, group, lambda one: (figure(one), ""))


# --- Cans


def _new_rows(facts: UsageReportFacts, sums: Accounts, group: Sequence[NewAccount]) -> Iterator[Row]:
    last, n = day(facts.last), sums.number
    there = "Counted" if all(one.facts.opening_basis.startswith("count") for one in group) else "On hand"
    yield _row(f"{there} {_day_before(facts.first)}", group, lambda one: (n(one.opening), _opening(one)))
    yield _row(
        "+ Received, label weight", group, lambda one: (n(one.received), _cans(one.facts.received_cans))
    )
    if any(one.facts.refused_cans for one in group):
        yield _row("   refused, not counted in", group, lambda one: ("", _cans(one.facts.refused_cans)))
    if any(one.facts.lost_before_ug for one in group):
        yield _row("   gone before our work, not in", group, lambda one: _lost_before(sums, one))
    if any(one.damaged for one in group):
        yield _plain(f"{MINUS} Refused later, came damaged", group, lambda one: n(-one.damaged))
    yield _row("+ Fill difference", group, lambda one: _fill(sums, one))
    yield _row(
        f"{MINUS} Into vehicles", group, lambda one: (n(one.vehicles), counted(one.facts.vehicle_jobs, "job"))
    )
    if any(_corrected(facts, one) for one in group):
        yield _row("   of it by corrections", group, lambda one: ("", _corrected(facts, one)))
    yield _plain(f"{MINUS} Left in the hoses", group, lambda one: n(one.hoses))
    if any(one.back for one in group):
        yield _plain(f"{MINUS} Recovered back", group, lambda one: n(one.back))
    yield _plain(f"{MINUS} Heels moved to cylinders", group, lambda one: n(one.heels))
    yield _row(f"{MINUS} Purged or released", group, lambda one: _released(sums, one))
    if any(one.returned for one in group):
        yield _plain(f"{MINUS} Returned to suppliers", group, lambda one: n(one.returned))
    yield _row(f"= Expected {last}", group, lambda one: (n(one.expected), ounces(one.expected)))
    yield _row(f"Counted {last}", group, lambda one: _counted(sums, one))
    yield _row("Difference", group, lambda one: _difference(sums, one))
    yield _row("On hand + received", group, lambda one: _handled(sums, one))
    gave = any(one.facts.given_back_cans for one in group)
    yield _row(f"Cans: had + got {MINUS} {'gone' if gave else 'emptied'}", group, _can_count)


def _cans(cans: int) -> str:
    return counted(cans, "can")


def _opening(one: NewAccount) -> str:
    facts = one.facts
    if facts.opening_basis.startswith("count"):
        return _sealed_open(facts.opening_sealed, facts.opening_open)
    return said(facts.opening_basis)


def _corrected(facts: UsageReportFacts, one: NewAccount) -> str:
    """What correction slips about jobs of earlier periods moved in this one; it is in the figure above."""
    mine = [line for line in facts.corrections if line.here == 1]
    moved = parted(mine, one.facts.refrigerant)[0]
    return f"{signed(moved, 0 if moved % 1_000_000 == 0 else 1)}{GLUE}g, earlier jobs" if moved else ""


def _lost_before(sums: Accounts, one: NewAccount) -> Cell:
    """What damaged cans had lost when they came: said beside the column, since it is in none of its sums."""
    lost = one.facts.lost_before_ug
    return "", f"{sums.number(lost)}{GLUE}g out of damaged cans" if lost else ""


def _fill(sums: Accounts, one: NewAccount) -> Cell:
    return signed(one.fill, sums.places), _cans(one.facts.fill_cans) if one.facts.fill_cans else ""


def _released(sums: Accounts, one: NewAccount) -> Cell:
    events = one.facts.released_events
    return sums.number(one.released), counted(events, "release") if events else ""


def _counted(sums: Accounts, one: NewAccount) -> Cell:
    facts = one.facts
    if one.counted is None:
        return "unknown", "not counted"
    return sums.number(one.counted), _sealed_open(facts.counted_sealed, facts.counted_open)


def _difference(sums: Accounts, one: NewAccount) -> Cell:
    if one.difference is None:
        return UNKNOWN
    return signed(one.difference, sums.places), f"{percent(one.difference, one.expected)} of expected"


def _handled(sums: Accounts, one: NewAccount) -> Cell:
    handled = one.opening + one.received
    if one.difference is None:
        return sums.number(handled), ""
    return sums.number(handled), f"difference {percent(one.difference, handled)} of it"


def _can_count(one: NewAccount) -> Cell:
    """Whether the cans themselves add up: there, plus accepted, less emptied, is what was found."""
    facts = one.facts
    if not facts.opening_basis.startswith("count") or facts.counted_ug is None:
        return UNKNOWN
    there = facts.opening_sealed + facts.opening_open
    gone = facts.emptied_cans + facts.given_back_cans
    left = there + facts.received_cans - gone
    found = facts.counted_sealed + facts.counted_open
    line = f"{there} + {facts.received_cans} {MINUS} {gone}".replace(" ", GLUE)
    return f"{left}", f"{line}; {'■ as found' if left == found else f'▲ found {found}'}"


def _sealed_open(sealed: int, opened: int) -> str:
    return f"{sealed} sealed" + (f", {opened} open" if opened else "")


# --- Cylinders


def _recovered_rows(
    facts: UsageReportFacts, sums: Accounts, group: Sequence[RecoveredAccount]
) -> Iterator[Row]:
    last, n = day(facts.last), sums.number
    yield _plain(f"In cylinders {_day_before(facts.first)}", group, lambda one: n(one.opening))
    yield _row(
        "+ From vehicles", group, lambda one: (n(one.vehicles), counted(one.facts.vehicle_jobs, "job"))
    )
    if any(one.back for one in group):
        yield _plain("+ Recovered back", group, lambda one: n(one.back))
    yield _plain("+ Heels of cans", group, lambda one: n(one.heels))
    yield _plain(f"{MINUS} Recycled here and charged", group, lambda one: n(one.charged))
    yield _plain(f"{MINUS} Shipped to a facility", group, lambda one: n(one.shipped))
    yield _plain(f"{MINUS} Released", group, lambda one: n(one.released))
    yield _row(f"= Expected {last}", group, lambda one: (n(one.expected), ounces(one.expected)))
    yield _plain(f"Weighed {last}", group, lambda one: "unknown" if one.weighed is None else n(one.weighed))
    yield _row("Difference", group, lambda one: _away(sums, one))


def _away(sums: Accounts, one: RecoveredAccount) -> Cell:
    if one.difference is None:
        return UNKNOWN
    return signed(one.difference, sums.places), f"{percent(one.difference, one.expected)} of expected"


def _day_before(iso: str) -> str:
    return day((date.fromisoformat(iso) - timedelta(days=1)).isoformat())
