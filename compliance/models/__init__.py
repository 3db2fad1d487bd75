"""What was done at the vehicle, whether it holds together, and the paper that says so."""

from compliance.models.bends import CustomerChoice, HandOver, LightCan, Mischarge, UncertifiedWork
from compliance.models.corrections import CaseFile, CorrectedField, Correction, HoldEnd, JobHold
from compliance.models.jobs import Draft, Job, OnTheCar, Stage
from compliance.models.papers import (
    Certificate,
    Closing,
    Document,
    Link,
    ShipmentRecord,
    UsageReport,
    Withdrawal,
)
from compliance.models.photos import Photo, PhotoSetAside
from compliance.models.stages import (
    Charge,
    CheckIn,
    Evacuation,
    FinalReadings,
    Hold,
    Label,
    LeakCheck,
    LeakTest,
    Recovery,
    Retrofit,
)
from compliance.models.tables import MakerRow, MakerTable, MakerTableTakenBack
from compliance.models.weighings import CanTicket, Retyping

__all__ = [
    "CanTicket",
    "CaseFile",
    "Certificate",
    "Charge",
    "CheckIn",
    "Closing",
    "CorrectedField",
    "Correction",
    "CustomerChoice",
    "Document",
    "Draft",
    "Evacuation",
    "FinalReadings",
    "HandOver",
    "Hold",
    "HoldEnd",
    "Job",
    "JobHold",
    "Label",
    "LeakCheck",
    "LeakTest",
    "LightCan",
    "Link",
    "MakerRow",
    "MakerTable",
    "MakerTableTakenBack",
    "Mischarge",
    "OnTheCar",
    "Photo",
    "PhotoSetAside",
    "Recovery",
    "Retrofit",
    "Retyping",
    "ShipmentRecord",
    "Stage",
    "UncertifiedWork",
    "UsageReport",
    "Withdrawal",
]
