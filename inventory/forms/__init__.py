"""Forms convert what was typed and say so when they cannot; services decide."""

from inventory.forms.checking import AirCheckForm
from inventory.forms.counting import CountForm, OpeningForm
from inventory.forms.moving import MoveForm, SpotForm
from inventory.forms.numbers import NumbersField
from inventory.forms.receiving import InvoiceForm, ReceiveForm, UndoForm
from inventory.forms.stocking import CylinderForm, SupplierForm, TypeForm
from inventory.forms.swapping import MixedForm, SwapForm
from inventory.forms.weighing import WeighForm

__all__ = [
    "AirCheckForm",
    "CountForm",
    "CylinderForm",
    "InvoiceForm",
    "MixedForm",
    "MoveForm",
    "NumbersField",
    "OpeningForm",
    "ReceiveForm",
    "SpotForm",
    "SupplierForm",
    "SwapForm",
    "TypeForm",
    "UndoForm",
    "WeighForm",
]
