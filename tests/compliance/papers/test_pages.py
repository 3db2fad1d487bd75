"""What every page of every paper carries, and what none may say."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from pypdf import PdfReader

from compliance.core.certificate import certificate
from compliance.core.paper import (
    Bars,
    Block,
    Contents,
    Note,
    Pairs,
    Paper,
    Picture,
    Pictures,
    Tab,
    Table,
    Ticket,
    Words,
)
from compliance.core.usage_report import usage_report
from compliance.pdf.drawing import draw
from tests.compliance.papers.reading import pages, text, type_sizes
from tests.compliance.papers.sample import certificate_facts, draft_facts, stopped_facts, usage_report_facts

PAPERS = {
    "charged": certificate(certificate_facts()),
    "not charged": certificate(stopped_facts()),
    "practice": certificate(replace(certificate_facts(), practice=True)),
    "replaced": certificate(
        replace(certificate_facts(), version=2, replaces="Replaces version 1 of Jun 11.")
    ),
    "report": usage_report(usage_report_facts()),
    "draft": usage_report(draft_facts()),
}
every_paper = pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS.keys())

# What a paper of ours must never claim: nobody approves a paper, and no test finds every leak.
CLAIMS = re.compile(
    r"epa approved|approved by|certified by epa|compliant|complies|guarantee|no leak|leak.?free|epa requires"
    r"|required by|expire",
    re.IGNORECASE,
)


@every_paper
def test_every_page_says_whose_it_is_and_which(paper: Paper) -> None:
    shown = pages(paper)
    named = f"{paper.number} · version {paper.version}" if paper.number else "no number yet"

    for number, page in enumerate(shown, 1):
        assert f"Copper Gulch Auto Repair · {named} · fingerprint {paper.fingerprint}" in page
        assert f"page {number} of {len(shown)}" in page
        assert "Made by the shop's record system on" in page
        assert "Weights are as read on the shop's scales." in page


@every_paper
def test_no_paper_makes_a_claim(paper: Paper) -> None:
    assert CLAIMS.findall(text(paper)) == []


@every_paper
def test_no_letter_is_smaller_than_the_floor_but_in_the_foot(paper: Paper) -> None:
    sizes = type_sizes(paper)

    assert min(sizes) == 9.0
    assert min(sizes - {9.0}) == 10.5


@every_paper
def test_every_block_of_the_paper_is_on_its_pages(paper: Paper) -> None:
    drawn = letters(text(paper))

    assert [said for block in paper.blocks for said in words_of(block) if letters(said) not in drawn] == []


def letters(said: str) -> str:
    """A line may break between any two words, and in a cell beside other cells; a word may not be lost."""
    return "".join(said.split())


def words_of(block: Block) -> Iterator[str]:
    """Every word of a block; whole sentences where nothing stands beside them."""
    if isinstance(block, Words | Note):
        yield from block.text.split("\n")
    elif isinstance(block, Pairs):
        yield from (word for row in block.rows for cell in row for word in cell.split())
    elif isinstance(block, Table):
        yield from (word for row in (block.columns, *block.rows) for cell in row for word in cell.split())
        yield from block.notes
    elif isinstance(block, Ticket):
        yield from (word for figure in block.figures for part in figure for word in part.split())
        yield block.line
    elif isinstance(block, Bars):
        yield from (word for bar in block.bars for part in (bar.name, bar.figure) for word in part.split())
        yield block.note
    elif isinstance(block, Picture):
        yield from block.caption.split()
    elif isinstance(block, Pictures):
        yield from (word for line in block.lines for word in line.split())
    elif isinstance(block, Tab):
        yield from (block.mark, *block.title.split(), *block.part.split())
    elif isinstance(block, Contents):
        yield from (word for one in block.entries for word in f"{one.words} {one.figure}".split())
    else:
        yield from (block.statement, block.signed)


def test_a_practice_paper_says_so_on_every_page() -> None:
    shown = pages(PAPERS["practice"])

    assert all("PRACTICE – invented shop, not a record" in page for page in shown)
    assert all(page.count("PRACTICE") == 2 for page in shown)
    assert not any("PRACTICE" in page for page in pages(PAPERS["charged"]))


def test_the_caution_stands_once_on_a_certificate_and_never_on_a_report() -> None:
    caution = "Air conditioning is under pressure; have it opened by a certified technician."

    maybe = "It may still hold refrigerant under pressure; have it opened by a certified technician."

    assert text(PAPERS["charged"]).count(caution) == 1
    assert text(PAPERS["not charged"]).count(maybe) == 1
    assert caution not in text(PAPERS["not charged"])  # it was emptied, so that would be false
    assert caution not in text(PAPERS["report"])


def test_the_head_of_a_table_is_on_each_of_its_pages() -> None:
    facts = usage_report_facts()
    many = [replace(facts.jobs[0], job=f"J26-{number:04d}") for number in range(300)]
    shown = pages(usage_report(replace(facts, jobs=tuple(many))))
    with_jobs = [page for page in shown if len(re.findall(r"J26-\d{4}", page)) > 2]

    assert len(with_jobs) > 12
    assert all("Day Job Vehicle Out Leaks In Label Difference By" in page for page in with_jobs)


def test_a_heading_never_ends_a_page() -> None:
    facts = certificate_facts()
    headings = [block.title for block in PAPERS["charged"].blocks if isinstance(block, Pairs | Note | Table)]

    for more in range(0, 30, 2):
        remarks = tuple(f"Remark {number}." for number in range(more))
        for page in pages(certificate(replace(facts, repairs="x " * 60 * more, remarks=remarks))):
            body = page[: page.index(" Copper Gulch Auto Repair · C26")]
            assert not any(body.endswith(heading) for heading in headings)


def test_a_long_name_wraps_and_is_not_lost() -> None:
    facts = certificate_facts()
    name = "Maximiliana-Guadalupe " * 8 + "Nuñez" + "x" * 120
    said = text(certificate(replace(facts, car=replace(facts.car, customer=name))))

    assert "".join(name.split()) in "".join(said.split())


@pytest.mark.parametrize(
    "typed", ["(dash) \\ and noise", "Łukasz Żółć", "Кузнецов", "¿Dónde está la lata?", "−3 °F ≤ ½ µ ■ ▲ ○ ✎"]
)
def test_what_was_typed_comes_back_as_typed(typed: str) -> None:
    facts = certificate_facts()
    drawn = text(certificate(replace(facts, car=replace(facts.car, complaint=typed))))

    assert letters(typed) in letters(drawn)


def test_a_character_that_no_face_has_is_shown_as_missing_and_a_tab_as_a_space() -> None:
    facts = certificate_facts()
    drawn = text(certificate(replace(facts, car=replace(facts.car, customer="李 of\tSprings"))))

    assert "\ufffd of Springs" in drawn


def test_pages_are_letter_size() -> None:
    box = PdfReader(io.BytesIO(draw(PAPERS["charged"]))).pages[0].mediabox

    assert (float(box.width), float(box.height)) == (612.0, 792.0)
