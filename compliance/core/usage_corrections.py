"""Correction slips in a usage report: what they moved, and what a new version of a report tells otherwise.

The account follows the book, which moves on the day of a slip; the lists of jobs follow the newest certificates, on the
days of the work. Where a slip and its job lie in different periods, the two part by exactly what the slip moved. The
lists then carry that as a line of its own, so that they still come to the account.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.paper import Note, Table
from compliance.core.usage_report_facts import CorrectionLine, JobLine, UsageReportFacts
from compliance.core.wording import GLUE, day, grams, said, sentence, short_date, signed

ROW = "Corrections"


def parted(lines: Sequence[CorrectionLine], gas: str) -> tuple[int, int, int]:
    """By how much the account is more than the lists: (into vehicles, out of vehicles, released)."""
    mine = [line for line in lines if line.refrigerant == gas]
    return (
        sum(line.charged_ug * line.here for line in mine),
        sum(line.recovered_ug * line.here for line in mine),
        sum(line.released_ug * line.here for line in mine),
    )


def corrections_table(facts: UsageReportFacts, places: int) -> Table:
    """Every slip that touches the period: old and new stand on the slip and on the certificate."""
    first, last = facts.first, facts.last
    return Table(
        "Corrections",
        ("Slip", "Job", "What", "In", "Out", "Why, who"),
        tuple(
            (
                f"{line.slip}\n{short_date(line.day, first, last)}",
                f"{line.job}\n{short_date(line.job_day, first, last)}",
                said(line.what),
                signed(line.charged_ug, places),
                signed(line.recovered_ug, places),
                f"{line.why}\n{line.by}",
            )
            for line in facts.corrections
        ),
        numeric=(3, 4),
        notes=_notes(facts.corrections),
        empty="No correction slip touches this period.",
    )


def _notes(lines: Sequence[CorrectionLine]) -> tuple[str, ...]:
    notes = (
        ["In and Out are grams that the book moved on the day of the slip, into and out of vehicles."]
        if lines
        else []
    )
    if any(line.here == 1 for line in lines):
        notes.append(
            "The account of this period holds corrections of jobs of earlier periods; the lists name them."
        )
    if any(line.here == -1 for line in lines):
        notes.append(
            "Jobs of this period were corrected later. Their lines are as corrected; the account is as the book stood,"
            " and the book moved on the day of the slip."
        )
    return tuple(notes)


def changed_note(facts: UsageReportFacts) -> Iterator[Note]:
    """What a new version tells otherwise than the one it replaces."""
    if facts.replaces:
        yield Note("\n".join(facts.changed) or "No figure and no line.", "Changed since the version before")


def changes(old: UsageReportFacts, new: UsageReportFacts) -> tuple[str, ...]:
    """The lines and figures that are not what they were, in words."""
    before = {line.job: line for line in old.jobs}
    found = [text for line in new.jobs for text in _job(before.get(line.job), line)]
    known = {(line.slip, line.what) for line in old.corrections}
    slips = [line for line in new.corrections if (line.slip, line.what) not in known]
    found += [
        f"Slip {line.slip} of {day(line.day)}: {line.job}, {line.what}. {sentence(line.why)}"
        for line in slips
    ]
    accounts = {one.refrigerant: one for one in old.new}
    for one in new.new:
        was = accounts.get(one.refrigerant)
        if was is not None and (was.expected_ug, was.counted_ug) != (one.expected_ug, one.counted_ug):
            found.append(f"{one.refrigerant}: expected {grams(was.expected_ug)} → {grams(one.expected_ug)}.")
    if old.purchases != new.purchases:
        found.append("Purchases: lines were added or put right.")
    return tuple(found)


def _job(was: JobLine | None, now: JobLine) -> Iterator[str]:
    if was is None:
        yield f"{now.job} was added."
        return
    parts = []
    for name, old, new in (
        ("in", was.charged_ug, now.charged_ug),
        ("out", was.recovered_ug, now.recovered_ug),
        ("label", was.label_ug, now.label_ug),
    ):
        if old != new:
            parts.append(f"{name} {_grams(old)} → {_grams(new)}")
    for before, after in ((was.vehicle, now.vehicle), (was.leak, now.leak), (was.technician, now.technician)):
        if before != after:
            parts.append(f"{said(before)} → {said(after)}")
    if was.certificate != now.certificate:
        parts.append(f"{was.certificate.replace(' ', GLUE)} → {now.certificate.replace(' ', GLUE)}")
    if parts:
        yield f"{now.job}: {'; '.join(parts)}."


def _grams(ug: int | None) -> str:
    return "none" if ug is None else grams(ug, 0 if ug % 1_000_000 == 0 else 1)
