"""Refrigerant on the shelf."""

from inventory.models.book import Entry, MonthBalance, MonthClose, Movement
from inventory.models.checks import AirCheck
from inventory.models.containers import (
    Can,
    Container,
    ContainerType,
    Cylinder,
    Fate,
    Refrigerant,
    SpokenFor,
    WeighTicket,
)
from inventory.models.counts import Count, CountLine
from inventory.models.deliveries import (
    DeliveredCan,
    Delivery,
    DeliveryLine,
    DeliveryUndone,
    Invoice,
    Supplier,
)
from inventory.models.labels import Label, LabelSheet
from inventory.models.moves import Move, MoveArrived, Spot
from inventory.models.places import Place
from inventory.models.shipments import Facility, Receipt, ReceiptLine, Shipment, ShippedCylinder
from inventory.models.slips import MixedMark, SwapSlip, TicketSetAside

__all__ = [
    "AirCheck",
    "Can",
    "Container",
    "ContainerType",
    "Count",
    "CountLine",
    "Cylinder",
    "DeliveredCan",
    "Delivery",
    "DeliveryLine",
    "DeliveryUndone",
    "Entry",
    "Facility",
    "Fate",
    "Invoice",
    "Label",
    "LabelSheet",
    "MixedMark",
    "MonthBalance",
    "MonthClose",
    "Move",
    "MoveArrived",
    "Movement",
    "Place",
    "Receipt",
    "ReceiptLine",
    "Refrigerant",
    "Shipment",
    "ShippedCylinder",
    "SpokenFor",
    "Spot",
    "Supplier",
    "SwapSlip",
    "TicketSetAside",
    "WeighTicket",
]
