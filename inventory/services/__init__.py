"""Writes about the cabinet: one function, one transaction, one signature each."""

from inventory.services.attaching import PaperIn, attach_paper
from inventory.services.counting import CountedIn, CountIn, OpeningIn, open_cabinet, record_count
from inventory.services.invoicing import DepositIn, InvoiceIn, PriceIn, add_invoice, put_invoice_right
from inventory.services.lots import split_lot
from inventory.services.months import close_months
from inventory.services.receiving import receive_delivery, receive_rest
from inventory.services.returning import (
    CreditIn,
    DamageIn,
    ReturnIn,
    add_credit,
    add_deposit_back,
    note_damage,
    return_cans,
)
from inventory.services.slips import DeliveryIn, LineIn, RestIn, RestLineIn
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
from inventory.services.undoing import add_slip, drop_rest, merge_deliveries, undo_delivery
from inventory.services.weighing import TicketIn, weigh, weigh_in_cabinet

__all__ = [
    "ContainerTypeIn",
    "CountIn",
    "CountedIn",
    "CreditIn",
    "CylinderIn",
    "DamageIn",
    "DeliveryIn",
    "DepositIn",
    "InvoiceIn",
    "LineIn",
    "OpeningIn",
    "PaperIn",
    "PriceIn",
    "RestIn",
    "RestLineIn",
    "ReturnIn",
    "SupplierIn",
    "SwapIn",
    "TicketIn",
    "add_container_type",
    "add_credit",
    "add_cylinder",
    "add_deposit_back",
    "add_invoice",
    "add_slip",
    "add_supplier",
    "attach_paper",
    "close_months",
    "drop_rest",
    "end_use",
    "mark_mixed",
    "merge_deliveries",
    "note_damage",
    "open_cabinet",
    "put_invoice_right",
    "receive_delivery",
    "receive_rest",
    "record_count",
    "return_cans",
    "split_lot",
    "swap_cans",
    "undo_delivery",
    "weigh",
    "weigh_in_cabinet",
]
