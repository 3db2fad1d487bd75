"""Labels are drawn from their rows each time; nothing of the drawing is kept."""

from __future__ import annotations

from compliance.pdf.labels import draw_labels
from compliance.queries.labels import label_facts
from inventory.core.stock import STOCKS
from inventory.models import LabelSheet


def label_pdf(sheet: LabelSheet) -> bytes:
    """The sheet as PDF. The same rows give the same bytes."""
    return draw_labels(label_facts(sheet), STOCKS[sheet.stock], skip=sheet.skip, title=f"Labels {sheet.pk}")
