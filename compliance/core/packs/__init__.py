"""Rule packs: what federal, state and local rules ask of a job of a day, as dated data with citations."""

from compliance.core.packs.kinds import (
    Kind,
    Level,
    Moment,
    Pack,
    PackRule,
    Place,
    Problem,
    Severity,
    Status,
)
from compliance.core.packs.reading import BadPack, read_pack, read_places
from compliance.core.packs.stacking import InForce, Kept, Layer, loosened, stack

__all__ = [
    "BadPack",
    "InForce",
    "Kept",
    "Kind",
    "Layer",
    "Level",
    "Moment",
    "Pack",
    "PackRule",
    "Place",
    "Problem",
    "Severity",
    "Status",
    "loosened",
    "read_pack",
    "read_places",
    "stack",
]
