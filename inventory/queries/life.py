"""Everything that is known of one container, in the order of time: tickets, book, places, papers, what became of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q
from django.urls import reverse

from inventory.core.life import Drawing, Weighed, mass_over_time, steps
from inventory.core.weighing import Origin, Style
from inventory.models import Container, CountLine, Movement, WeighTicket
from inventory.queries.doubts import mark
from inventory.queries.life_lines import lines_of
from inventory.queries.put_right import as_put_right
from shop.core.mass import Mass, Unit, grams
from shop.core.phrase import phrase, word

PLACES = {
    "J": "jobs:page",
    "D": "deliveries:page",
    "S": "shipments:page",
    "RS": "return-slip",
    "HM": "hoses:page",
}
NUMBER = re.compile(r"\b(J|D|S|RS|HM)\d\d-\d+\b")


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a life. ``about`` is "weights", "book" or "rest", for who looks for one of them only."""

    at: datetime
    about: str
    what: str
    by: str
    href: str = ""
    link: str = ""
    aside: bool = False
    doubt: Mass | None = None  # how far off its scale may have been


@dataclass(frozen=True, slots=True)
class Life:
    """Everything that was said and booked about one container, oldest first, and its drawing."""

    tickets: tuple[WeighTicket, ...]
    movements: tuple[Movement, ...]
    events: tuple[Event, ...]
    drawing: Drawing | None

    @property
    def last(self) -> WeighTicket | None:
        standing = [ticket for ticket in self.tickets if not hasattr(ticket, "set_aside")]
        return standing[-1] if standing else None


def life(container: Container) -> Life:
    """A container's life; a fixed number of questions to the database, however long it is."""
    rows = WeighTicket.objects.filter(container=container).order_by("number")
    tickets = tuple(rows.select_related("scale", "by", "set_aside"))
    mark(container.establishment, tickets)
    as_put_right(tickets)
    moved = Movement.objects.filter(Q(source=container.pk) | Q(target=container.pk)).order_by("pk")
    movements = tuple(moved.select_related("entry__by", "entry__count", "entry__delivery"))
    events = [
        *(_weighed(ticket, container) for ticket in tickets),
        *(_booked(row, container) for row in movements),
        *_counted(container),
        *(Event(at, "rest", what, by, href, link) for at, what, by, href, link in lines_of(container)),
    ]
    return Life(
        tickets,
        movements,
        tuple(sorted(events, key=lambda one: one.at)),
        _drawn(container, tickets, movements),
    )


def _drawn(
    container: Container, tickets: tuple[WeighTicket, ...], movements: tuple[Movement, ...]
) -> Drawing | None:
    """Only what was weighed bare, or a cylinder, says what is in it."""
    moves = [(row.entry.at, row.mass if row.target_id == container.pk else -row.mass) for row in movements]
    weighed = [
        Weighed(one.at, max(one.gross - container.empty, grams(0)), hasattr(one, "set_aside"))
        for one in tickets
        if one.style == Style.BARE
    ]
    return mass_over_time(steps(moves), weighed)


def _weighed(ticket: WeighTicket, container: Container) -> Event:
    facts: dict[str, object] = {
        "number": ticket.number,
        "reading": str(ticket.reading),
        "scale": ticket.scale.code,
    }
    if ticket.reading_unit != Unit.G:
        facts["reading"] = f"{ticket.reading} ({ticket.gross.rounded(Unit.G, 1):,} g)"
    what = phrase("Weigh ticket {number}: {reading} on {scale}", **facts)
    if container.kind == "can":
        what = phrase(
            "Weigh ticket {number}: {reading} on {scale}, {style}", style=word(ticket.style), **facts
        )
    if ticket.origin != Origin.WEIGHED:
        what = phrase("{what}, {origin}", what=what, origin=word(ticket.origin))
    if ticket.scale_line:
        what = phrase("{what}; taken from the scale, which sent “{line}”", what=what, line=ticket.scale_line)
    slip = ticket.corrected_by
    return Event(
        ticket.at,
        "weights",
        phrase("{what}, put right", what=what) if slip else what,
        ticket.by.first_name,
        reverse("corrections:page", args=[slip]) if slip else "",
        slip,
        aside=hasattr(ticket, "set_aside"),
        doubt=ticket.in_doubt,
    )


def _booked(row: Movement, container: Container) -> Event:
    """A movement with the job or paper that it belongs to."""
    into = row.target_id == container.pk
    facts: dict[str, object] = {
        "mass": f"{row.mass.rounded(Unit.G, 1):,}",
        "why": word(row.purpose),
        "other": row.source_id if into else row.target_id,
    }
    what = phrase("{mass} g in from {other}, {why}", **facts)
    if not into:
        what = phrase("{mass} g out to {other}, {why}", **facts)
    href, link = _of(row)
    if not href or not row.entry.text.startswith((link, "Count")):  # else the link says it
        what = phrase("{what}: {text}", what=what, text=row.entry.text)
    return Event(row.entry.at, "book", what, row.entry.by.first_name, href, link)


def _of(row: Movement) -> tuple[str, str]:
    if hasattr(row.entry, "count"):
        return reverse("counts:page", args=[row.entry.count.pk]), phrase("The count")
    if hasattr(row.entry, "delivery"):
        number = row.entry.delivery.number
        return reverse("deliveries:page", args=[number]), number
    named = NUMBER.search(row.entry.text)
    if named is None:
        return "", ""
    return reverse(PLACES[named[1]], args=[named[0]]), named[0]


def _counted(container: Container) -> Iterator[Event]:
    lines = CountLine.objects.filter(container=container).select_related("count__by")
    for line in lines:
        what = phrase(
            "Count: {how}, {found} g found, {expected} g expected",
            how=word(line.get_how_display()),
            found=f"{line.found.rounded(Unit.G, 0):,}",
            expected=f"{line.expected.rounded(Unit.G, 0):,}",
        )
        href = reverse("counts:page", args=[line.count_id])
        yield Event(line.count.at, "rest", what, line.count.by.first_name, href, phrase("The count"))
