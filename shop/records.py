"""Rows that nobody can change, and the database triggers that see to it.

A wrong record is answered by another record, never by an edit. The guards are (re)installed after every ``migrate``
and ``flush``, because rebuilding a table on SQLite drops its triggers without a word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.apps import AppConfig, apps
from django.conf import settings
from django.db import connections, models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.functions import Now


class Final(models.Model):
    """A row that is written once. Update, delete, replace, upsert and truncate are refused by the database."""

    class Meta:
        abstract = True


class Record(Final):
    """A final row with a signature: who, when they said it happened, and when it reached us."""

    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    received_at = models.DateTimeField(db_default=Now())

    class Meta:
        abstract = True


class Guard:
    """SQL of one guard, per database engine. ``{table}`` stands for the table it watches."""

    def __init__(self, name: str, *, sqlite: Iterable[str], postgresql: Iterable[str]) -> None:
        self.name = name
        self.statements = {"sqlite": tuple(sqlite), "postgresql": tuple(postgresql)}


FINAL = Guard(
    "final",
    sqlite=(
        "CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN"
        " SELECT RAISE(ABORT, '{table} is final: no update'); END",
        "CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN"
        " SELECT RAISE(ABORT, '{table} is final: no delete'); END",
        "CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table}"
        " WHEN EXISTS (SELECT 1 FROM {table} WHERE {pk} = NEW.{pk}) BEGIN"
        " SELECT RAISE(ABORT, '{table} is final: no replace'); END",
    ),
    postgresql=(
        "CREATE OR REPLACE FUNCTION tarebook_final() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        " RAISE EXCEPTION '% is final: no %', TG_TABLE_NAME, lower(TG_OP) USING ERRCODE = 'check_violation';"
        " END $$",
        "CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table}"
        " FOR EACH ROW EXECUTE FUNCTION tarebook_final()",
        "CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table}"
        " FOR EACH STATEMENT EXECUTE FUNCTION tarebook_final()",
    ),
)
MakeGuard = Callable[[], Guard]  # for one that is put together from the fields of models
_MORE_GUARDS: list[tuple[str, Guard | MakeGuard]] = []
_DOORS: dict[str, MakeGuard] = {}


def guard(model_label: str, more: Guard | MakeGuard) -> None:
    """Watch the table of ``app.Model`` with one more guard than every final row has."""
    _MORE_GUARDS.append((model_label, more))


def door(model_label: str, make: MakeGuard) -> None:
    """Watch the final rows of ``app.Model`` with this guard instead of ``FINAL``: it says what else may pass."""
    _DOORS[model_label] = make


def final_models() -> list[type[models.Model]]:
    """Every concrete model whose rows are final."""
    return [model for model in apps.get_models() if issubclass(model, Final)]


def guards() -> list[tuple[type[models.Model], Guard]]:
    """All (model, guard) pairs that must stand in a migrated database."""
    final = [(model, _DOORS.get(model._meta.label, lambda: FINAL)()) for model in final_models()]
    return final + [
        (apps.get_model(label), more if isinstance(more, Guard) else more()) for label, more in _MORE_GUARDS
    ]


def expected_triggers(vendor: str) -> set[str]:
    """The names of every trigger that must stand, to compare with what the database has."""
    return {
        statement.split()[2]
        for model, one in guards()
        for statement in _filled(model, one, vendor)
        if statement.startswith("CREATE TRIGGER")
    }


def present_triggers(connection: BaseDatabaseWrapper) -> set[str]:
    """The names of the triggers that the database has now."""
    question = (
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if connection.vendor == "sqlite"
        else "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'"
    )
    with connection.cursor() as cursor:
        cursor.execute(question)
        return {row[0] for row in cursor.fetchall()}


def install_guards(using: str = "default", sender: AppConfig | None = None, **_: Any) -> None:
    """Drop and create every guard whose table exists; called after every ``migrate`` and ``flush``.

    Django sends that signal once for each app; the guards go up with the last of them, in one transaction.
    """
    if sender is not None and sender is not [app for app in apps.get_app_configs() if app.models_module][-1]:
        return
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with transaction.atomic(using), connection.cursor() as cursor:
        for model, one in guards():
            if model._meta.db_table not in tables:
                continue
            for statement in _filled(model, one, connection.vendor):
                if statement.startswith("CREATE TRIGGER"):
                    cursor.execute(_dropping(statement.split()[2], model._meta.db_table, connection.vendor))
                cursor.execute(statement)


def drop_guards(using: str = "default") -> None:
    """Take every guard away; only the test suite's flush between tests does this."""
    connection = connections[using]
    with connection.cursor() as cursor:
        for model, one in guards():
            for statement in _filled(model, one, connection.vendor):
                if statement.startswith("CREATE TRIGGER"):
                    cursor.execute(_dropping(statement.split()[2], model._meta.db_table, connection.vendor))


def _filled(model: type[models.Model], one: Guard, vendor: str) -> list[str]:
    names = {"{table}": model._meta.db_table, "{pk}": str(model._meta.pk.column)}
    return [_replaced(statement, names) for statement in one.statements[vendor]]


def _replaced(statement: str, names: dict[str, str]) -> str:
    for mark, name in names.items():
        statement = statement.replace(mark, name)
    return statement


def _dropping(trigger: str, table: str, vendor: str) -> str:
    return f"DROP TRIGGER IF EXISTS {trigger}" + ("" if vendor == "sqlite" else f" ON {table}")
