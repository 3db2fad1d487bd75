"""What was done at the vehicle, whether it holds together, and the paper that says so."""

from compliance.models.bends import CustomerChoice, HandOver, LightCan, Mischarge, UncertifiedWork
from compliance.models.cards import CardCopied, CardCopy, SupplierNotice
from compliance.models.charts import ChartLook
from compliance.models.clearing import (
    Clearing,
    ClearingConfirmed,
    ClearingDone,
    ClearingJob,
    ClearingLeftOut,
    ClearingUndone,
    PutAway,
    Tombstone,
)
from compliance.models.corrections import (
    CaseFile,
    CorrectedField,
    Correction,
    DoerPutRight,
    JobHold,
    JobHoldEnd,
)
from compliance.models.jobs import Draft, Job, OnTheCar, Stage
from compliance.models.packages import Archived, KeepChoice, Package, SalePack
from compliance.models.packs import PackAnswer, PackChoice
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
from compliance.models.reminders import Reminder
from compliance.models.sharing import CustomerLink, CustomerLinkEnd
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
from compliance.models.statements import EarlierStatement, RegionAddress, StatementProof, StatementSent
from compliance.models.tables import MakerRow, MakerTable, MakerTableTakenBack
from compliance.models.visits import (
    Visit,
    VisitCopy,
    VisitEnd,
    VisitPass,
    VisitPassEnd,
    VisitQuestion,
    VisitShown,
)
from compliance.models.waiting import EntryChoice, SentLater, SpareEntry
from compliance.models.weighings import CanTicket, Retyping

__all__ = [
    "Archived",
    "CanTicket",
    "CardCopied",
    "CardCopy",
    "CaseFile",
    "Certificate",
    "Charge",
    "ChartLook",
    "CheckIn",
    "Clearing",
    "ClearingConfirmed",
    "ClearingDone",
    "ClearingJob",
    "ClearingLeftOut",
    "ClearingUndone",
    "Closing",
    "CorrectedField",
    "Correction",
    "CustomerChoice",
    "CustomerLink",
    "CustomerLinkEnd",
    "Document",
    "DoerPutRight",
    "Draft",
    "EarlierStatement",
    "EntryChoice",
    "Evacuation",
    "FinalReadings",
    "HandOver",
    "Hold",
    "Job",
    "JobHold",
    "JobHoldEnd",
    "KeepChoice",
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
    "PackAnswer",
    "PackChoice",
    "Package",
    "Photo",
    "PhotoSetAside",
    "PutAway",
    "Recovery",
    "RegionAddress",
    "Reminder",
    "Retrofit",
    "Retyping",
    "SalePack",
    "SentLater",
    "ShipmentRecord",
    "SpareEntry",
    "Stage",
    "StatementProof",
    "StatementSent",
    "SupplierNotice",
    "Tombstone",
    "UncertifiedWork",
    "UsageReport",
    "Visit",
    "VisitCopy",
    "VisitEnd",
    "VisitPass",
    "VisitPassEnd",
    "VisitQuestion",
    "VisitShown",
    "Withdrawal",
]
