"""Sums that a technician can ask for without a job. Nothing of them is kept.

A new one is a form here, with its ``name`` in the address, and a line in ``SUMS``.
"""

from compliance.forms.sums.approach import ApproachSum
from compliance.forms.sums.base import SumForm
from compliance.forms.sums.co2e import Co2eSum
from compliance.forms.sums.cylinder import CylinderSum
from compliance.forms.sums.leak_test import LeakTestSum
from compliance.forms.sums.scale import ScaleSum
from compliance.forms.sums.vacuum import VacuumSum

# In the order of the work.
FORMS: tuple[type[SumForm], ...] = (
    CylinderSum,
    VacuumSum,
    LeakTestSum,
    ScaleSum,
    ApproachSum,
    Co2eSum,
)
SUMS = {form.name: form for form in FORMS}

__all__ = ["SUMS", "SumForm"]
