"""Every row of every table, as it is kept: what a shop needs to go on without this program.

The lists read better; the tables leave nothing out but secrets and what is made from other rows.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Q, QuerySet

from compliance.models import CustomerLink, Draft, PutAway
from compliance.queries.cleared import hidden
from inventory.models import ImportDraft, Place
from shop.core.mass import Mass
from shop.core.sheet import Column, Sheet, Value
from shop.fields import MassField
from shop.models import (
    Badge,
    Establishment,
    FormSent,
    Listener,
    Person,
    Pin,
    ProgramAnswer,
    ProgramKey,
    SearchTail,
    Station,
)

OURS = ("shop", "inventory", "compliance")
# what forms and programs were answered, the index of Find, files that wait for a word, details that are put away
LEFT_OUT: tuple[type[models.Model], ...] = (FormSent, ProgramAnswer, SearchTail, ImportDraft, PutAway)
SECRETS = {(Person, "password"), (Pin, "hashed"), (Badge, "code_sha256"), (Station, "token_sha256")} | {
    (ProgramKey, "key_sha256"),
    (CustomerLink, "token"),
    *((Listener, name) for name in ("url", "seed", "secret_sha256")),  # an address may hold a key itself
}


def kept_tables() -> list[type[models.Model]]:
    """The tables that go out."""
    return [
        model
        for model in apps.get_models()
        if model._meta.app_label in OURS and not issubclass(model, LEFT_OUT)
    ]


def table_sheets(establishment: Establishment) -> Iterator[Sheet]:
    """One sheet for each table, with the rows of this shop."""
    for model in kept_tables():
        yield table_sheet(model, [rows_of(model, establishment)])


def table_sheet(model: type[models.Model], parts: Iterable[QuerySet[Any]]) -> Sheet:
    """Rows of one table as a sheet, one part after the other."""
    fields = [field for field in model._meta.concrete_fields if _goes_out(model, field)]
    names = [field.attname for field in fields]
    return Sheet(
        model._meta.db_table,
        " ".join((model.__doc__ or model._meta.verbose_name or "").split()),
        tuple(_column(field) for field in fields),
        (
            tuple(map(_value, row))
            for rows in parts
            for row in rows.order_by("pk").values_list(*names).iterator()
        ),
    )


def rows_of(model: type[models.Model], establishment: Establishment) -> QuerySet[Any]:
    """The rows of a table that belong to one shop. A table that names no shop (refrigerants, kinds of can) is common
    to all; of the places only the shop's own containers and those outside every shop."""
    rows = model._default_manager.all()
    if model is Establishment:
        return rows.filter(pk=establishment.pk)
    if model is Place:
        return rows.filter(Q(container=None) | Q(container__establishment=establishment))
    if model is Draft:
        rows = rows.exclude(job__in=hidden(establishment).values("job"))
    path = way_to_the_shop(model)
    return rows.filter(**{path: establishment}) if path else rows


def way_to_the_shop(model: type[models.Model], seen: tuple[type[models.Model], ...] = ()) -> str:
    """The chain of keys that leads from a table to its shop; by who signed only where nothing else does."""
    keys = [field for field in model._meta.concrete_fields if field.is_relation and not field.null]
    for field in keys:
        if field.related_model is Establishment:
            return str(field.name)
    for field in sorted(keys, key=lambda field: field.name == "by"):
        other: Any = field.related_model
        further = "" if other in (*seen, model) else way_to_the_shop(other, (*seen, model))
        if further:
            return f"{field.name}__{further}"
    return ""


def _goes_out(model: type[models.Model], field: models.Field[Any, Any]) -> bool:
    return not isinstance(field, models.BinaryField) and (model, field.name) not in SECRETS


def _column(field: models.Field[Any, Any]) -> Column:
    about = str(field.verbose_name)
    if isinstance(field, MassField):
        return Column(f"{field.attname}_g", f"{about}, g, exact")
    if field.is_relation and field.related_model is not None:
        return Column(field.attname, f"{about}: a row of {field.related_model._meta.db_table}")
    return Column(str(field.attname), about)


def _value(value: Any) -> Value:
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return value if isinstance(value, str | int | Mass) or hasattr(value, "isoformat") else None
