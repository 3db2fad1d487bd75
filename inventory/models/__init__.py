"""Refrigerant on the shelf."""

from inventory.models.book import Entry, MonthBalance, MonthClose, Movement
from inventory.models.checks import AirCheck
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
from inventory.models.hoses import HoseMeasure
from inventory.models.invoices import Billed, Deposit, Invoice, Price
from inventory.models.labels import Label, LabelSheet
from inventory.models.moves import Move, MoveArrived, Spot
from inventory.models.places import Place
from inventory.models.returns import Credit, Damage, ReturnedCan, ReturnSlip
from inventory.models.shipments import Facility, FacilityReceipt, ReceiptLine, Shipment, ShippedCylinder
from inventory.models.slips import MixedMark, SwapSlip, TicketPutRight, TicketSetAside

__all__ = [
    "AirCheck",
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
    "Facility",
    "FacilityReceipt",
    "Fate",
    "HoseMeasure",
    "Invoice",
    "Label",
    "LabelSheet",
    "LotNote",
    "MixedMark",
    "MonthBalance",
    "MonthClose",
    "Move",
    "MoveArrived",
    "Movement",
    "NotComing",
    "OtherSlip",
    "Place",
    "Price",
    "Receipt",
    "ReceiptLine",
    "Refrigerant",
    "ReturnSlip",
    "ReturnedCan",
    "Shipment",
    "ShippedCylinder",
    "SpokenFor",
    "Spot",
    "Supplier",
    "SwapSlip",
    "TicketPutRight",
    "TicketSetAside",
    "WeighTicket",
]
