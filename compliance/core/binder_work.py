"""The binder's tab about work: every refrigerant stage of the days against the card of whoever did it."""

from __future__ import annotations

from compliance.core.binder_facts import BinderFacts
from compliance.core.binder_federal import TabOf, covered_said
from compliance.core.paper import Table
from shop.core.phrase import phrase


def work_tab(facts: BinderFacts) -> TabOf:
    stages, lacking = sum(one.stages for one in facts.people) + _bare(facts), facts.uncovered
    work = phrase("{covered} of {stages} stages covered", covered=stages - lacking, stages=stages)
    return TabOf("work", phrase("Work and the cards of its days"), work, (_work(facts),))


def _bare(facts: BinderFacts) -> int:
    """Stages that somebody without a card did: they stand on nobody's line."""
    return facts.uncovered - sum(one.stages - one.covered for one in facts.people)


def _work(facts: BinderFacts) -> Table:
    rows = tuple(
        (
            one.name,
            f"{one.jobs:,}",
            one.first_job or "–",
            one.last_job or "–",
            f"{one.stages:,}",
            f"{one.covered:,}",
            covered_said(one.stages, one.covered),
        )
        for one in facts.people
    )
    if bare := _bare(facts):
        nobody = phrase("Somebody without a 609 card")
        rows += ((nobody, "", "–", "–", f"{bare:,}", "0", phrase("named on the certificates")),)
    columns = (
        phrase("Name"),
        phrase("Jobs"),
        phrase("First"),
        phrase("Last"),
        phrase("Stages"),
        phrase("Covered"),
        phrase("Result"),
    )
    return Table(
        phrase("Stages on or after the issue date"),
        columns,
        rows,
        numeric=(1, 4, 5),
        empty=phrase("No refrigerant stage was signed in these days."),
        asked_by=phrase("Shop rule"),
        notes=(
            phrase(
                "A stage is covered when the doer's card was issued by its day and the doer was authorised."
            ),
        ),
    )
