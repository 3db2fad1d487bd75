"""What the rule packs of a job's day ask of it, as findings. A rule that was not read never blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from compliance.core.federal.equipment import Approval
from compliance.core.federal.vehicles import look_at_the_label
from compliance.core.job import JobFacts
from compliance.core.packs.kinds import Kind, Severity, Status
from compliance.core.packs.stacking import InForce, Layer
from compliance.core.stages import LeakResult, StageKind, UnitKind
from shop.core.findings import Finding, Weight
from shop.core.phrase import joined, phrase, word

Look = Callable[[JobFacts], Iterator[str]]
NO_LEAK_CHECK = phrase(
    "No leak check of this car was written down. Look for leaks first, or close the job as not charged."
)
ON_THE_CAR = phrase("The label is on the car")
RETROFIT_LABEL = phrase("a retrofit label")
WEIGHTS = {Severity.INFO: Weight.NOTE, Severity.WARNS: Weight.WARNS, Severity.BLOCKS: Weight.BLOCKS}


def _leak_answered(job: JobFacts) -> Iterator[str]:
    if job.charged and job.leak_unanswered:
        yield phrase("The last leak check of this car found a leak, and no repair was written down since.")


def _leak_looked_for(job: JobFacts) -> Iterator[str]:
    looked = [one for one in job.leak_checks if one.result is not LeakResult.NOT_TESTED]
    if job.charged and not looked:
        yield NO_LEAK_CHECK


def _vacuum_pulled(job: JobFacts) -> Iterator[str]:
    if job.charged and not job.emptied_first:
        yield phrase("Nothing was recovered or evacuated before this car was charged.")


def _machine_meets_its_standard(job: JobFacts) -> Iterator[str]:
    for one in job.recoveries:
        if one.approval == Approval.FALLS_SHORT:
            yield phrase(
                "The plate of {machine} names no standard that covers {refrigerant} and what it does.",
                machine=one.machine,
                refrigerant=job.refrigerant,
            )


def _cylinder_retested(job: JobFacts) -> Iterator[str]:
    for one in job.recoveries:
        if one.cylinder_due:
            yield phrase("The stamp of {cylinder} is more than five years old.", cylinder=one.cylinder)


def _model_year_fits(job: JobFacts) -> Iterator[str]:
    light = job.unit_kind is UnitKind.CAR
    if look_at_the_label(job.refrigerant, job.model_year, light=light):
        yield phrase(
            "The VIN says model year {year}, and R-134a is written down.", year=str(job.model_year or "")
        )


# The card and the machine's refrigerant have closing rules of their own, which say more.
LOOKS: dict[str, tuple[StageKind | None, Look]] = {
    "leak-answered": (StageKind.REPAIR, _leak_answered),
    "leak-looked-for": (StageKind.LEAK_CHECK, _leak_looked_for),
    "vacuum-pulled": (StageKind.EVACUATION, _vacuum_pulled),
    "cylinder-retested": (StageKind.RECOVERY, _cylinder_retested),
    "model-year-fits": (StageKind.CHECK_IN, _model_year_fits),
    "machine-standard": (StageKind.RECOVERY, _machine_meets_its_standard),
}
READINGS = frozenset({"low side", "high side", "vent temperature"})
CLOSING_RULES_ASK = frozenset({"card-in-force", "machine-refrigerant"})


def weight_of(layer: Layer) -> Weight:
    """What the rule says, held down to a warning when nobody has read its text."""
    weight = WEIGHTS[layer.rule.severity]
    if weight is Weight.BLOCKS and layer.rule.status is not Status.READ:
        return Weight.WARNS
    return weight


def pack_findings(job: JobFacts, asked: InForce) -> tuple[Finding, ...]:
    """Everything the packs have to say of this job. Whoever closes sees who asks and whether it was read."""
    return (*_gates(job, asked), *_lines(job, asked), *_unanswered(job, asked))


def _gates(job: JobFacts, asked: InForce) -> Iterator[Finding]:
    for layer in asked.gates():
        stage, look = LOOKS.get(layer.rule.text("needs"), (None, None))
        if look is None:
            continue
        for seen in look(job):
            yield _finding(layer, seen, stage.value if stage else "")


def _lines(job: JobFacts, asked: InForce) -> Iterator[Finding]:
    """Values that go on the invoice and were not taken."""
    for layer in asked.of(Kind.INVOICE_LINE):
        value = layer.rule.text("value")
        if job.charged and value in READINGS and value not in job.recorded:
            seen = phrase("Not written down: {value}.", value=word(value))
            yield _finding(layer, seen, StageKind.FINAL_READINGS.value)


def _unanswered(job: JobFacts, asked: InForce) -> Iterator[Finding]:
    """Lists, sayings and labels that nobody has answered; a label that was seen at check-in is answered by that."""
    for layer in asked.answered():
        if not job.charged or (layer.labels_the_car and RETROFIT_LABEL not in job.retrofit_lacks):
            continue
        answers = job.answers.get(layer.rule.code, {})
        left = [one for one in items_of(layer) if one not in answers]
        if left and layer.rule.kind is Kind.CHECKLIST:
            seen = phrase(
                "{count} of {all} have no answer yet: {first}.",
                count=len(left),
                all=len(items_of(layer)),
                first=joined(", ", [word(one) for one in left[:3]]),
            )
            yield _finding(layer, seen, "asked")
        elif left and layer.labels_the_car:
            seen = phrase("Nobody has written down whether the label is on this car.")
            yield _finding(layer, seen, "asked")
        elif left:
            yield _finding(layer, phrase("Nobody has written down that the customer was told."), "asked")


def label_answered(job: JobFacts) -> bool:
    """Whether the label that a rule asks for was put on, or found after all, since check-in."""
    return any(one.get(ON_THE_CAR) in ("put on now", "was on the car") for one in job.answers.values())


def items_of(layer: Layer) -> tuple[str, ...]:
    """What is answered one by one: the items of a list, the one sentence that is said, or whether a label is there."""
    rule = layer.rule
    if layer.labels_the_car:
        return (ON_THE_CAR,)
    return rule.texts("items") if rule.kind is Kind.CHECKLIST else (rule.text("say"),)


def _finding(layer: Layer, seen: str, field: str) -> Finding:
    message = joined(" ", [seen, layer.sentence])
    return Finding(layer.rule.code, weight_of(layer), message, field, layer.basis)
