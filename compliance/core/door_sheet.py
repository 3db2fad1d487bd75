"""The sheet on the cabinet's door: what is inside, by refrigerant, on one day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.core.paper import Block, Frame, Note, Paper, Table
from compliance.core.wording import both, counted, day, made_line, said

TITLE = "IN THIS CABINET"
NOW = Frame(check="What is in it now", fingerprint="made", no_number="cabinet door")
CAUTIONS = (
    "Cool, dry, below the temperature on the labels; cylinders chained; nothing near it that ignites.",
    "Ask the fire marshal how much may stand here. Your state or city may be stricter than this sheet.",
)


@dataclass(frozen=True, slots=True)
class OnHand:
    """One refrigerant: sealed and open cans, and cylinders with what they hold (micrograms)."""

    refrigerant: str
    flammable: bool
    sealed: int
    open_cans: tuple[str, ...]
    in_cans_ug: int
    cylinders: tuple[tuple[str, int], ...]
    doubt_g: int = 0  # by shells that were only estimated


@dataclass(frozen=True, slots=True)
class DoorSheet:
    shop: tuple[str, ...]
    day: str
    made_at: str
    url: str
    on_hand: tuple[OnHand, ...]
    practice: bool = False


def door_sheet(facts: DoorSheet) -> Paper:
    """The paper to hang on the door; its QR opens the cabinet as it is now."""
    return Paper(
        title=TITLE,
        number="",
        version=1,
        dated=day(facts.day),
        shop=facts.shop,
        blocks=tuple(_blocks(facts)),
        made=made_line(facts.made_at),
        made_at=facts.made_at,
        check_url=facts.url,
        fingerprint=facts.day,
        foot=CAUTIONS,
        practice=facts.practice,
        frame=NOW,
    )


def _blocks(facts: DoorSheet) -> Iterator[Block]:
    for one in facts.on_hand:
        title = f"{one.refrigerant}, FLAMMABLE" if one.flammable else one.refrigerant
        rows = [
            (
                "New, in cans",
                f"{counted(one.sealed, 'sealed can')}, {len(one.open_cans)} open",
                both(one.in_cans_ug),
            )
        ]
        if one.doubt_g:
            rows.append(("", "Of that, shells estimated", f"give or take {one.doubt_g} g"))
        rows += [("Open: use first", ", ".join(one.open_cans), "")] if one.open_cans else []
        rows += [("Recovered", code, both(ug)) for code, ug in one.cylinders]
        yield Table(title, ("", "What", "Holds, by the book"), tuple(rows), numeric=(2,))
    if not facts.on_hand:
        yield Note("The cabinet is empty.")
    yield Note(
        f"As the book has it on {day(facts.day)}. {said(facts.shop[0])} counts it; this sheet is not a count."
    )
