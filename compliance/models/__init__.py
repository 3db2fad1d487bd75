"""What was done at the vehicle, whether it holds together, and the paper that says so."""

from compliance.models.jobs import Draft, Job, OnTheCar, Stage
from compliance.models.papers import Certificate, Closing, Document, Link, UsageReport, Withdrawal
from compliance.models.photos import Photo, PhotoSetAside
from compliance.models.stages import (
    Charge,
    CheckIn,
    Evacuation,
    FinalReadings,
    Label,
    LeakCheck,
    LeakTest,
    Recovery,
)
from compliance.models.weighings import CanTicket, Retyping

__all__ = [
    "CanTicket",
    "Certificate",
    "Charge",
    "CheckIn",
    "Closing",
    "Document",
    "Draft",
    "Evacuation",
    "FinalReadings",
    "Job",
    "Label",
    "LeakCheck",
    "LeakTest",
    "Link",
    "OnTheCar",
    "Photo",
    "PhotoSetAside",
    "Recovery",
    "Retyping",
    "Stage",
    "UsageReport",
    "Withdrawal",
]
