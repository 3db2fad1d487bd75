"""Forms convert what was typed and say so when they cannot; services decide."""

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
from shop.forms.people import AuthoriseForm, CardForm, DayForm, EndForm, PasswordForm, PersonForm, SignOnForm
from shop.forms.rules import RuleChange, RuleForm
from shop.forms.upkeep import BackupTrialForm, ReminderForm

__all__ = [
    "BAROMETER",
    "HUMIDITY",
    "PRESSURE",
    "TEMPERATURE",
    "VACUUM",
    "AuthoriseForm",
    "BackupTrialForm",
    "BadgeForm",
    "CardForm",
    "CheckForm",
    "CodeField",
    "DayField",
    "DayForm",
    "DeviceForm",
    "DollarField",
    "EndForm",
    "EquipmentForm",
    "GaugeField",
    "GramsField",
    "LanguageForm",
    "MassField",
    "MomentField",
    "NewPinForm",
    "PasswordForm",
    "PersonForm",
    "PinForm",
    "ReadingField",
    "ReminderForm",
    "RetireForm",
    "RuleChange",
    "RuleForm",
    "ScaleCheckForm",
    "ScaleChoice",
    "SignOnForm",
    "StationForm",
    "WholeField",
    "line",
    "reading_on",
]
