"""The hand-over pack for the sale of the shop. It moves nothing and signs nothing for the buyer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.hand_over import buyers_statement, cover
from compliance.models import Package, SalePack
from compliance.pdf.drawing import draw
from compliance.queries.selling import closing_counts, hand_over_facts, may_stay
from compliance.services.packages import note_package, owner_problems
from compliance.sheets.selling import pack_files
from compliance.sheets.writing import Write
from inventory.models import Count
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person


@dataclass(frozen=True, slots=True)
class SaleIn:
    """Who buys, the closing count of the day of the sale, who stays, and whether both agreed on customers' details."""

    buyer: str
    count: Count
    staff: Sequence[Person]
    with_customers: bool = False


@transaction.atomic
def make_hand_over(
    establishment: Establishment, sale: SaleIn, write: Write, *, today: date, at: datetime, by: Person
) -> Package:
    """Write the pack. It can be made again whenever the sale slips: a newer count, a newer pack.

    Raises ``Refused`` when the buyer is blank or is the seller, when the count is no closing count of this shop, or
    when somebody is named as staying who does not work here.
    """
    buyer, found = " ".join(sale.buyer.split()), owner_problems(by)
    if len(buyer) < 2:
        found.append(blocked("buyer-empty", phrase("Type the buyer's name."), "buyer"))
    if buyer.casefold() == by.name.casefold():
        sentence = phrase("You sell; the buyer is somebody else, and signs the new statement.")
        found.append(blocked("buyer-is-seller", sentence, "buyer"))
    if not closing_counts(establishment, today).filter(pk=sale.count.pk).exists():
        sentence = phrase("Count the cabinet on the day of the sale, then choose that count.")
        found.append(blocked("no-closing-count", sentence, "count"))
    here = {one.pk for one in may_stay(establishment)}
    gone = [one.name for one in sale.staff if one.pk not in here]
    if gone:
        sentence = phrase("{names} does not work here any more.", names=", ".join(gone))
        found.append(blocked("gone-cannot-stay", sentence, "staff"))
    refuse_if_blocked(found)
    facts = hand_over_facts(
        establishment,
        sale.count,
        buyer=buyer,
        staff=list(sale.staff),
        with_customers=sale.with_customers,
        at=at,
        by=by,
    )
    papers = draw(cover(facts)), draw(buyers_statement(facts))
    made = write(pack_files(establishment, facts, sale.staff, papers, at))
    package = note_package(Package.Kind.HAND_OVER, sale.count.on, made, establishment, at=at, by=by)
    SalePack.objects.create(
        package=package, buyer=buyer, count=sale.count, with_customers=sale.with_customers
    )
    return package
