"""One thing on a closed job that a correction slip can put right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from compliance.models import Label, Stage
from inventory.models import WeighTicket
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import joined
from shop.core.reading import read_mass

NEVER_EMPTY = frozenset({"customer", "complaint", "places", "pump", "deepest", "description"})


@dataclass(frozen=True)
class Spot:
    """One thing on a closed job that can be put right: where it stands, in words, and how it reads now.

    ``kind`` is "text", "mass" (a reading with its unit), "exact" (grams of the charge's losses), "whole" or "choice".
    """

    key: str
    group: str
    label: str
    kind: str
    row: Any
    attr: str
    most: int = 16
    stage: Stage | None = None
    ticket: WeighTicket | None = None
    choices: tuple[str, ...] = ()
    moves_mass: bool = False

    @property
    def text(self) -> str:
        """As it is typed."""
        if self.kind == "mass":
            return str(getattr(self.row, f"{self.attr}_text"))
        value = getattr(self.row, self.attr)
        return f"{value.to(Unit.G).normalize():f}" if isinstance(value, Mass) else str(value)

    @property
    def unit(self) -> str:
        if self.kind == "mass":
            return str(getattr(self.row, f"{self.attr}_unit"))
        return Unit.G.value if self.kind == "exact" else ""

    @property
    def answers(self) -> tuple[str, ...]:
        """What may be chosen; nothing where it is typed."""
        return self.choices

    @property
    def shown(self) -> str:
        """As it is printed."""
        return self.text if not self.text or self.unit in ("", Unit.LB_OZ) else f"{self.text} {self.unit}"

    @property
    def words(self) -> str:
        return joined(": ", [self.group, self.label])

    @property
    def never_empty(self) -> bool:
        return self.attr in NEVER_EMPTY or (self.kind != "text" and self.attr != "tolerance")

    def put(self, text: str, unit: str) -> None:
        """Let the row say this instead, in memory only. Takes what ``read`` has let through."""
        if isinstance(self.row, Label) and self.row.stage_id is None and self.stage is not None:
            self.row.stage = self.stage  # none was typed at check-in; now the stage has one
        if self.kind == "mass":
            reading = self.read(text, unit)
            setattr(self.row, f"{self.attr}_text", reading.text if reading is not None else "")
            setattr(self.row, f"{self.attr}_unit", reading.unit if reading is not None else unit)
            mass = reading.mass if reading is not None else Mass(0)
            setattr(self.row, "gross" if self.ticket is not None else self.attr, mass)
        elif self.kind == "exact":
            reading = self.read(text, unit)
            setattr(self.row, self.attr, reading.mass if reading is not None else Mass(0))
        else:
            setattr(self.row, self.attr, int(text) if self.kind == "whole" else text)

    def read(self, text: str, unit: str) -> Reading | None:
        """The mass as typed, on the ticket's own scale; None when it is no mass there."""
        division = self.ticket.division if self.ticket is not None else None
        return read_mass(text, Unit(unit), division=division, field=self.key)[0]
