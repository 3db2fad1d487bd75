"""The bay's chart drawn when it is asked for. Nothing of it is kept."""

from __future__ import annotations

from django.utils.translation import get_language, gettext

from compliance.core.bay_chart import BayChart
from compliance.core.translated import spoken
from compliance.pdf.bay_chart import draw_bay_chart


def chart_in_words(sheet: BayChart) -> BayChart:
    """The sheet in the reader's language; its numbers stay as they are."""
    said: BayChart = spoken(sheet, gettext)
    return said


def chart_pdf(sheet: BayChart) -> bytes:
    """One Letter sheet in the reader's language."""
    return draw_bay_chart(chart_in_words(sheet), get_language() or "en")
