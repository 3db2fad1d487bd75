"""Numbers of cans and cylinders, typed or scanned one after the other."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from inventory.core.numbers import LONGEST, number_in, numbers_in
from inventory.models import Container
from inventory.queries import in_the_cabinet
from shop.forms import ScanArea, ScanInput
from shop.models import Establishment


class NumberField(forms.CharField):
    """The number of one can or cylinder, typed or scanned; whose it is the form asks."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(max_length=LONGEST, widget=ScanInput(), **rest)


def can_numbered(text: str, house: Establishment) -> Container:
    """The can of this shop with that number. Raises ``ValidationError`` when there is none in its book."""
    code = number_in(text)
    cans = Container.objects.filter(establishment=house, pk=code, kind="can")
    can = cans.select_related("can__type", "fate", "establishment").first()
    if can is None:
        missing = _("There is no can %(code)s in the book. Read its number again.") % {"code": code[:24]}
        raise ValidationError(missing)
    return can


class NumbersField(forms.CharField):
    """Cleans to the containers in use with these numbers. The form says whose they are: ``field.house = …``."""

    house: Establishment

    def __init__(self, **rest: Any) -> None:
        said = "Scan one after the other, or type their numbers with blanks between: K-0003 K-0004."
        super().__init__(max_length=20_000, widget=ScanArea(), help_text=said, **rest)

    def clean(self, value: Any) -> Any:
        codes = numbers_in(super().clean(value))
        known = {one.code: one for one in in_the_cabinet(self.house).filter(pk__in=codes)}
        strange = [code[:24] for code in codes if code not in known]
        if strange:
            names = ", ".join(strange[:5])
            raise ValidationError(f"No can or cylinder in use has the number {names}. Read it again.")
        return tuple(known[code] for code in codes)
