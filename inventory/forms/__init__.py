"""Forms convert what was typed and say so when they cannot; services decide."""

from inventory.forms.counting import CountForm, OpeningForm
from inventory.forms.hoses import AdoptForm, HoseForm
from inventory.forms.receiving import InvoiceForm, ReceiveForm, UndoForm
from inventory.forms.stocking import CylinderForm, SupplierForm, TypeForm
from inventory.forms.swapping import MixedForm, SwapForm
from inventory.forms.weighing import WeighForm

__all__ = [
    "AdoptForm",
    "CountForm",
    "CylinderForm",
    "HoseForm",
    "InvoiceForm",
    "MixedForm",
    "OpeningForm",
    "ReceiveForm",
    "SupplierForm",
    "SwapForm",
    "TypeForm",
    "UndoForm",
    "WeighForm",
]
