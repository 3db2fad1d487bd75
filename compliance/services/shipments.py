"""Shipments with their paper: the record is issued when cylinders leave, and again when the receipt comes."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime

from django.db import transaction

from compliance.core.shipment import shipment_paper
from compliance.models import Document, ShipmentRecord
from compliance.queries.shipment_facts import shipment_facts
from compliance.services.documents import Issue, check_url, drawn, issue_document, replaces_line
from inventory.models import FacilityReceipt, Shipment
from inventory.services import ReceiptIn, ShipmentIn, log_receipt, ship_cylinders
from shop.models import Establishment, Person


@transaction.atomic
def send_shipment(
    shipment: ShipmentIn,
    establishment: Establishment,
    *,
    seen: Collection[str] = (),
    on: date,
    at: datetime,
    by: Person,
) -> Shipment:
    """Send cylinders off and issue the shipment record. ``seen`` as in ``ship_cylinders``."""
    sent = ship_cylinders(shipment, establishment, seen=seen, on=on, at=at, by=by)
    _issue(sent, at=at, by=by)
    return sent


@transaction.atomic
def receive_receipt(
    shipment: Shipment, receipt: ReceiptIn, *, today: date, at: datetime, by: Person
) -> FacilityReceipt:
    """Keep the facility's receipt; a new version of the record shows both weights side by side."""
    made = log_receipt(shipment, receipt, today=today, at=at, by=by)
    shipment.receipt = made
    _issue(shipment, why=f"Receipt {made.number} came in.", at=at, by=by)
    return made


def _issue(shipment: Shipment, *, why: str = "", at: datetime, by: Person) -> Document:
    earlier = Document.objects.filter(shipment_record__shipment=shipment).order_by("-version").first()
    version = earlier.version + 1 if earlier is not None else 1
    facts = shipment_facts(
        shipment,
        version=version,
        check_url=check_url(shipment.number, version),
        replaces=replaces_line(earlier, why) if earlier else "",
        at=at,
        by=by,
    )
    issue = Issue(Document.Kind.SHIPMENT, shipment.number, version, shipment.on, why, earlier)
    document = issue_document(
        drawn(issue, facts, shipment_paper(facts)), shipment.establishment, at=at, by=by
    )
    ShipmentRecord.objects.create(document=document, shipment=shipment)
    return document
