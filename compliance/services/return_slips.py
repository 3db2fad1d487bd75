"""The return slip as PDF, drawn when it is asked for."""

from __future__ import annotations

from compliance.core.return_slip import return_slip
from compliance.pdf.drawing import draw
from compliance.queries.return_slips import return_slip_facts
from inventory.models import ReturnSlip


def return_slip_pdf(slip: ReturnSlip) -> bytes:
    """The bytes of its paper: the same rows draw the same bytes."""
    return draw(return_slip(return_slip_facts(slip)))
