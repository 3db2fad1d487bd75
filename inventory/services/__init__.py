"""Writes about the cabinet: one function, one transaction, one signature each."""

from inventory.services.attaching import PaperIn, attach_paper
from inventory.services.checking import AirCheckIn, check_for_air
from inventory.services.counting import CountedIn, CountIn, OpeningIn, open_cabinet, record_count
from inventory.services.differences import leave_difference
from inventory.services.doubts import settle_doubt
from inventory.services.hoses import HoseMeasureIn, adopt_hose_measure, measure_hoses
from inventory.services.invoicing import DepositIn, InvoiceIn, PriceIn, add_invoice, put_invoice_right
from inventory.services.labelling import print_labels
from inventory.services.lots import split_lot
from inventory.services.months import close_months
from inventory.services.moving import MoveIn, add_spot, confirm_arrival, move_containers
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
from inventory.services.shipping import (
    CylinderSent,
    FacilityIn,
    ReceiptIn,
    ShipmentIn,
    add_facility,
    log_receipt,
    ship_cylinders,
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
    "AirCheckIn",
    "ContainerTypeIn",
    "CountIn",
    "CountedIn",
    "CreditIn",
    "CylinderIn",
    "CylinderSent",
    "DamageIn",
    "DeliveryIn",
    "DepositIn",
    "FacilityIn",
    "HoseMeasureIn",
    "InvoiceIn",
    "LineIn",
    "MoveIn",
    "OpeningIn",
    "PaperIn",
    "PriceIn",
    "ReceiptIn",
    "RestIn",
    "RestLineIn",
    "ReturnIn",
    "ShipmentIn",
    "SupplierIn",
    "SwapIn",
    "TicketIn",
    "add_container_type",
    "add_credit",
    "add_cylinder",
    "add_deposit_back",
    "add_facility",
    "add_invoice",
    "add_slip",
    "add_spot",
    "add_supplier",
    "adopt_hose_measure",
    "attach_paper",
    "check_for_air",
    "close_months",
    "confirm_arrival",
    "drop_rest",
    "end_use",
    "leave_difference",
    "log_receipt",
    "mark_mixed",
    "measure_hoses",
    "merge_deliveries",
    "move_containers",
    "note_damage",
    "open_cabinet",
    "print_labels",
    "put_invoice_right",
    "receive_delivery",
    "receive_rest",
    "record_count",
    "return_cans",
    "settle_doubt",
    "ship_cylinders",
    "split_lot",
    "swap_cans",
    "undo_delivery",
    "weigh",
    "weigh_in_cabinet",
]
