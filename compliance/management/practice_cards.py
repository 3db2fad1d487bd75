"""The practice shop's papers about people and machines: copies of cards, a sheet for the supplier, two statements."""

from __future__ import annotations

from datetime import date

from compliance import services as bay
from compliance.core.statement import STATEMENTS, MachineStated
from compliance.management.practice_photos import sheet_of
from compliance.management.practice_work import Shop, at
from compliance.models import StatementSent
from shop import services as house
from shop.services.papers import read_file

REGION, ADDRESS = 8, "1 Sample Plaza, Sample City, ST 00000"  # invented


def cards_and_statements(shop: Shop, day: date) -> None:
    """Both cards are photographed and given to the supplier. The statement of RE-1 was sent, that of RE-2 waits."""
    now = at(day, 9)
    for person in (shop.dev, shop.rosa):
        card = person.cards.get()
        photo = read_file(sheet_of(("609", card.number, person.name, card.issued_on.isoformat()), "#dfe6ea"))
        house.add_card_image(card, photo, at=now, by=shop.lee)
    for person in (shop.lee, shop.marta):
        house.name_buyer(person, first_day=day, at=now, by=shop.marta)
    if shop.supplier is not None:
        copy = bay.CopyIn(shop.supplier, (shop.dev, shop.rosa))
        bay.give_card_copy(copy, shop.establishment, on=day, at=now, by=shop.lee)
    bay.confirm_address(
        shop.establishment,
        region=REGION,
        address=ADDRESS,
        confirmed_on=day,
        today=day,
        at=now,
        by=shop.marta,
    )
    first = bay.sign_statement(_about(shop, "RE-1"), shop.establishment, on=day, at=now, by=shop.marta)
    sent = bay.SentIn(day, StatementSent.How.CERTIFIED, REGION, ADDRESS, day, "SAMPLE 0417")
    bay.send_statement(first, sent, today=day, at=now, by=shop.lee)
    bay.sign_statement(_about(shop, "RE-2"), shop.establishment, on=day, at=now, by=shop.marta)


def _about(shop: Shop, code: str) -> bay.StatementIn:
    machine = shop.gear[code]
    plate = MachineStated(code, machine.maker, machine.model, machine.made, machine.serial)
    house_name = f"{shop.establishment.name} ({shop.marta.name})"
    stated = tuple(key for key, _sentence in STATEMENTS)
    return bay.StatementIn(house_name, shop.establishment.address, (plate,), stated, "Owner", "new machine")
