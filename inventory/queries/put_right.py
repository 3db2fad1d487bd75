"""Weigh tickets as correction slips put them right."""

from __future__ import annotations

from collections.abc import Iterable

from inventory.models import TicketPutRight, WeighTicket


def as_put_right(tickets: Iterable[WeighTicket]) -> None:
    """Let these tickets say what the newest slip about each says; their rows stay as they were signed. One query."""
    by_pk: dict[int, list[WeighTicket]] = {}
    for ticket in tickets:
        by_pk.setdefault(ticket.pk, []).append(ticket)
    rows = TicketPutRight.objects.filter(ticket__in=list(by_pk)).order_by("pk") if by_pk else ()
    for row in rows:
        for ticket in by_pk[row.ticket_id]:
            ticket.reading_text, ticket.reading_unit = row.reading_text, row.reading_unit
            ticket.gross, ticket.corrected_by = row.gross, row.slip
