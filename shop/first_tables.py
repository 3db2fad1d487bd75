"""The tables of a new installation, made in one go.

Django carries a migration out step by step, and after every step it builds the classes of all related models anew: for
the first migrations of this program that is 300 times a hundred classes. Here they are built once, as they stand at
the migration's end, and every table is made from its class.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import AddConstraint, AddField, AddIndex, CreateModel
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

PARTS = (AddConstraint, AddField, AddIndex)  # a table made from the class at the end has them already


class FirstTables(Operation):
    """Make the tables that ``steps`` describe. Raises ``TypeError`` for a step that does more than that."""

    reduces_to_sql = True

    def __init__(self, steps: Sequence[Operation]) -> None:
        made = [step.name_lower for step in steps if isinstance(step, CreateModel)]
        for step in steps:
            part_of_ours = isinstance(step, PARTS) and step.model_name_lower in made
            if not isinstance(step, CreateModel) and not part_of_ours:
                raise TypeError(f"Not a part of a new table: {step.describe()}")
        self.steps, self.made = steps, made

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Let the state know all the tables, and build its classes when they are asked for next."""
        state.__dict__.pop("apps", None)
        for step in self.steps:
            step.state_forwards(app_label, state)

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for name in self.made:
            schema_editor.create_model(to_state.apps.get_model(app_label, name))

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for name in reversed(self.made):
            schema_editor.delete_model(from_state.apps.get_model(app_label, name))

    def describe(self) -> str:
        return f"Make {len(self.made)} tables"
