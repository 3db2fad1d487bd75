"""Forms of the bay and of the papers: text in, the services' input dataclasses out."""

from compliance.forms.charging import FinishChargeForm, WeighForm
from compliance.forms.checking_in import CheckInForm
from compliance.forms.closing import CloseForm, NotChargedForm
from compliance.forms.heels import HeelForm
from compliance.forms.papers import PeriodForm, ReissueCertificateForm, WhyForm
from compliance.forms.stages import (
    EvacuationForm,
    FinalReadingsForm,
    LeakCheckForm,
    LeakTestForm,
    RecoveryForm,
    RepairForm,
    SkipForm,
)

__all__ = [
    "CheckInForm",
    "CloseForm",
    "EvacuationForm",
    "FinalReadingsForm",
    "FinishChargeForm",
    "HeelForm",
    "LeakCheckForm",
    "LeakTestForm",
    "NotChargedForm",
    "PeriodForm",
    "RecoveryForm",
    "ReissueCertificateForm",
    "RepairForm",
    "SkipForm",
    "WeighForm",
    "WhyForm",
]
