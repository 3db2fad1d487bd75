"""Forms of the bay and of the papers: text in, the services' input dataclasses out."""

from compliance.core.stages import StageKind
from compliance.forms.bends import ChoiceForm, HandOverForm
from compliance.forms.charging import FinishChargeForm, MischargeForm, OtherCanForm, WeighForm
from compliance.forms.checking_in import CheckInForm, label_typed
from compliance.forms.closing import CloseForm, NotChargedForm
from compliance.forms.heels import EmptyingForm, HeelForm
from compliance.forms.papers import PeriodForm, WhyForm
from compliance.forms.pumping import EvacuationForm, LeakTestForm, RecoveryForm
from compliance.forms.sharing import LinkForm
from compliance.forms.stages import FinalReadingsForm, LeakCheckForm, RepairForm, SkipForm, StageForm
from compliance.forms.tables import MakersTableForm, TakeBackForm

STAGE_FORMS: dict[StageKind, type[StageForm]] = {
    form.kind: form
    for form in (RecoveryForm, LeakCheckForm, RepairForm, EvacuationForm, LeakTestForm, FinalReadingsForm)
}

__all__ = [
    "STAGE_FORMS",
    "CheckInForm",
    "ChoiceForm",
    "CloseForm",
    "EmptyingForm",
    "EvacuationForm",
    "FinalReadingsForm",
    "FinishChargeForm",
    "HandOverForm",
    "HeelForm",
    "LeakCheckForm",
    "LeakTestForm",
    "LinkForm",
    "MakersTableForm",
    "MischargeForm",
    "NotChargedForm",
    "OtherCanForm",
    "PeriodForm",
    "RecoveryForm",
    "RepairForm",
    "SkipForm",
    "StageForm",
    "TakeBackForm",
    "WeighForm",
    "WhyForm",
    "label_typed",
]
