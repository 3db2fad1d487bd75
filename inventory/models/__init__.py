"""Refrigerant on the shelf."""

from inventory.models.book import Entry, MonthBalance, MonthClose, Movement
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
from inventory.models.hoses import HoseMeasure
from inventory.models.places import Place
from inventory.models.slips import MixedMark, SwapSlip, TicketSetAside

__all__ = [
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
    "Fate",
    "HoseMeasure",
    "Invoice",
    "MixedMark",
    "MonthBalance",
    "MonthClose",
    "Movement",
    "Place",
    "Refrigerant",
    "SpokenFor",
    "Supplier",
    "SwapSlip",
    "TicketSetAside",
    "WeighTicket",
]
