"""Whether the inspection binder is ready: a line for each of its subjects, Ready, Look or Missing, and what to do.

Missing is said only of what a federal rule asks a shop to keep (40 CFR 82.42(a) and (b)) and of the shop's own name and
address; everything else that is not as it should be is something to look at.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from shop.core.phrase import Phrase, joined, phrase

COUNT_DAYS = 45  # common practice, no source: a month and a half without a count deserves a look
BACKUP_DAYS = 100  # common practice, no source: a backup is tried once a quarter


class State(StrEnum):
    READY = phrase("Ready")
    LOOK = phrase("Look")
    MISSING = phrase("Missing")


@dataclass(frozen=True, slots=True)
class CheckFacts:
    """What the records hold for a range of days. ``None`` days mean never."""

    named: bool
    addressed: bool
    doers: int
    stages: int
    uncovered: int
    without_image: tuple[str, ...]
    machines: int
    unstated: tuple[str, ...]
    unsent: tuple[str, ...]
    unproven: tuple[str, ...]
    facilities: int
    shipments: int
    without_receipt: tuple[str, ...]
    closed: int
    open_jobs: tuple[str, ...]
    tickets: int
    unweighed: int
    purchases: int
    without_invoice: tuple[str, ...]
    counts: int
    days_since_count: int | None
    corrections: int
    releases: int
    pack_chosen: bool
    packs: str
    days_since_trial: int | None
    trial_whole: bool


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One subject: ``key`` names it for the page, which knows where its fix is."""

    key: str
    title: Phrase
    figure: str
    state: State
    sentence: str
    fix: str = ""


def check_lines(facts: CheckFacts) -> tuple[CheckLine, ...]:
    """The twelve lines, in the order of the binder."""
    return (
        _shop(facts),
        _people(facts),
        _statements(facts),
        _sent(facts),
        _jobs(facts),
        _weighings(facts),
        _purchases(facts),
        _counts(facts),
        _corrections(facts),
        _releases(facts),
        _packs(facts),
        _backups(facts),
    )


def tally(lines: tuple[CheckLine, ...]) -> dict[State, int]:
    return {state: sum(one.state is state for one in lines) for state in State}


def some(names: tuple[str, ...]) -> str:
    """The first three by name, and how many more."""
    shown = joined(", ", names[:3])
    more = len(names) - 3
    return phrase("{names} and {more} more", names=shown, more=more) if more > 0 else shown


def _shop(facts: CheckFacts) -> CheckLine:
    title = phrase("The shop")
    if not facts.named or not facts.addressed:
        said = phrase("The legal name or the address of the shop is not on file.")
        return CheckLine("shop", title, "", State.MISSING, said)
    return CheckLine("shop", title, "", State.READY, phrase("Legal name and address are on file."))


def _people(facts: CheckFacts) -> CheckLine:
    title = phrase("People and 609 cards")
    covered = facts.stages - facts.uncovered
    figure = f"{covered:,} / {facts.stages:,}"
    if facts.uncovered:
        said = phrase(
            "{uncovered} of {stages} refrigerant stages: no 609 card of who did it covers that day.",
            uncovered=facts.uncovered,
            stages=facts.stages,
        )
        return CheckLine("people", title, figure, State.MISSING, said, phrase("See those stages"))
    if facts.without_image:
        said = phrase(
            "No readable copy of the 609 card is on file for {names}.", names=some(facts.without_image)
        )
        return CheckLine("people", title, figure, State.MISSING, said, phrase("Photograph the card"))
    if not facts.stages:
        said = phrase("No refrigerant stage was signed in these days.")
    else:
        said = phrase("Every refrigerant stage of these days is covered by a card.")
    return CheckLine("people", title, figure, State.READY, said)


def _statements(facts: CheckFacts) -> CheckLine:
    """Missing while none was ever sent. The shop states once (40 CFR 82.42(a)); a later machine is looked at."""
    title = phrase("Equipment statements")
    none_sent = len(facts.unstated) + len(facts.unsent) == facts.machines
    lacking = State.MISSING if none_sent else State.LOOK
    stated = facts.machines - len(facts.unstated)
    figure = f"{stated:,} / {facts.machines:,}"
    if facts.unstated:
        said = phrase("No statement is on file for {machines}.", machines=some(facts.unstated))
        return CheckLine("statements", title, figure, lacking, said, phrase("Make a statement"))
    if facts.unsent:
        said = phrase("Signed and not sent: {machines}.", machines=some(facts.unsent))
        return CheckLine("statements", title, figure, lacking, said, phrase("Write down the sending"))
    if facts.unproven:
        said = phrase("Sent, without a proof on file: {machines}.", machines=some(facts.unproven))
        return CheckLine("statements", title, figure, State.LOOK, said, phrase("Add a proof"))
    if not facts.machines:
        said = phrase("No recovery machine is on file.")
        return CheckLine("statements", title, figure, State.LOOK, said, phrase("Put the machine on file"))
    said = phrase("Every recovery machine has a statement that was sent.")
    return CheckLine("statements", title, figure, State.READY, said)


def _sent(facts: CheckFacts) -> CheckLine:
    title, figure = phrase("Where refrigerant went"), f"{facts.shipments:,}"
    if facts.without_receipt:
        said = phrase("No receipt from the facility yet: {shipments}.", shipments=some(facts.without_receipt))
        return CheckLine("sent", title, figure, State.LOOK, said, phrase("Write down the receipt"))
    if not facts.shipments:
        said = phrase("No shipment to a facility is recorded in these days. The binder says so.")
    else:
        said = phrase("Every shipment names its facility and the address.")
    return CheckLine("sent", title, figure, State.READY, said)


def _jobs(facts: CheckFacts) -> CheckLine:
    title, figure = phrase("Jobs"), f"{facts.closed:,}"
    if facts.open_jobs:
        said = phrase("Still open from before today: {jobs}.", jobs=some(facts.open_jobs))
        return CheckLine("jobs", title, figure, State.LOOK, said, phrase("Close them"))
    return CheckLine("jobs", title, figure, State.READY, phrase("Every job of an earlier day is closed."))


def _weighings(facts: CheckFacts) -> CheckLine:
    title, figure = phrase("Weighings not weighed"), f"{facts.unweighed:,} / {facts.tickets:,}"
    if facts.unweighed:
        said = phrase(
            "{count} of {all} weigh tickets were not read from a scale at the time. The binder lists them.",
            count=facts.unweighed,
            all=facts.tickets,
        )
        return CheckLine("weighings", title, figure, State.LOOK, said, phrase("See them"))
    return CheckLine(
        "weighings", title, figure, State.READY, phrase("Every weigh ticket was read from a scale.")
    )


def _purchases(facts: CheckFacts) -> CheckLine:
    title, figure = phrase("Purchases with invoices"), f"{facts.purchases:,}"
    if facts.without_invoice:
        said = phrase("No invoice on file for {deliveries}.", deliveries=some(facts.without_invoice))
        return CheckLine("purchases", title, figure, State.LOOK, said, phrase("Add the invoice"))
    return CheckLine("purchases", title, figure, State.READY, phrase("Every delivery has its invoice."))


def _counts(facts: CheckFacts) -> CheckLine:
    title, figure, since = phrase("Counts"), f"{facts.counts:,}", facts.days_since_count
    if since is None:
        said = phrase("The cabinet was never counted in these days.")
        return CheckLine("counts", title, figure, State.LOOK, said, phrase("Count the cabinet"))
    said = {
        0: phrase("The last count is of the last of these days."),
        1: phrase("The last count is 1 day before the last of these days."),
    }.get(since, phrase("The last count is {days} days before the last of these days.", days=since))
    if since > COUNT_DAYS:
        return CheckLine("counts", title, figure, State.LOOK, said, phrase("Count the cabinet"))
    return CheckLine("counts", title, figure, State.READY, said)


def _corrections(facts: CheckFacts) -> CheckLine:
    said = (
        phrase("Each slip says old, new, who, when and why.")
        if facts.corrections
        else phrase("Nothing was put right in these days.")
    )
    return CheckLine("corrections", phrase("Correction slips"), f"{facts.corrections:,}", State.READY, said)


def _releases(facts: CheckFacts) -> CheckLine:
    title, figure = phrase("Releases"), f"{facts.releases:,}"
    said = (
        phrase("The binder lists each release with what happened.")
        if facts.releases
        else phrase("No release is recorded in these days.")
    )
    return CheckLine("releases", title, figure, State.READY, said)


def _packs(facts: CheckFacts) -> CheckLine:
    title = phrase("State and local rules")
    if not facts.pack_chosen:
        said = phrase("No state is chosen, so no state's rules were looked at.")
        return CheckLine("packs", title, "", State.LOOK, said, phrase("Choose the state"))
    return CheckLine("packs", title, "", State.READY, facts.packs)


def _backups(facts: CheckFacts) -> CheckLine:
    title, since = phrase("Backups tried"), facts.days_since_trial
    fix = phrase("Try a backup")
    if since is None:
        return CheckLine("backups", title, "", State.LOOK, phrase("No backup was ever tried."), fix)
    if not facts.trial_whole:
        return CheckLine(
            "backups", title, "", State.LOOK, phrase("The last backup tried was not whole."), fix
        )
    said = {
        0: phrase("The last backup was tried today and was whole."),
        1: phrase("The last backup was tried 1 day ago and was whole."),
    }.get(since, phrase("The last backup was tried {days} days ago and was whole.", days=since))
    if since > BACKUP_DAYS:
        return CheckLine("backups", title, "", State.LOOK, said, fix)
    return CheckLine("backups", title, "", State.READY, said)


def attention(lines: tuple[CheckLine, ...]) -> Iterator[CheckLine]:
    """What is not ready, what is missing first."""
    yield from (one for one in lines if one.state is State.MISSING)
    yield from (one for one in lines if one.state is State.LOOK)
