"""Who and what the shop is, and where its people sign on."""

from shop.models.search import SearchTail
from shop.models.shop import (
    AuditNote,
    Authorisation,
    AuthorisationEnd,
    BackupTrial,
    Card,
    Check,
    Equipment,
    Establishment,
    FormSent,
    People,
    Person,
    Retirement,
    Series,
    ShopRule,
    Vehicle,
)
from shop.models.stations import Badge, BadgeEnd, Pin, PinEnd, Station, StationEnd

__all__ = [
    "AuditNote",
    "Authorisation",
    "AuthorisationEnd",
    "BackupTrial",
    "Badge",
    "BadgeEnd",
    "Card",
    "Check",
    "Equipment",
    "Establishment",
    "FormSent",
    "People",
    "Person",
    "Pin",
    "PinEnd",
    "Retirement",
    "SearchTail",
    "Series",
    "ShopRule",
    "Station",
    "StationEnd",
    "Vehicle",
]
