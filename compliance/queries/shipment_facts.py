"""From a shipment's rows to the facts that its record prints."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings

from compliance.core.shipment import CylinderShipped, ReceiptFacts, ShipmentFacts
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from inventory.core.ledger import Purpose
from inventory.models import Movement, Shipment, ShippedCylinder
from inventory.queries import cylinder_limit
from shop.core.house import HouseRules
from shop.models import Person
from shop.queries import rules_on


def shipment_facts(
    shipment: Shipment, *, version: int, check_url: str, replaces: str = "", at: datetime, by: Person
) -> ShipmentFacts:
    """Everything one shipment record says, read once."""
    rules = rules_on(shipment.establishment, shipment.on)
    facility, checked = shipment.facility, shipment.facility.reclaimer_checked_on
    rows = shipment.cylinders.select_related("container__cylinder", "ticket__scale", "received")
    receipt = getattr(shipment, "receipt", None)
    return ShipmentFacts(
        number=shipment.number,
        version=version,
        day=shipment.on.isoformat(),
        made_at=local(shipment.establishment, at).isoformat(timespec="minutes"),
        shop=shop_facts(shipment.establishment),
        facility=facility.name,
        facility_address=facility.address,
        facility_phone=facility.phone,
        reclaimer_checked_on=checked.isoformat() if checked else "",
        purpose=shipment.get_purpose_display().lower(),
        carrier=shipment.carrier,
        driver=shipment.driver,
        shipping_paper=shipment.shipping_paper,
        shipper=shipment.shipper,
        cylinders=tuple(_cylinder(one, rules) for one in rows),
        receipt=ReceiptFacts(receipt.number, receipt.on.isoformat(), receipt.note, receipt.by.name)
        if receipt
        else None,
        signed=f"{by.name}, signed on as {by.username}",
        check_url=check_url,
        replaces=replaces,
        practice=settings.PRACTICE,
    )


def _cylinder(one: ShippedCylinder, rules: HouseRules) -> CylinderShipped:
    container, stamps = one.container, one.container.cylinder
    theirs = getattr(one, "received", None)
    return CylinderShipped(
        code=container.code,
        serial=stamps.serial,
        refrigerant=container.refrigerant_id,
        mixed=one.mixed,
        requalified_on=stamps.requalified_on.isoformat(),
        gross=str(one.ticket.reading),
        tare=f"{stamps.tare_text} {stamps.tare_unit}",
        net_ug=one.net.ug,
        limit_ug=cylinder_limit(container, rules).ug,
        scale=one.ticket.scale.code,
        recoveries=_recoveries(one),
        comes_back=one.comes_back,
        note=one.note,
        theirs=f"{theirs.net_text} {theirs.net_unit}" if theirs else "",
        theirs_ug=theirs.net.ug if theirs else None,
    )


def _recoveries(one: ShippedCylinder) -> int:
    """How many jobs brought something into this cylinder since it last left."""
    before = Movement.objects.filter(source=one.container_id, purpose=Purpose.SHIPPED.value)
    last = (
        before.exclude(entry=one.shipment.entry_id).order_by("-pk").values_list("pk", flat=True).first() or 0
    )
    into = Movement.objects.filter(target=one.container_id, pk__gt=last, source_kind="vehicles")
    return into.values("entry").distinct().count()
