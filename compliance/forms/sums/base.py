"""What every sum has: a name, a title, a line that says what for, its cautions, and an answer."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any

from django import forms

from shop.core.answer import Answer
from shop.core.cautions import Caution
from shop.core.conditions import Conditions
from shop.core.house import HouseRules
from shop.models import Establishment


class SumForm(forms.Form):
    """Filled in by the address (GET), so that a sum can be kept as a bookmark and Back works."""

    do_not_call_in_templates = True  # the list of sums shows the classes themselves
    name: str
    title: Any  # lazy text, said in the reader's language
    purpose: Any
    cautions: tuple[Caution, ...] = ()

    def __init__(self, data: Any = None, *, shop: Establishment, rules: HouseRules, here: Conditions) -> None:
        super().__init__(data)
        self.shop, self.rules, self.here = shop, rules, here
        self.offer()

    def offer(self) -> None:
        """Fill what depends on the shop."""

    @abstractmethod
    def answer(self) -> Answer:
        """The answer to a valid form."""
