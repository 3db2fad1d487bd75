"""The visit slip: who came, what was shown and copied, what the shop still owes an answer to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.certificate_facts import Shop
from compliance.core.paper import Block, Note, Pairs, Paper, Table
from compliance.core.wording import clock, day, fingerprint, made_line, moment, said
from shop.core.phrase import joined, phrase

TITLE = phrase("VISIT SLIP")
RUNS = phrase("The visit is not over")


@dataclass(frozen=True, slots=True)
class ShownLine:
    at: str
    what: str
    by: str
    by_pass: bool


@dataclass(frozen=True, slots=True)
class CopyLine:
    at: str
    what: str
    pages: int  # 0 when nobody counted them
    by: str


@dataclass(frozen=True, slots=True)
class OwedLine:
    question: str
    due: str
    by: str


@dataclass(frozen=True, slots=True)
class VisitFacts:
    number: str
    made_at: str
    shop: Shop
    name: str
    agency: str
    credentials: bool
    why: str
    host: str
    came_at: str
    ended_at: str
    note: str
    shown: tuple[ShownLine, ...]
    copies: tuple[CopyLine, ...]
    owed: tuple[OwedLine, ...]
    practice: bool = False


def visit_slip(facts: VisitFacts) -> Paper:
    return Paper(
        title=TITLE,
        number=facts.number,
        version=0,
        dated=moment(facts.came_at),
        shop=(facts.shop.name, said(facts.shop.address), said(facts.shop.phone)),
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at, weights=False),
        made_at=facts.made_at,
        check_url="",
        fingerprint=fingerprint(facts),
        practice=facts.practice,
        state="" if facts.ended_at else RUNS,
    )


def _blocks(facts: VisitFacts) -> Iterator[Block]:
    yield Pairs(
        phrase("Visitor"),
        (
            (phrase("Name"), facts.name),
            (phrase("Agency"), facts.agency),
            (phrase("Credentials"), phrase("seen") if facts.credentials else phrase("not seen")),
            (phrase("Here for"), facts.why),
            (phrase("With"), facts.host),
            (phrase("Time in"), moment(facts.came_at)),
            (phrase("Time out"), moment(facts.ended_at) if facts.ended_at else phrase("still here")),
        ),
        asked_by=phrase("Shop rule"),
    )
    yield Table(
        phrase("Shown"),
        (phrase("When"), phrase("What"), phrase("By")),
        tuple((clock(one.at), one.what, _by(one)) for one in facts.shown),
        empty=phrase("Nothing was shown."),
    )
    yield Table(
        phrase("Copies given"),
        (phrase("When"), phrase("What"), phrase("Pages"), phrase("By")),
        tuple((clock(one.at), one.what, f"{one.pages or '–'}", one.by) for one in facts.copies),
        numeric=(2,),
        empty=phrase("No copy was given."),
    )
    yield Table(
        phrase("Answers owed"),
        (phrase("Question"), phrase("Due by"), phrase("Written by")),
        tuple((one.question, day(one.due), one.by) for one in facts.owed),
        empty=phrase("No question was left open."),
    )
    if facts.note:
        yield Note(facts.note, phrase("At the end"))


def _by(one: ShownLine) -> str:
    return phrase("the visitor, with the pass") if one.by_pass else joined("", [one.by])
