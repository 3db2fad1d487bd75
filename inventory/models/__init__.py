"""Refrigerant on the shelf."""

from inventory.models.attached import EarlierPaper, EarlierSetAside
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
from inventory.models.counts import Count, CountDraft, CountLeftOut, CountLine
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
from inventory.models.differences import DifferenceNote, DoubtSettled
from inventory.models.fates import Disposal, Hold, HoldEnd, KeptForNext
from inventory.models.found import FoundCan, FoundCanAccepted
from inventory.models.hoses import HoseMeasure
from inventory.models.imports import Import, ImportDraft, ImportedRow, ImportUndone
from inventory.models.invoices import Billed, Deposit, Invoice, Price
from inventory.models.labels import Label, LabelSheet
from inventory.models.low import StockMark
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
    "CountDraft",
    "CountLeftOut",
    "CountLine",
    "Credit",
    "Cylinder",
    "Damage",
    "DeliveredCan",
    "Delivery",
    "DeliveryLine",
    "DeliveryUndone",
    "Deposit",
    "DifferenceNote",
    "Disposal",
    "DoubtSettled",
    "EarlierPaper",
    "EarlierSetAside",
    "Entry",
    "Facility",
    "FacilityReceipt",
    "Fate",
    "FoundCan",
    "FoundCanAccepted",
    "Hold",
    "HoldEnd",
    "HoseMeasure",
    "Import",
    "ImportDraft",
    "ImportUndone",
    "ImportedRow",
    "Invoice",
    "KeptForNext",
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
    "StockMark",
    "Supplier",
    "SwapSlip",
    "TicketPutRight",
    "TicketSetAside",
    "WeighTicket",
]
