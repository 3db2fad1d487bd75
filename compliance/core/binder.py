"""The inspection binder: one paper with tabs, what federal rules ask a shop to keep apart from the shop's own records.

The first part holds exactly what 40 CFR 82.42(a) and (b) ask for. Everything after it is kept because the shop keeps it
or because a state asks for it, and says so.
"""

from __future__ import annotations

from collections.abc import Iterator

from compliance.core.binder_facts import BinderFacts
from compliance.core.binder_federal import TabOf, federal_tabs
from compliance.core.binder_own import own_tabs
from compliance.core.paper import Block, Contents, Entry, Note, Pairs, Paper, Tab
from compliance.core.usage_account import accounts
from compliance.core.wording import day, fingerprint, made_line, moment, said
from shop.core.phrase import joined, phrase

TITLE = phrase("INSPECTION BINDER")
FEDERAL_PART = phrase("What federal rules ask a shop to keep")
OWN_PART = phrase("The shop's own records")
NOT_KEPT = phrase("Looked at only, not kept: no number yet")


def binder(facts: BinderFacts) -> Paper:
    """The whole binder. Raises ValueError when an account in it does not hold."""
    return Paper(
        title=TITLE,
        number=facts.number,
        version=1 if facts.number else 0,
        dated=phrase("{first} to {last}", first=day(facts.first), last=day(facts.last)),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.check_url,
        fingerprint=fingerprint(facts),
        practice=facts.practice,
        state="" if facts.number else NOT_KEPT,
    )


def binder_tabs(facts: BinderFacts) -> list[TabOf]:
    """What a visitor reads tab by tab: the same, without the slips of other visits."""
    own = own_tabs(facts, accounts(facts.usage))
    return [*federal_tabs(facts), *(one for one in own if one.key != "visits")]


def _blocks(facts: BinderFacts) -> Iterator[Block]:
    parts = (
        (FEDERAL_PART, list(federal_tabs(facts))),
        (OWN_PART, list(own_tabs(facts, accounts(facts.usage)))),
    )
    entries, rest, place = [], [], 0
    for part, tabs in parts:
        entries.append(Entry("", part))
        for one in tabs:
            place += 1
            entries.append(
                Entry(one.key, phrase("{place}  {title}", place=place, title=one.title), one.figure)
            )
            rest += [Tab(one.key, str(place), one.title, part), *one.blocks]
    yield Pairs("", tuple(_cover(facts)))
    yield Contents(phrase("Contents"), tuple(entries))
    yield _how_to_read()
    yield _looks(facts)
    yield from rest


def _cover(facts: BinderFacts) -> Iterator[tuple[str, str]]:
    yield phrase("Shop"), said(facts.legal_name)
    yield phrase("Days"), phrase("{first} to {last}", first=day(facts.first), last=day(facts.last))
    yield (
        phrase("Who may answer"),
        joined(", ", [*facts.owners, *facts.officers]) or said(""),
    )
    yield phrase("Put together"), joined(", ", [moment(facts.made_at), facts.made_by])
    if facts.why:
        yield phrase("Printed for"), facts.why


def _how_to_read() -> Note:
    lines = [
        phrase(
            "Follow any total: each figure in the contents leads to the tab that lists its parts, and each tab names"
            " the job, certificate or slip behind a line. In the file a click on a line opens its page."
        ),
        phrase(
            "Weights are what a scale showed, written down at the time; what was not read from a scale has a tab of its"
            " own. Masses are grams; 28.349523125 g are one ounce."
        ),
        phrase(
            "No signed record was edited: one that was wrong stays as it was signed, and a correction slip says old,"
            " new, who, when and why."
        ),
        phrase(
            "The first part is what 40 CFR 82.42 asks a shop to keep. The second part is what the shop keeps of its own"
            " accord or because its state asks for it; no federal rule asks for it."
        ),
        phrase("Prices, customers' phones and notes about staff are not in a binder."),
    ]
    return Note(joined("\n", lines), phrase("How to read this"))


def _looks(facts: BinderFacts) -> Note:
    told = [
        phrase("{state}: {title}. {sentence}", state=one.state, title=one.title, sentence=one.sentence)
        for one in facts.looks
    ]
    return Note(
        joined("\n", told) or phrase("Nothing was found missing when this binder was made."),
        phrase("Not as it should be"),
    )
