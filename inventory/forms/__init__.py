"""Forms convert what was typed and say so when they cannot; services decide."""

from inventory.forms.attaching import AsideForm, EarlierForm
from inventory.forms.checking import AirCheckForm
from inventory.forms.count_rows import (
    TakenUp,
    answered_in,
    containers_on,
    initial_of,
    stands,
    taken_up,
    typed_of,
)
from inventory.forms.counting import CountForm
from inventory.forms.differences import NoteForm, SettleForm
from inventory.forms.ending import AcceptForm, EmptiesForm, EndedForm, FoundForm
from inventory.forms.hoses import AdoptForm, HoseForm
from inventory.forms.importing import ImportForm, UndoImportForm, WriteForm
from inventory.forms.invoicing import InvoiceForm
from inventory.forms.moving import MoveForm, SpotForm
from inventory.forms.numbers import NumberField, NumbersField
from inventory.forms.opening import OpeningForm
from inventory.forms.receiving import ReceiveForm, UndoForm
from inventory.forms.returning import CreditForm, DamageForm, ReturnForm
from inventory.forms.slips import AttachForm, DropForm, LotForm, MergeForm, RestForm
from inventory.forms.stocking import AdoptShellForm, CylinderForm, SupplierForm, TypeForm
from inventory.forms.swapping import MixedForm, SwapForm
from inventory.forms.weighing import WeighForm

__all__ = [
    "AcceptForm",
    "AdoptForm",
    "AdoptShellForm",
    "AirCheckForm",
    "AsideForm",
    "AttachForm",
    "CountForm",
    "CreditForm",
    "CylinderForm",
    "DamageForm",
    "DropForm",
    "EarlierForm",
    "EmptiesForm",
    "EndedForm",
    "FoundForm",
    "HoseForm",
    "ImportForm",
    "InvoiceForm",
    "LotForm",
    "MergeForm",
    "MixedForm",
    "MoveForm",
    "NoteForm",
    "NumberField",
    "NumbersField",
    "OpeningForm",
    "ReceiveForm",
    "RestForm",
    "ReturnForm",
    "SettleForm",
    "SpotForm",
    "SupplierForm",
    "SwapForm",
    "TakenUp",
    "TypeForm",
    "UndoForm",
    "UndoImportForm",
    "WeighForm",
    "WriteForm",
    "answered_in",
    "containers_on",
    "initial_of",
    "stands",
    "taken_up",
    "typed_of",
]
