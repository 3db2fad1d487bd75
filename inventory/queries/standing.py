"""How containers stand, for a list of them: one question of the database, put together once and asked often."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Any, NamedTuple

from django.db import DEFAULT_DB_ALIAS, connection

from inventory.queries.cabinet import all_containers, with_standing
from inventory.queries.spots import with_spot
from shop.core.mass import Mass, Reading, Unit


class Stands(NamedTuple):
    """One container now, as ``containers``, ``with_standing`` and ``with_spot`` tell it."""

    pk: str
    kind: str
    refrigerant_id: str
    came_on: date
    known_lot: str
    book: Mass
    last_text: str | None
    last_unit: str | None
    last_gross: Mass | None
    waits_for: str | None
    held_why: str | None
    kept_by: str | None
    unaccepted: bool
    spot: str | None
    arrived: int | None
    fate__what: str | None

    @property
    def last_weighed(self) -> Reading | None:
        if self.last_text is None or self.last_unit is None or self.last_gross is None:
            return None
        return Reading(self.last_text, Unit(self.last_unit), self.last_gross)

    @property
    def on_the_way(self) -> bool:
        return self.spot is not None and self.arrived is None


def standing_now(codes: Sequence[str]) -> list[Stands]:
    """How the containers of these codes stand, in the order of the codes; nothing for a code that is none."""
    if not codes:
        return []
    sql, params, converters = _question(len(codes))
    given = dict(zip(_places(len(codes)), codes, strict=True))
    with connection.cursor() as cursor:
        cursor.execute(sql, [given.get(one, one) for one in params])
        rows = [list(row) for row in cursor.fetchall()]
    for column, (converts, expression) in converters.items():
        for row in rows:
            for convert in converts:
                row[column] = convert(row[column], expression, connection)
    found = {row[0]: Stands(*row) for row in rows}
    return [found[code] for code in codes if code in found]


def _places(many: int) -> list[str]:
    """Where the codes go: no container is called like that."""
    return [f"\0{number}" for number in range(many)]


@cache
def _question(many: int) -> tuple[str, tuple[Any, ...], dict[int, Any]]:
    """The SQL for so many codes, its parameters, and how what comes back is read. Putting it together took longer than
    the database needs to answer."""
    told = with_spot(with_standing(all_containers())).order_by().filter(pk__in=_places(many))
    compiler = told.values_list(*Stands._fields).query.get_compiler(DEFAULT_DB_ALIAS)
    sql, params = compiler.as_sql()
    return sql, params, compiler.get_converters([one for one, *_ in compiler.select])
