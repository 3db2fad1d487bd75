"""Forms convert what was typed and say so when they cannot; services decide."""

from shop.forms.cards import (
    BuyerForm,
    CardForm,
    EndBuyerForm,
    FileChoice,
    FileForm,
    LeaveForm,
    OfficerForm,
    OwnerChangeForm,
    UnreadableForm,
)
from shop.forms.device import BadgeForm, DeviceForm, LanguageForm, NewPinForm, PinForm, StationForm
from shop.forms.equipment import CheckForm, CodeField, EquipmentForm, RetireForm, ScaleCheckForm
from shop.forms.fields import (
    DayField,
    DollarField,
    MassField,
    ReadingField,
    ScaleChoice,
    WholeField,
    line,
    reading_on,
    taken,
)
from shop.forms.gauges import (
    BAROMETER,
    HUMIDITY,
    PRESSURE,
    TEMPERATURE,
    VACUUM,
    GaugeField,
    GramsField,
    MomentField,
)
from shop.forms.outgoing import ListenerForm
from shop.forms.people import AuthoriseForm, DayForm, EndForm, PasswordForm, PersonForm, SignOnForm
from shop.forms.programs import ProgramForm
from shop.forms.rules import RuleChange, RuleForm
from shop.forms.upkeep import BackupTrialForm, ReminderForm
from shop.forms.widgets import ScaleSelect, ScanArea, ScanInput

__all__ = [
    "BAROMETER",
    "HUMIDITY",
    "PRESSURE",
    "TEMPERATURE",
    "VACUUM",
    "AuthoriseForm",
    "BackupTrialForm",
    "BadgeForm",
    "BuyerForm",
    "CardForm",
    "CheckForm",
    "CodeField",
    "DayField",
    "DayForm",
    "DeviceForm",
    "DollarField",
    "EndBuyerForm",
    "EndForm",
    "EquipmentForm",
    "FileChoice",
    "FileForm",
    "GaugeField",
    "GramsField",
    "LanguageForm",
    "LeaveForm",
    "ListenerForm",
    "MassField",
    "MomentField",
    "NewPinForm",
    "OfficerForm",
    "OwnerChangeForm",
    "PasswordForm",
    "PersonForm",
    "PinForm",
    "ProgramForm",
    "ReadingField",
    "ReminderForm",
    "RetireForm",
    "RuleChange",
    "RuleForm",
    "ScaleCheckForm",
    "ScaleChoice",
    "ScaleSelect",
    "ScanArea",
    "ScanInput",
    "SignOnForm",
    "StationForm",
    "UnreadableForm",
    "WholeField",
    "line",
    "reading_on",
    "taken",
]
