"""Writes about the cabinet: one function, one transaction, one signature each."""

from inventory.services.attaching import PaperIn, attach_paper
from inventory.services.checking import AirCheckIn, check_for_air
from inventory.services.counting import CountedIn, CountIn, record_count
from inventory.services.differences import leave_difference
from inventory.services.doubts import settle_doubt
from inventory.services.earlier import keep_earlier_paper, set_earlier_aside
from inventory.services.ending import DisposalIn, dispose_of, keep_for_next, say_lost
from inventory.services.found import FoundIn, accept_found, find_can
from inventory.services.holds import end_hold, put_on_hold
from inventory.services.hoses import HoseMeasureIn, adopt_hose_measure, measure_hoses
from inventory.services.importing import Look, keep_draft, look_at, write_import
from inventory.services.invoicing import DepositIn, InvoiceIn, PriceIn, add_invoice, put_invoice_right
from inventory.services.labelling import print_labels
from inventory.services.lots import split_lot
from inventory.services.months import close_months
from inventory.services.moving import MoveIn, add_spot, confirm_arrival, move_containers
from inventory.services.opening import OpenCanIn, OpeningIn, open_cabinet
from inventory.services.pausing import PausedIn, drop_count, keep_count
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
from inventory.services.shells import adopt_shell
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
from inventory.services.undoing_imports import undo_import
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
    "DisposalIn",
    "FacilityIn",
    "FoundIn",
    "HoseMeasureIn",
    "InvoiceIn",
    "LineIn",
    "Look",
    "MoveIn",
    "OpenCanIn",
    "OpeningIn",
    "PaperIn",
    "PausedIn",
    "PriceIn",
    "ReceiptIn",
    "RestIn",
    "RestLineIn",
    "ReturnIn",
    "ShipmentIn",
    "SupplierIn",
    "SwapIn",
    "TicketIn",
    "accept_found",
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
    "adopt_shell",
    "attach_paper",
    "check_for_air",
    "close_months",
    "confirm_arrival",
    "dispose_of",
    "drop_count",
    "drop_rest",
    "end_hold",
    "end_use",
    "find_can",
    "keep_count",
    "keep_draft",
    "keep_earlier_paper",
    "keep_for_next",
    "leave_difference",
    "log_receipt",
    "look_at",
    "mark_mixed",
    "measure_hoses",
    "merge_deliveries",
    "move_containers",
    "note_damage",
    "open_cabinet",
    "print_labels",
    "put_invoice_right",
    "put_on_hold",
    "receive_delivery",
    "receive_rest",
    "record_count",
    "return_cans",
    "say_lost",
    "set_earlier_aside",
    "settle_doubt",
    "ship_cylinders",
    "split_lot",
    "swap_cans",
    "undo_delivery",
    "undo_import",
    "weigh",
    "weigh_in_cabinet",
    "write_import",
]
