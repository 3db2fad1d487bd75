"""A maker's table of the practice shop, with invented numbers, typed for a car of its list."""

from __future__ import annotations

from compliance import services as bay
from compliance.core.makers_table import Against, RowTyped, TableTyped
from compliance.management.practice_work import Work

TABLE = TableTyped(
    Against.INLET,
    "service information of this car, air conditioning, page 12 (invented)",
    "1,500 rpm, recirculate, blower high, doors closed",
    "°F",
    "psi",
    (
        RowTyped("68", "30-50", "38-43", "125-165", "22-30"),
        RowTyped("68", "50-70", "40-46", "130-170", "24-32"),
        RowTyped("86", "30-50", "43-50", "175-225", "28-38"),
        RowTyped("86", "50-70", "47-55", "185-235", "30-41"),
    ),
)


def makers_table(work: Work) -> None:
    bay.record_makers_table(work.job.vehicle, TABLE, at=work.later(1), by=work.by)
