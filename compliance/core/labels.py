"""What a label says: the number large and twice, the refrigerant in its box, and a code that a scanner reads."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LabelFacts:
    """``lines`` are short; ``head`` stands over a cylinder's number ("RECOVERED"). ``url`` is what the QR holds."""

    code: str
    refrigerant: str
    flammable: bool
    lines: tuple[str, ...]
    url: str
    again: bool = False
    head: str = ""
    foot: tuple[str, ...] = ()
