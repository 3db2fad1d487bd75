"""Forms convert what was typed and say so when they cannot; services decide."""

from inventory.forms.checking import AirCheckForm
from inventory.forms.counting import CountForm, OpeningForm
from inventory.forms.differences import NoteForm, SettleForm
from inventory.forms.hoses import AdoptForm, HoseForm
from inventory.forms.invoicing import InvoiceForm
from inventory.forms.moving import MoveForm, SpotForm
from inventory.forms.numbers import NumbersField
from inventory.forms.receiving import ReceiveForm, UndoForm
from inventory.forms.returning import CreditForm, DamageForm, ReturnForm
from inventory.forms.slips import AttachForm, DropForm, LotForm, MergeForm, RestForm
from inventory.forms.stocking import CylinderForm, SupplierForm, TypeForm
from inventory.forms.swapping import MixedForm, SwapForm
from inventory.forms.weighing import WeighForm

__all__ = [
    "AdoptForm",
    "AirCheckForm",
    "AttachForm",
    "CountForm",
    "CreditForm",
    "CylinderForm",
    "DamageForm",
    "DropForm",
    "HoseForm",
    "InvoiceForm",
    "LotForm",
    "MergeForm",
    "MixedForm",
    "MoveForm",
    "NoteForm",
    "NumbersField",
    "OpeningForm",
    "ReceiveForm",
    "RestForm",
    "ReturnForm",
    "SettleForm",
    "SpotForm",
    "SupplierForm",
    "SwapForm",
    "TypeForm",
    "UndoForm",
    "WeighForm",
]
