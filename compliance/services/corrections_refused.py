"""What stands against a correction slip: who signs, what is typed, and what was written since that stands on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compliance.core.label import charge_problems, tolerance_problems
from compliance.core.stages import NEED_A_CARD
from compliance.models import Closing, Job
from compliance.queries.correcting import in_the_way, next_weighing
from compliance.queries.corrections import UNITS
from compliance.queries.doers import DoerSpot
from compliance.queries.facts import local
from compliance.queries.sheets import Sheet
from compliance.queries.spots import Spot
from inventory.queries import as_put_right
from shop.core.days import said_day
from shop.core.findings import Finding, blocked
from shop.core.mass import ZERO, Unit, grams
from shop.core.phrase import phrase
from shop.core.reading import read_mass
from shop.models import Person
from shop.queries import work_day

MOST_LOST = {"hoses": 60, "purge": 50, "released": 3000}  # grams, as at the charge itself


def slip_problems(
    job: Job, closing: Closing | None, keys: Sequence[str], *, why: str, by: Person
) -> Iterator[Finding]:
    if closing is None:
        sentence = phrase("{job} is open. Put it right on its own pages.", job=job.number)
        yield blocked("job-open", sentence)
    if not by.is_owner:
        yield blocked("correction-owner", phrase("Only the owner signs a correction slip."))
    if len(why.strip()) < 3:
        yield blocked("why-empty", phrase("Say what happened, in a few words."), "why")
    if not keys:
        yield blocked("nothing-chosen", phrase("Choose at least one thing that is wrong."))
    if len(set(keys)) < len(keys):
        yield blocked("chosen-twice", phrase("One thing is on this slip twice."))


def change_problems(spot: Spot | None, key: str, old: str, text: str, unit: str) -> Iterator[Finding]:
    """About one thing, beside its own field."""
    if spot is None:
        yield blocked("no-such-thing", phrase("This is not on the job. Choose again what is wrong."), key)
        return
    if old != spot.shown:
        sentence = phrase(
            "This was corrected meanwhile; it reads {now} now. Look at it again.", now=spot.shown or "–"
        )
        yield blocked("corrected-meanwhile", sentence, key)
    yield from _typed_problems(spot, text.strip(), unit)


def _typed_problems(spot: Spot, text: str, unit: str) -> Iterator[Finding]:
    if not text and spot.never_empty:
        yield blocked("field-empty", phrase("Type what should stand there."), spot.key)
        return
    if len(text) > spot.most:
        yield blocked("field-long", phrase("At most {most} characters.", most=spot.most), spot.key)
        return
    if spot.answers and text not in spot.answers:
        yield blocked("field-choice", phrase("Choose one of the answers."), spot.key)
        return
    if spot.kind in ("mass", "exact") and text:
        yield from _mass_typed(spot, text, unit)
        return
    if spot.kind == "whole" and not (text.isascii() and text.isdecimal() and int(text) <= 600):
        yield blocked("field-whole", phrase("Type whole minutes, 0 to 600."), spot.key)
        return
    if text == spot.text:
        yield _same(spot)


def _mass_typed(spot: Spot, text: str, unit: str) -> Iterator[Finding]:
    if unit not in [one.value for one in UNITS]:
        yield blocked("field-unit", phrase("Choose the unit."), spot.key)
        return
    division = spot.ticket.division if spot.ticket is not None else None
    reading, found = read_mass(text, Unit(unit), division=division, field=spot.key)
    yield from (one for one in found if reading is None)
    if reading is None:
        return
    if spot.kind == "exact" and reading.mass > grams(MOST_LOST[spot.attr]):
        yield blocked("loss-absurd", phrase("Type 0 to {most} g.", most=MOST_LOST[spot.attr]), spot.key)
    if spot.kind == "mass" and spot.attr != "tolerance" and reading.mass <= ZERO:
        yield blocked("weighs-nothing", phrase("It weighs more than nothing."), spot.key)
    if str(reading) == spot.shown or (spot.kind == "exact" and reading.mass == getattr(spot.row, spot.attr)):
        yield _same(spot)


def _same(spot: Spot) -> Finding:
    return blocked("nothing-changed", phrase("It reads so already."), spot.key)


def label_problems(sheet: Sheet, changed: Sequence[Spot]) -> Iterator[Finding]:
    """A label that was not typed at check-in is said whole: what it asks for, and where that was read. What is typed
    has to be what a label can ask for, as at check-in."""
    label = sheet.label
    mine = {spot.key: spot for spot in changed if spot.row is label}
    if label is None or not mine:
        return
    if label.charge <= ZERO:
        yield blocked("label-charge", phrase("Say also what the label asks for."), next(iter(mine)))
    if not label.source:
        yield blocked("label-source", phrase("Say also where that was read."), next(iter(mine)))
    if "label-charge" in mine:
        yield from charge_problems(label.charge, mine["label-charge"].shown, "label-charge")
    if "label-tolerance" in mine and label.tolerance_text:
        yield from tolerance_problems(label.tolerance, "label-tolerance")


def doer_problems(sheet: Sheet, changed: Sequence[Spot]) -> Iterator[Finding]:
    """Whoever is put at a stage had a card in force and was authorised; the closing asks that of the last pass only."""
    for spot in changed:
        person = spot.stands()[0] if isinstance(spot, DoerSpot) else None
        if person is not None and spot.row.kind in NEED_A_CARD:
            day = local(sheet.job.establishment, spot.row.at).date()
            for found in work_day(person, day).findings:
                yield blocked(found.code, found.message, spot.key, found.basis)


def mass_problems(sheet: Sheet, closing: Closing, changed: Sequence[Spot]) -> Iterator[Finding]:
    """What was written since and stands on these weights."""
    if not any(spot.moves_mass for spot in changed):
        return
    kept = sheet.charge
    if kept is not None and kept.released > ZERO and not kept.released_why.strip():
        yield blocked("released-why", phrase("Say also why it was released."), "charge-released")
    tickets = [spot for spot in changed if spot.ticket is not None]
    for spot in tickets:
        yield from _next_disagrees(spot, sheet)
    codes = [spot.ticket.container_id for spot in tickets if spot.ticket is not None]
    if any(
        spot.ticket is None for spot in changed
    ):  # hoses or releases may be poured from any can of the job
        codes += [can.container.code for can in sheet.cans]
    for one in in_the_way(closing, sorted(set(codes))):
        day = local(sheet.job.establishment, one.at)
        sentence = phrase(
            "{container}: {text}, {day}, stands on what this job left in it, so its weights stay. Say in the why of a"
            " slip about something else what they should have been.",
            container=one.container,
            text=one.text,
            day=said_day(day),
        )
        yield blocked("stands-on-it", sentence)


def _next_disagrees(spot: Spot, sheet: Sheet) -> Iterator[Finding]:
    """The next weighing of the same container has to bear the new reading at least as well as the old one."""
    ticket = spot.ticket
    later = next_weighing(ticket, sheet.job) if ticket is not None else None
    if ticket is None or later is None or not _is_last_here(spot, sheet):
        return
    stood = type(ticket).objects.get(pk=ticket.pk)
    as_put_right([stood])
    was = stood.gross
    if abs(later.gross - ticket.gross) <= max(abs(later.gross - was), ticket.division * 3):
        return
    when = local(sheet.job.establishment, later.at)
    sentence = phrase(
        "{container} weighed {later} on {day}, ticket {number}. That stands on {old}, not on {new}. Read both again.",
        container=ticket.container_id,
        later=later.reading,
        day=said_day(when),
        number=later.number,
        old=f"{was.rounded(Unit.G, 1).normalize():f} g",
        new=ticket.reading,
    )
    yield blocked("next-weighing", sentence, spot.key)


def _is_last_here(spot: Spot, sheet: Sheet) -> bool:
    """Whether nothing of this job was weighed on that container afterwards."""
    assert spot.ticket is not None  # noqa: S101 - asked by the caller
    own = [row.ticket for can in sheet.cans for row in can.tickets[-1:]]
    own += [one.after for one in sheet.recoveries]
    return any(one.pk == spot.ticket.pk for one in own)
