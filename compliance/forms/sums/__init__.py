"""Sums that a technician can ask for without a job. Nothing of them is kept.

A new one is a form here, with its ``name`` in the address, and a line in ``SUMS``.
"""

from compliance.forms.sums.base import SumForm
from compliance.forms.sums.can import CanSum
from compliance.forms.sums.hose import HoseSum
from compliance.forms.sums.scale import ScaleSum

SUMS: dict[str, type[SumForm]] = {form.name: form for form in (ScaleSum, CanSum, HoseSum)}

__all__ = ["SUMS", "SumForm"]
