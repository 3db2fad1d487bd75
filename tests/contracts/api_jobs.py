"""What has to be there before the examples of the operations on jobs work: a job as far as each of them needs it."""

from __future__ import annotations

from datetime import date

from compliance.core.stages import StageKind
from compliance.models import CanTicket
from inventory.models import Container
from inventory.services import LineIn
from shop.services import CardIn, add_card, authorise_person
from tests.compliance.packs_chosen import choose
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, receive

Before = CanTicket.Moment.BEFORE
Named = dict[str, object]


def marta_may(shop: Shop, things: dict[str, str]) -> Named:
    """Whoever makes the key signs: here the owner, who needs a card for refrigerant."""
    card = CardIn("Sample Certification Program", "SAMPLE-9001", date(2018, 2, 6), shop.marta.name)
    add_card(shop.marta, card, today=DAY, at=NOON, by=shop.marta)
    authorise_person(shop.marta, first_day=date(2021, 1, 4), at=NOON, by=shop.marta)
    return {}


def _on_a_car(shop: Shop, things: dict[str, str], moment: CanTicket.Moment = Before) -> Bay:
    """K-0010 hangs on another 500 g car."""
    marta_may(shop, things)
    bay, can = Bay.check_in(shop, plate="SMP-500"), Container.objects.get(pk="K-0010")
    bay.evacuate()
    bay.weigh(can, "466", Before)
    if moment is not Before:
        bay.weigh(can, "385", moment, stays_on=True)
    return bay


def can_on(shop: Shop, things: dict[str, str]) -> Named:
    bay = _on_a_car(shop, things)
    ticket = bay.job.can_tickets.get().ticket
    return {"number": bay.job.number, "weighing": ticket.number}


def can_read(shop: Shop, things: dict[str, str]) -> Named:
    bay = _on_a_car(shop, things, CanTicket.Moment.LEAK_TEST)
    return {"number": bay.job.number}


def can_elsewhere(shop: Shop, things: dict[str, str]) -> Named:
    _on_a_car(shop, things)
    return {}


def wrong_can(shop: Shop, things: dict[str, str]) -> Named:
    """K-0012 holds R-1234yf."""
    receive(shop, LineIn(shop.can8, 2, 2), slip="88490")
    return {}


def wisconsin(shop: Shop, things: dict[str, str]) -> Named:
    choose(shop, "WI")
    return {}


def stages_left_out(shop: Shop, things: dict[str, str]) -> Named:
    bay = Bay.check_in(shop, plate="SMP-500")
    for kind in StageKind:
        if kind is not StageKind.CHECK_IN:
            bay.leave_out(kind)
    return {"number": bay.job.number}
