"""Sums that a technician can ask for without a job. Nothing of them is kept.

A new one is a form here, with its ``name`` in the address, and a line in ``SUMS``.
"""

from compliance.forms.sums.base import SumForm
from compliance.forms.sums.leak_test import LeakTestSum
from compliance.forms.sums.scale import ScaleSum
from compliance.forms.sums.vacuum import VacuumSum

SUMS: dict[str, type[SumForm]] = {form.name: form for form in (ScaleSum, LeakTestSum, VacuumSum)}

__all__ = ["SUMS", "SumForm"]
