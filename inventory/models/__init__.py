"""Refrigerant on the shelf."""

from inventory.models.book import Entry, MonthBalance, MonthClose, Movement
from inventory.models.containers import (
    Can,
    Container,
    ContainerType,
    Cylinder,
    Fate,
    LotNote,
    Refrigerant,
    SpokenFor,
    WeighTicket,
)
from inventory.models.counts import Count, CountLine
from inventory.models.deliveries import (
    Attachment,
    DeliveredCan,
    Delivery,
    DeliveryLine,
    DeliveryUndone,
    NotComing,
    OtherSlip,
    Receipt,
    Supplier,
)
from inventory.models.invoices import Billed, Deposit, Invoice, Price
from inventory.models.places import Place
from inventory.models.returns import Credit, Damage, ReturnedCan, ReturnSlip
from inventory.models.slips import MixedMark, SwapSlip, TicketSetAside

__all__ = [
    "Attachment",
    "Billed",
    "Can",
    "Container",
    "ContainerType",
    "Count",
    "CountLine",
    "Credit",
    "Cylinder",
    "Damage",
    "DeliveredCan",
    "Delivery",
    "DeliveryLine",
    "DeliveryUndone",
    "Deposit",
    "Entry",
    "Fate",
    "Invoice",
    "LotNote",
    "MixedMark",
    "MonthBalance",
    "MonthClose",
    "Movement",
    "NotComing",
    "OtherSlip",
    "Place",
    "Price",
    "Receipt",
    "Refrigerant",
    "ReturnSlip",
    "ReturnedCan",
    "SpokenFor",
    "Supplier",
    "SwapSlip",
    "TicketSetAside",
    "WeighTicket",
]
