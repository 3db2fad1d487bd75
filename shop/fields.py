"""A column of our own: a mass."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db import models

from shop.core.mass import Mass

if TYPE_CHECKING:
    from django.db.models.expressions import Combinable

    WholeNumbers = models.BigIntegerField[Mass | int | Combinable, Mass]
else:
    WholeNumbers = models.BigIntegerField


class MassField(WholeNumbers):
    """A mass as whole micrograms in a 64-bit integer column. Never a float, never a bare number in Python."""

    description = "Mass in whole micrograms"

    def get_default(self) -> Any:
        return self.to_python(super().get_default())

    def from_db_value(self, value: int | None, expression: Any, connection: Any) -> Mass | None:
        return None if value is None else Mass(int(value))

    def to_python(self, value: Any) -> Any:
        return value if value is None or isinstance(value, Mass) else Mass(int(value))

    def get_prep_value(self, value: Any) -> Any:
        if value is None or isinstance(value, int) or hasattr(value, "resolve_expression"):
            return value
        if not isinstance(value, Mass):
            raise TypeError(f"{self.name} takes a Mass, not {type(value).__name__}")
        return value.ug

    def value_to_string(self, obj: models.Model) -> str:
        return str(self.get_prep_value(self.value_from_object(obj)))
