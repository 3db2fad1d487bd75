"""What the owner has to look at: equipment statements, copies of cards that were to follow, suppliers to be told,
signed reports that a correction passed by, holds, and programs that took no letter."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.db.models import OuterRef, Subquery
from django.urls import reverse

from compliance.core.packs import Kind, Layer
from compliance.core.wording import sentence
from compliance.models import Correction, UsageReport
from compliance.queries.attention_office import MOST, Ask
from compliance.queries.card_copies import holdings
from compliance.queries.facts import local
from compliance.queries.holds import running
from compliance.queries.packs import rules_asked
from compliance.queries.statements import MachineLine, overview
from shop.core.days import said_day
from shop.core.phrase import joined, phrase, word
from shop.models import Card, Establishment, Person
from shop.queries import listeners

STATEMENT = "us-equipment-statement"  # the one report whose sending is on file here


def owner_asks(establishment: Establishment, day: date, person: Person) -> Iterator[Ask]:
    if not person.is_owner:
        return
    yield from statement_asks(establishment, day)
    yield from report_asks(establishment, day)
    yield from _copies(establishment, day)
    yield from _to_be_told(establishment)
    yield from _reports_passed_by(establishment)
    yield from _held(establishment)
    yield from _dead_letters(establishment)


def statement_asks(establishment: Establishment, day: date) -> Iterator[Ask]:
    """Machines without a statement, statements that were never sent, a new owner who has signed none."""
    seen = overview(establishment, day)
    page, make = reverse("statements:list"), reverse("statements:new")
    if seen.due is not None and seen.change is not None:
        text = phrase(
            "{name} is the owner since {on:%b} {on_day} and has signed no equipment statement; {due:%b} {due_day} is"
            " thirty days, from memory.",
            name=seen.change.owner.name,
            on=seen.change.on,
            on_day=seen.change.on.day,
            due=seen.due,
            due_day=seen.due.day,
        )
        yield Ask(
            "look", text, make + "?why=new+owner", phrase("Make it"), f"statement of a new owner {seen.due}"
        )
    mine = [line for line in seen.machines if line.in_service]
    unsent = [line.machine.code for line in mine if line.signed is not None and line.signed.sent is None]
    none = [line.machine.code for line in mine if line.signed is None and not line.earlier]
    basis = [] if any(_covered(line) for line in mine) else _statement_basis(establishment, day)
    if unsent:
        told = phrase("{machines}: statement signed, not sent.", machines=", ".join(unsent))
        said = joined(" ", [told, *basis])
        yield Ask("look", said, page, phrase("Look"), f"statement not sent: {', '.join(unsent)}"[:120])
    if none:
        told = phrase("{machines}: no equipment statement is on file.", machines=", ".join(none))
        said = joined(" ", [told, *basis])
        yield Ask("look", said, make, phrase("Make it"), f"statement missing: {', '.join(none)}"[:120])


def _covered(line: MachineLine) -> bool:
    return bool(line.earlier) or (line.signed is not None and line.signed.sent is not None)


def _statement_basis(establishment: Establishment, day: date) -> list[str]:
    """Who asks for a statement. The rule asks for one, once: for a machine that came later nobody is named."""
    return [sentence(one.basis) for one in _reports(establishment, day) if one.rule.code == STATEMENT]


def report_asks(establishment: Establishment, day: date) -> Iterator[Ask]:
    """Reports that the packs of the day ask for, beside the equipment statement: what, to whom, when, and whether that
    was read. Whether one was sent is not on file here, so each is said as long as its rule holds."""
    for layer in _reports(establishment, day):
        if layer.rule.code == STATEMENT:
            continue
        text = phrase(
            "A report is asked for: {sentence} To: {to}. When: {when}. {basis}.",
            sentence=layer.sentence,
            to=word(layer.rule.text("sent_to")),
            when=word(layer.rule.text("when")),
            basis=layer.basis,
        )
        page = reverse("packs:rule", args=[layer.rule.code])
        yield Ask("waiting", text, page, phrase("Look"), f"report {layer.pack.key} {layer.rule.code}"[:120])


def _reports(establishment: Establishment, day: date) -> tuple[Layer, ...]:
    return rules_asked(establishment, day).asked.of(Kind.REPORT)


def _copies(establishment: Establishment, day: date) -> Iterator[Ask]:
    """A copy that was to follow asks from three days before its day on."""
    rows = Card.objects.filter(person__establishment=establishment, copy_to_follow__isnull=False)
    for card in rows.filter(person__is_active=True).select_related("person").order_by("copy_to_follow__due"):
        due = card.copy_due
        if due is None or (due - day).days > 3:
            continue
        facts = {"name": card.person.name, "due": due, "day": due.day}
        text = phrase("The copy of {name}’s 609 card is due {due:%b} {day}.", **facts)
        if due < day:
            text = phrase(
                "The copy of {name}’s 609 card was due {due:%b} {day}: no refrigerant work until it is in.",
                **facts,
            )
        yield Ask("look", text, reverse("people:page", args=[card.person_id]), phrase("Look"))


def _to_be_told(establishment: Establishment) -> Iterator[Ask]:
    waiting: dict[int, list[str]] = {}
    names: dict[int, str] = {}
    for one in holdings(establishment):
        if one.to_tell:
            waiting.setdefault(one.person.pk, []).append(one.supplier.name)
            names[one.person.pk] = one.person.name
    for pk, suppliers in list(waiting.items())[:MOST]:
        facts = {"name": names[pk], "count": len(set(suppliers))}
        one_only = phrase("1 supplier holds {name}’s 609 card: notice ready to send.", **facts)
        many = phrase("{count} suppliers hold {name}’s 609 card: notices ready to send.", **facts)
        text = one_only if facts["count"] == 1 else many
        yield Ask("look", text, reverse("people:leave", args=[pk]), phrase("Look"))


def _reports_passed_by(establishment: Establishment) -> Iterator[Ask]:
    """A signed report stays as it is when a job of its days is corrected; whether it is issued anew is asked until it
    is, or is withdrawn."""
    after = Correction.objects.filter(
        establishment=establishment,
        closing__on__range=(OuterRef("first"), OuterRef("last")),
        at__gt=OuterRef("document__at"),
    )
    rows = UsageReport.objects.filter(
        document__establishment=establishment, document__replaced_by=None, document__withdrawal=None
    )
    touched = rows.annotate(slip=Subquery(after.order_by("-pk").values("number")[:1])).exclude(slip=None)
    for report in touched.select_related("document").order_by("pk")[:MOST]:
        paper = report.document
        text = phrase("{report} was signed before {slip}.", report=str(paper), slip=report.slip)
        href = reverse("papers:reissue", args=[paper.number, paper.version])
        yield Ask("waiting", text, href, phrase("New version"))


def _held(establishment: Establishment) -> Iterator[Ask]:
    for hold in running(establishment).select_related("job").order_by("-pk")[:MOST]:
        since = local(establishment, hold.at)
        text = phrase(
            "{job} is on hold since {since}: {why}.",
            job=hold.job.number,
            since=said_day(since),
            why=hold.why,
        )
        yield Ask("waiting", text, reverse("holds:list"), phrase("Look"))


def _dead_letters(establishment: Establishment) -> Iterator[Ask]:
    for one in listeners(establishment).filter(end=None):
        if not one.dead:
            continue
        facts = {"name": one.name, "count": one.dead}
        alone = phrase("{name} did not take 1 letter.", **facts)
        text = alone if one.dead == 1 else phrase("{name} did not take {count} letters.", **facts)
        yield Ask("look", text, reverse("house:outgoing-page", args=[one.pk]), phrase("Look"))
