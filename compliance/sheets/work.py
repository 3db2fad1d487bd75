"""Who did what at which car: the record of each technician, for whoever has to keep their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from django.db.models import OuterRef, QuerySet, Subquery

from compliance.core.stages import StageKind
from compliance.models import CheckIn, Stage
from compliance.queries.doers import with_doer
from shop.core.sheet import Sheet, Value, columns
from shop.models import Establishment, Person
from shop.sheets import clock

AT_ONCE = 500  # stages read together


def work_sheet(establishment: Establishment) -> Sheet:
    """One row for each stage as it stands; what was put right before the closing is left out."""
    names = dict(Person.objects.at(establishment).values_list("pk", "name"))
    return Sheet(
        "work",
        "Stages of all jobs with who did them; sort by technician to get one person's record.",
        columns(
            ("technician", "who signed the stage; or, by a correction slip, who did it"),
            ("done_by", "who did it without a 609 card, when that was somebody else"),
            ("at", "when it was written down, on the shop's clock"),
            ("job", "its number"),
            ("stage", "of the work"),
            ("pass", "1, or 2 when it was done again"),
            ("outcome", "done, not needed or stopped"),
            ("reason", "why not, or what was repaired"),
            ("leak_result", "of a leak check"),
            ("refrigerant", "on the car's label"),
            ("vin", "as typed"),
            ("vehicle", "what it is"),
            ("customer", "whose car it was"),
        ),
        (_row(establishment, stage, names) for stage in _standing(_stages(establishment))),
    )


def _stages(establishment: Establishment) -> QuerySet[Stage]:
    newest = CheckIn.objects.filter(stage__job=OuterRef("job")).order_by("-stage__version")
    rows = with_doer(Stage.objects.filter(job__establishment=establishment))
    return (
        rows.select_related("job__vehicle", "leakcheck")
        .annotate(
            customer=Subquery(newest.values("customer")[:1]),
            refrigerant=Subquery(newest.values("refrigerant")[:1]),
        )
        .order_by("job", "kind", "turn", "version")
    )


def _standing(stages: QuerySet[Stage]) -> Iterator[Stage]:
    """The version that holds of every stage and pass."""
    rows: Iterable[Stage] = stages.iterator(chunk_size=AT_ONCE)
    for _, versions in groupby(rows, key=lambda one: (one.job_id, one.kind, one.turn)):
        *_, holds = versions
        yield holds


def _row(establishment: Establishment, stage: Stage, names: dict[int, str]) -> tuple[Value, ...]:
    leak = getattr(stage, "leakcheck", None)
    return (
        names[stage.doer],  # type: ignore[attr-defined]
        stage.bare or None,  # type: ignore[attr-defined]
        clock(establishment, stage.at),
        stage.job.number,
        str(StageKind(stage.kind).label),
        stage.turn,
        stage.outcome,
        stage.reason or None,
        leak.result if leak is not None else None,
        stage.refrigerant,  # type: ignore[attr-defined]
        stage.job.vehicle.vin or None,
        stage.job.vehicle.description,
        stage.customer,  # type: ignore[attr-defined]
    )
