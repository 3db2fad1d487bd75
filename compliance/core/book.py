"""Whole-book invariants: what ``verify`` checks of rows that were read, without a database."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from compliance.core.chain import START, link_hash
from shop.core.canonical import sha256
from shop.core.findings import Finding, blocked


@dataclass(frozen=True, slots=True)
class LinkRow:
    shop: str
    place: int
    before: str
    body: str
    hash: str


@dataclass(frozen=True, slots=True)
class PaperRow:
    """One stored paper: facts and bytes (None: cleared after their time), the hashes beside them, its link's body."""

    name: str
    facts: str | bytes | None
    pdf: str | bytes | None
    facts_sha256: str
    pdf_sha256: str
    link_body: str


@dataclass(frozen=True, slots=True)
class EditionRow:
    """One edition of a rule pack that a job was closed under, with the SHA-256 that its closing signed."""

    job: str
    edition: str
    sha256: str


@dataclass(frozen=True, slots=True)
class PhotoRow:
    name: str
    jpeg: str | bytes
    sha256: str


def chain_findings(links: Iterable[LinkRow]) -> list[Finding]:
    """Each link follows the one before it, without a gap, and hashes what it holds."""
    found: list[Finding] = []
    newest: dict[str, tuple[int, str]] = {}
    for link in links:
        place, before = newest.get(link.shop, (0, START))
        if link.place != place + 1 or link.before != before:
            sentence = f"{link.shop}: link {link.place} of the chain does not follow link {place}."
            found.append(blocked("chain-broken", sentence))
        if link.hash != link_hash(link.before, link.body):
            sentence = f"{link.shop}: link {link.place} of the chain does not hash to what it says."
            found.append(blocked("link-changed", sentence))
        newest[link.shop] = (link.place, link.hash)
    return found


def paper_findings(papers: Iterable[PaperRow]) -> list[Finding]:
    """Each paper's stored facts and bytes hash to what was written down, and its link holds the same hashes."""
    found = []
    for paper in papers:
        if paper.facts is not None and sha256(paper.facts) != paper.facts_sha256:
            found.append(
                blocked("facts-changed", f"{paper.name}: the stored facts are not those that were signed.")
            )
        if paper.pdf is not None and sha256(paper.pdf) != paper.pdf_sha256:
            found.append(
                blocked("pdf-changed", f"{paper.name}: the stored PDF is not the one that was issued.")
            )
        seals = (f'"facts_sha256":"{paper.facts_sha256}"', f'"pdf_sha256":"{paper.pdf_sha256}"')
        if any(seal not in paper.link_body for seal in seals):
            found.append(blocked("paper-unchained", f"{paper.name}: the chain holds other hashes for it."))
    return found


def photo_findings(photos: Iterable[PhotoRow]) -> list[Finding]:
    """Each photo hashes to what was written down when it was kept."""
    return [
        blocked("photo-changed", f"{photo.name}: the stored picture is not the one that was kept.")
        for photo in photos
        if sha256(photo.jpeg) != photo.sha256
    ]


def edition_findings(closed: Iterable[EditionRow], on_file: Mapping[str, str]) -> list[Finding]:
    """Each edition of a rule pack that a job was closed under is on file and reads as it did. ``on_file`` is
    edition -> SHA-256 of its text. One finding for an edition, with the first job that was closed under it."""
    first: dict[tuple[str, str], str] = {}
    for row in closed:
        first.setdefault((row.edition, row.sha256), row.job)
    found = []
    for (edition, seal), job in first.items():
        now = on_file.get(edition)
        if now is None:
            sentence = f"The rule pack {edition} that {job} was closed under is not on file any more."
            found.append(blocked("pack-missing", sentence))
        elif now != seal:
            sentence = (
                f"The rule pack {edition} does not read as it did when {job} was closed. Bring its file back, and"
                " write what changed into a new edition."
            )
            found.append(blocked("pack-changed", sentence))
    return found


def number_findings(name: str, numbers: Sequence[int]) -> list[Finding]:
    """A series has no gap and no number twice."""
    wanted = list(range(1, len(numbers) + 1))
    if sorted(numbers) == wanted:
        return []
    missing = sorted(set(range(1, max(numbers) + 1)) - set(numbers))
    what = f"{', '.join(map(str, missing[:5]))} missing" if missing else "a number stands twice"
    return [blocked("number-gap", f"Series {name}: {what}.")]
