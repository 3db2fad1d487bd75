"""Labels and the door sheet are drawn each time; nothing of the drawing is kept."""

from __future__ import annotations

from datetime import datetime

from compliance.core.door_sheet import door_sheet
from compliance.pdf.drawing import draw
from compliance.pdf.labels import draw_labels
from compliance.queries.labels import door_facts, label_facts
from inventory.core.stock import STOCKS
from inventory.models import LabelSheet
from shop.models import Establishment


def door_pdf(establishment: Establishment, *, at: datetime) -> bytes:
    """The sheet for the cabinet's door as PDF."""
    return draw(door_sheet(door_facts(establishment, at=at)))


def label_pdf(sheet: LabelSheet) -> bytes:
    """The sheet as PDF. The same rows give the same bytes."""
    return draw_labels(label_facts(sheet), STOCKS[sheet.stock], skip=sheet.skip, title=f"Labels {sheet.pk}")
