"""The sentences at the top of a usage report: what the owner reads aloud in one minute."""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.usage_account import Accounts, NewAccount, RecoveredAccount
from compliance.core.usage_report_facts import UsageReportFacts
from compliance.core.wording import both, counted, day, grams, listed, percent, short_date


def in_one_minute(facts: UsageReportFacts, sums: Accounts) -> str:
    """The whole period in a few plain sentences, one for each refrigerant."""
    begin = short_date(facts.first, facts.first, facts.last)
    lines = [f"From {begin} to {day(facts.last)} the shop serviced {counted(facts.vehicles, 'vehicle')}."]
    gases = [*(one.facts.refrigerant for one in sums.new), *(one.facts.refrigerant for one in sums.recovered)]
    lines += [_gas(gas, sums) for gas in dict.fromkeys(gases)]
    lines.append(" ".join(_besides(facts)))
    return "\n".join(lines)


def _besides(facts: UsageReportFacts) -> Iterator[str]:
    if facts.stopped_jobs:
        was = "was" if facts.stopped_jobs == 1 else "were"
        yield f"{counted(facts.stopped_jobs, 'job')} {was} stopped and not charged."
    if facts.counts:
        yield f"Counted on {listed([day(on) for on in facts.counts])}."
    else:
        yield "No count was taken."


def _gas(gas: str, sums: Accounts) -> str:
    cans = next((one for one in sums.new if one.facts.refrigerant == gas), None)
    cylinders = next((one for one in sums.recovered if one.facts.refrigerant == gas), None)
    parts = [*_used(gas, sums, cans), *_taken_out(sums, cylinders)]
    released = sums.released(gas)
    if released:
        parts.append(f"{grams(released, sums.places)} purged or released and recorded")
    if cans is not None:
        parts.append(_unexplained(sums, cans))
    return f"{gas}: {', '.join(parts)}."


def _used(gas: str, sums: Accounts, cans: NewAccount | None) -> Iterator[str]:
    jobs = cans.facts.vehicle_jobs if cans is not None else 0
    yield f"{both(sums.into_vehicles(gas), sums.places)} into {counted(jobs, 'vehicle')}"


def _taken_out(sums: Accounts, one: RecoveredAccount | None) -> Iterator[str]:
    if one is None:
        return
    yield f"{grams(one.vehicles, sums.places)} recovered in {counted(one.facts.vehicle_jobs, 'job')}"
    if one.shipped:
        yield f"{grams(one.shipped, sums.places)} shipped"


def _unexplained(sums: Accounts, one: NewAccount) -> str:
    if one.difference is None:
        return "not counted on the last day, so the difference is unknown"
    part = percent(abs(one.difference), one.facts.handled_ug)
    if one.difference > 0:
        return f"{grams(one.difference, sums.places)} more than expected ({part})"
    if one.difference == 0:
        return "no difference at the count"
    return f"{grams(-one.difference, sums.places)} unexplained ({part})"
