"""Migrations that make many tables at once.

Django renders the models of every app again for each table, field and
constraint a migration adds, which takes most of the time in which a new
holding's database is made. `together` gives the same operations with what is
added to a table made in the same migration written into its making, and the
new tables made in one step, so that they are rendered once. The tables that come
of it are the same, but that SQLite may keep a table's columns in another order.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.migrations.operations import AddConstraint, AddField, AddIndex, CreateModel
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState


class CreateModels(Operation):
    """Make several tables that may refer to one another."""

    def __init__(self, models: Sequence[CreateModel]) -> None:
        self.models = models

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Add the models to the state, rendered when the database is next asked."""
        state.clear_delayed_apps_cache()
        state.__dict__.pop("apps", None)
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(self, app_label: str, schema_editor: Any, from_state: ProjectState, to_state: ProjectState) -> None:
        """Make the tables, in the order given."""
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label: str, schema_editor: Any, from_state: ProjectState, to_state: ProjectState) -> None:
        """Drop the tables, the last first."""
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        return f"Create models {', '.join(model.name for model in self.models)}"


def together(operations: Sequence[Operation]) -> list[Operation]:
    """The operations with the new tables first, made at once with all that is added to them; the others after, in order."""
    new = {one.name_lower: one for one in operations if isinstance(one, CreateModel)}
    rest: list[Operation] = []
    for one in operations:
        if isinstance(one, CreateModel):
            continue
        if isinstance(one, AddField) and one.model_name_lower in new:
            new[one.model_name_lower].fields.append((one.name, one.field))
        elif isinstance(one, AddConstraint) and one.model_name_lower in new:
            new[one.model_name_lower].options.setdefault("constraints", []).append(one.constraint)
        elif isinstance(one, AddIndex) and one.model_name_lower in new:
            new[one.model_name_lower].options.setdefault("indexes", []).append(one.index)
        else:
            rest.append(one)
    return [CreateModels(list(new.values())), *rest]
