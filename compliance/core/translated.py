"""A paper in another language: the same blocks, numbers and fingerprint, with our own words said anew."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from compliance.core.paper import Paper
from shop.core.phrase import Translate, in_language


def translated(paper: Paper, translate: Translate, language: str) -> Paper:
    """The paper with every phrase in ``language``; typed text, names and weights stay as they were signed."""
    said: Paper = spoken(paper, translate)
    return replace(said, language=language)


def spoken(value: Any, translate: Translate) -> Any:
    """The same value, a dataclass, tuple or text, with every phrase in it said in another language."""
    if isinstance(value, str):
        return in_language(value, translate)
    if isinstance(value, tuple):
        return tuple(spoken(part, translate) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        parts = {one.name: spoken(getattr(value, one.name), translate) for one in fields(value)}
        return replace(value, **parts)
    return value
