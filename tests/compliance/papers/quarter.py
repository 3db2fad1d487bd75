"""The second quarter of 2026 at Copper Gulch Auto Repair. Shop, people, vehicles and numbers are invented."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from compliance.core.certificate_facts import Shop
from compliance.core.usage_report_facts import (
    ClosureLine,
    JobLine,
    NewRefrigerant,
    PurchaseLine,
    Quality,
    RecoveredRefrigerant,
    ReleaseLine,
    TechnicianLine,
    UsageReportFacts,
)

G = 1_000_000
SHOP = Shop("Copper Gulch Auto Repair", "418 Quarry Road, Sample Springs, ST 00000", "555-0142")


def usage_report_facts() -> UsageReportFacts:
    """The second quarter of 2026: 22 + 5 vehicles charged, 2 jobs stopped, 35 g of R-134a unexplained."""
    return UsageReportFacts(
        number="UR-26-02",
        version=1,
        first="2026-04-01",
        last="2026-06-30",
        made_at="2026-07-14T16:10-07:00",
        made_by="Marta Quill",
        shop=SHOP,
        vehicles=29,
        stopped_jobs=2,
        new=(new_r134a(), new_r1234yf()),
        recovered=(
            _cylinders("R-134a", 3110, (4212, 18), 64, 5900, 1486, 1480),
            _cylinders("R-1234yf", 0, (1105, 4), 20, 0, 1125, 1125),
        ),
        releases=(
            ReleaseLine(
                "2026-04-22", "J26-0142", "R-134a", 70 * G, "K-0290: valve would not seal; bay aired"
            ),
            ReleaseLine(
                "2026-05-19", "J26-0166", "R-134a", 25 * G, "K-0301: tap left on overnight; bay aired"
            ),
        ),
        jobs=tuple(_jobs()),
        technicians=(
            TechnicianLine("Dev Larkin", "R-134a", 14, 7012 * G, 14),
            TechnicianLine("Rosa Tamayo", "R-134a", 8, 3934 * G, 8),
            TechnicianLine("Rosa Tamayo", "R-1234yf", 5, 2415 * G, 5),
        ),
        purchases=(
            _purchase("2026-04-02", "88412", "4471", "L24B-07", "R-134a, 12 oz can", 24, 340),
            _purchase("2026-05-12", "88977", "4620", "L25A-02", "R-134a, 12 oz can", 11, 340),
            _purchase("2026-05-12", "88977", "4620", "L25Y-11", "R-1234yf, 8 oz can", 12, 227),
        ),
        closures=tuple(_closures()),
        quality=Quality(
            tickets=118,
            weighed=108,
            from_label=4,
            typed_later=6,
            retyped=5,
            scale_checks=3,
            scale_checks_passed=3,
            corrections=2,
        ),
        counts=("2026-03-31", "2026-06-30"),
        unfinished=(),
        signed="Marta Quill, owner, signed on as marta",
        recorded_under="shop rules as of 2026-06-30",
        check_url="https://book.example/check/UR-26-02/1/",
    )


def draft_facts() -> UsageReportFacts:
    """The same quarter before it is signed, with a job open and no count."""
    ready = usage_report_facts()
    uncounted = tuple(
        replace(one, counted_ug=None, difference_ug=None, counted_basis="not counted on the last day")
        for one in ready.new
    )
    return replace(
        ready,
        number="",
        version=0,
        signed="",
        check_url="",
        new=uncounted,
        counts=("2026-03-31",),
        unfinished=("J26-0199 of Jun 29 is still open.", "The cabinet was not counted on Jun 30."),
    )


def new_r134a() -> NewRefrigerant:
    """5120 + 11900 + 58 - 10946 - 132 - 64 - 95 = 5841, counted 5806."""
    return NewRefrigerant(
        refrigerant="R-134a",
        opening_ug=5120 * G,
        opening_basis="count of 2026-03-31",
        opening_sealed=14,
        opening_open=2,
        received_ug=11_900 * G,
        received_cans=35,
        refused_cans=1,
        fill_ug=58 * G,
        fill_cans=33,
        vehicles_ug=10_946 * G,
        vehicle_jobs=22,
        hoses_ug=132 * G,
        recovered_back_ug=0,
        heels_ug=64 * G,
        released_ug=95 * G,
        released_events=2,
        returned_ug=0,
        expected_ug=5841 * G,
        counted_ug=5806 * G,
        counted_basis="count of 2026-06-30",
        counted_sealed=15,
        counted_open=3,
        difference_ug=-35 * G,
        handled_ug=17_020 * G,
        emptied_cans=33,
    )


def new_r1234yf() -> NewRefrigerant:
    """1362 + 2724 + 4 - 2415 - 25 - 20 = 1630, counted 1624."""
    return replace(
        new_r134a(),
        refrigerant="R-1234yf",
        opening_ug=1362 * G,
        opening_sealed=6,
        opening_open=0,
        received_ug=2724 * G,
        received_cans=12,
        refused_cans=0,
        fill_ug=4 * G,
        fill_cans=10,
        vehicles_ug=2415 * G,
        vehicle_jobs=5,
        hoses_ug=25 * G,
        heels_ug=20 * G,
        released_ug=0,
        released_events=0,
        expected_ug=1630 * G,
        counted_ug=1624 * G,
        counted_sealed=7,
        counted_open=1,
        difference_ug=-6 * G,
        handled_ug=4086 * G,
        emptied_cans=10,
    )


def _cylinders(
    gas: str, opening: int, vehicles: tuple[int, int], heels: int, shipped: int, expected: int, weighed: int
) -> RecoveredRefrigerant:
    return RecoveredRefrigerant(
        refrigerant=gas,
        opening_ug=opening * G,
        vehicles_ug=vehicles[0] * G,
        vehicle_jobs=vehicles[1],
        recovered_back_ug=0,
        heels_ug=heels * G,
        charged_ug=0,
        shipped_ug=shipped * G,
        released_ug=0,
        expected_ug=expected * G,
        weighed_ug=weighed * G,
        difference_ug=(weighed - expected) * G,
    )


def _jobs() -> Iterator[JobLine]:
    """29 jobs: 14 of Larkin (7012 g), 8 and 5 of Tamayo (3934 g, 2415 g), 2 stopped; recoveries of 4212 and 1105 g."""
    larkin = (3, 2, -1, 4, -2, 1, 0, 5, -3, 2, 1, -1, 0, 1)
    tamayo = (4, -2, 3, 5, -1, 2, 0, 3)
    out = iter((210, *[244] * 14, 246, 0, 0, 0, 0, 0, 0))
    number = iter(range(187, 300))
    for label, offs, name in ((500, larkin, "Dev Larkin"), (490, tamayo, "Rosa Tamayo")):
        for off in offs:
            yield _job(next(number), "R-134a", next(out), label, off, name)
    for taken in (180, 160):
        yield _job(next(number), "R-134a", taken, 500, None, "Dev Larkin")
    for off, taken in zip((6, 2, -1, 5, 3), (276, 276, 276, 277, 0), strict=True):
        yield _job(next(number), "R-1234yf", taken, 480, off, "Rosa Tamayo")


def _job(number: int, gas: str, out: int, label: int, off: int | None, name: str) -> JobLine:
    day = date(2026, 4, 3) + timedelta(days=3 * (number - 187))
    charged = off is not None
    return JobLine(
        day=day.isoformat(),
        job=f"J26-{number:04d}",
        certificate=f"C26-{number:04d}",
        vehicle=f"2014 sedan, blue {number:06d}",
        refrigerant=gas,
        recovered_ug=out * G,
        leak="no leak seen" if charged else "leak found",
        charged_ug=(label + off) * G if off is not None else None,
        label_ug=label * G,
        deviation_ug=off * G if off is not None else None,
        verdict="shown" if charged else "not charged",
        technician=name,
    )


def _purchase(day: str, slip: str, invoice: str, lots: str, what: str, cans: int, net: int) -> PurchaseLine:
    return PurchaseLine(
        day,
        "Saltgrass Parts (invented)",
        slip,
        invoice,
        lots,
        what,
        cans,
        cans * net * G,
        "not asked, small cans",
    )


def _closures() -> Iterator[ClosureLine]:
    yield ClosureLine("count", "R-134a", 2, 0, 0, "cans missing from the cabinet")
    yield ClosureLine("shelf", "R-134a", 19, -11_000_000, 2_520_000, "a can that leaks on the shelf")
    yield ClosureLine("can", "R-134a", 33, 58_000_000, 26_400_000, "cans filled short of their label")
    yield ClosureLine("job", "R-134a", 22, 0, 2_700_000, "a weight written against the wrong can")
    yield ClosureLine("count", "R-1234yf", 2, 0, 0, "cans missing from the cabinet")
    yield ClosureLine("shelf", "R-1234yf", 0, 0, 0, "nothing to compare in this period")
    yield ClosureLine("can", "R-1234yf", 10, 4_000_000, 14_500_000, "cans filled short of their label")
    yield ClosureLine("job", "R-1234yf", 5, 0, 1_300_000, "a weight written against the wrong can")
