"""Writes about the cabinet: one function, one transaction, one signature each."""

from inventory.services.counting import CountedIn, CountIn, OpeningIn, open_cabinet, record_count
from inventory.services.hoses import HoseMeasureIn, adopt_hose_measure, measure_hoses
from inventory.services.months import close_months
from inventory.services.receiving import (
    DeliveryIn,
    InvoiceIn,
    LineIn,
    add_invoice,
    receive_delivery,
    undo_delivery,
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
    "ContainerTypeIn",
    "CountIn",
    "CountedIn",
    "CylinderIn",
    "DeliveryIn",
    "HoseMeasureIn",
    "InvoiceIn",
    "LineIn",
    "OpeningIn",
    "SupplierIn",
    "SwapIn",
    "TicketIn",
    "add_container_type",
    "add_cylinder",
    "add_invoice",
    "add_supplier",
    "adopt_hose_measure",
    "close_months",
    "end_use",
    "mark_mixed",
    "measure_hoses",
    "open_cabinet",
    "receive_delivery",
    "record_count",
    "swap_cans",
    "undo_delivery",
    "weigh",
    "weigh_in_cabinet",
]
