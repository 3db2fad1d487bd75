"""The three roles at a shop."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    FRONT_OFFICE = "front office"
    TECHNICIAN = "technician"
    OWNER = "owner"


ROLES = tuple(role.value for role in Role)
