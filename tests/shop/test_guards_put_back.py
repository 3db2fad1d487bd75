"""Guards that the database itself forgets are put back by the next migrate."""

from __future__ import annotations

from django.core.management import call_command
from django.db import connection, models

from shop.models import Card
from shop.records import expected_triggers, present_triggers


def test_the_guards_survive_a_rebuilt_table_and_a_migrate(live_db: None) -> None:
    """SQLite changes a column by building the table anew, and forgets the triggers of the old one."""
    old = Card._meta.get_field("number")
    wider = models.CharField(max_length=61)
    wider.set_attributes_from_name("number")
    wider.model = Card
    with connection.schema_editor() as editor:
        editor.alter_field(Card, old, wider, strict=True)
        editor.alter_field(Card, wider, old, strict=True)
    lost = expected_triggers(connection.vendor) - present_triggers(connection)
    assert ("shop_card_no_update" in lost) == (connection.vendor == "sqlite")

    call_command("migrate", verbosity=0)

    assert expected_triggers(connection.vendor) <= present_triggers(connection)
