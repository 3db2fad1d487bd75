"""Writes about the cabinet: one function, one transaction, one signature each."""

from inventory.services.checking import AirCheckIn, check_for_air
from inventory.services.counting import CountedIn, CountIn, OpeningIn, open_cabinet, record_count
from inventory.services.labelling import print_labels
from inventory.services.months import close_months
from inventory.services.moving import MoveIn, add_spot, confirm_arrival, move_containers
from inventory.services.receiving import (
    DeliveryIn,
    InvoiceIn,
    LineIn,
    add_invoice,
    receive_delivery,
    undo_delivery,
)
from inventory.services.shipping import (
    CylinderSent,
    FacilityIn,
    ReceiptIn,
    ShipmentIn,
    add_facility,
    log_receipt,
    ship_cylinders,
)
from inventory.services.stocking import (
    ContainerTypeIn,
    CylinderIn,
    SupplierIn,
    add_container_type,
    add_cylinder,
    add_supplier,
    end_use,
)
from inventory.services.swapping import SwapIn, mark_mixed, swap_cans
from inventory.services.weighing import TicketIn, weigh, weigh_in_cabinet

__all__ = [
    "AirCheckIn",
    "ContainerTypeIn",
    "CountIn",
    "CountedIn",
    "CylinderIn",
    "CylinderSent",
    "DeliveryIn",
    "FacilityIn",
    "InvoiceIn",
    "LineIn",
    "MoveIn",
    "OpeningIn",
    "ReceiptIn",
    "ShipmentIn",
    "SupplierIn",
    "SwapIn",
    "TicketIn",
    "add_container_type",
    "add_cylinder",
    "add_facility",
    "add_invoice",
    "add_spot",
    "add_supplier",
    "check_for_air",
    "close_months",
    "confirm_arrival",
    "end_use",
    "log_receipt",
    "mark_mixed",
    "move_containers",
    "open_cabinet",
    "print_labels",
    "receive_delivery",
    "record_count",
    "ship_cylinders",
    "swap_cans",
    "undo_delivery",
    "weigh",
    "weigh_in_cabinet",
]
