"""What every paper is made of, before anybody draws it.

A paper is a frozen value: the PDF and the page on screen are two drawings of the same blocks, so they cannot say
different things. Nothing in here knows a database row, a font or a tag.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from shop.core.phrase import phrase


@dataclass(frozen=True, slots=True)
class Words:
    """The part a customer reads: a few plain sentences, set large."""

    text: str


@dataclass(frozen=True, slots=True)
class Pairs:
    """Named values under a heading; ``asked_by`` says who asks for them (Federal, State, Shop rule, Optional)."""

    title: str
    rows: tuple[tuple[str, str], ...]
    asked_by: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under column names. ``numeric`` and ``strong`` are positions of columns and of rows."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: tuple[int, ...] = ()
    strong: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    empty: str = "None."
    asked_by: str = ""


@dataclass(frozen=True, slots=True)
class Ticket:
    """The weigh ticket block: a few huge numbers with their units, and the sum line under them."""

    figures: tuple[tuple[str, str, str], ...]  # (caption, number with unit, the same in the other unit)
    line: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """One quiet paragraph."""

    text: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its name, how long it is against the longest of its block, and the figure beside it."""

    name: str
    amount: int
    figure: str
    solid: bool = True  # else an outline, so that two kinds of bar are told apart without colour


@dataclass(frozen=True, slots=True)
class Bars:
    """A small bar chart. The figures stand beside the bars, so nothing is lost to who does not see them."""

    title: str
    bars: tuple[Bar, ...]
    note: str = ""

    @property
    def drawn(self) -> tuple[tuple[Bar, int], ...]:
        """Each bar with its length in thousandths of the longest."""
        longest = max((bar.amount for bar in self.bars), default=0) or 1
        return tuple((bar, max(bar.amount, 0) * 1000 // longest) for bar in self.bars)


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo in RGB JPEG with its size in pixels, and what it shows. ``href`` is where a page finds it."""

    caption: str
    jpeg: bytes
    width: int
    height: int
    href: str = ""


@dataclass(frozen=True, slots=True)
class Pictures:
    """Photos, each over its line of words. A page shows them from the record; there ``pictures`` is empty."""

    title: str
    lines: tuple[str, ...]
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed, and the sentence they signed under."""

    statement: str
    signed: str


@dataclass(frozen=True, slots=True)
class Tab:
    """Begins a page of its own. ``mark`` stands on the edge of its pages, links to ``key`` lead here, and the PDF has
    a bookmark for it. ``part`` names the part of the paper that it belongs to."""

    key: str
    mark: str
    title: str
    part: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the contents: what it leads to and what stands there, in figures. Without a key it is a heading."""

    key: str
    words: str
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Contents:
    """Where everything is; whoever draws it puts in the page numbers."""

    title: str
    entries: tuple[Entry, ...]
    page: str = phrase("Page")


Block = Words | Pairs | Table | Bars | Ticket | Note | Pictures | Picture | Signature | Tab | Contents


@dataclass(frozen=True, slots=True)
class Frame:
    """The few words of a page's head and foot, in the paper's language."""

    check: str = phrase("Check this paper")
    fingerprint: str = phrase("fingerprint")
    page: str = phrase("page")
    of: str = phrase("of")
    version: str = phrase("version")
    asked_by: str = phrase("asked by")
    optional: str = phrase("Optional")
    signature: str = phrase("Signature")
    practice: str = phrase("PRACTICE – invented shop, not a record")
    no_number: str = phrase("no number yet")


NEVER_NUMBERED = Frame(no_number="")


@dataclass(frozen=True, slots=True)
class Paper:
    """A whole paper. ``check_path`` is what its QR leads to; ``fingerprint`` is the short hash of its facts.
    A paper that has no versions is version 0."""

    title: str
    number: str
    version: int
    dated: str
    shop: tuple[str, ...]
    blocks: tuple[Block, ...]
    made: str
    check_url: str
    fingerprint: str
    foot: tuple[str, ...] = ()
    replaces: str = ""
    practice: bool = False
    language: str = "en"
    frame: Frame = Frame()
    copy: str = ""  # says what this is a copy of, when it is not the signed original
    state: str = field(default="")  # "DRAFT - not signed" is printed across the head when it is not empty
    made_at: str = (
        ""  # ISO 8601 with offset; dates the file itself, so that its bytes never depend on the clock
    )
