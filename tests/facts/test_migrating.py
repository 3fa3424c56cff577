"""Tables that a migration makes together: the same tables as one by one, and gone again the same way."""

from copy import deepcopy

import pytest
from django.db import connections, models
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.operations import AddConstraint, AddField, AddIndex, AlterField, CreateModel
from django.db.migrations.state import ProjectState

from ledger.facts.migrating import CreateModels, together

ID = ("id", models.BigAutoField(primary_key=True))
OLD = CreateModel("Old", [ID, ("name", models.CharField(max_length=10))])
STEPS = [
    CreateModel("Shelf", [ID]),
    AlterField("old", "name", models.CharField(max_length=20)),
    CreateModel("Crate", [ID, ("n", models.IntegerField())]),
    AddField("shelf", "last", models.ForeignKey("loft.crate", models.PROTECT, null=True)),
    AddField("crate", "shelf", models.ForeignKey("loft.shelf", models.PROTECT)),
    AddField("crate", "old", models.ForeignKey("loft.old", models.PROTECT)),
    AddField("old", "crate", models.ForeignKey("loft.crate", models.PROTECT, null=True, related_name="+")),
    AddConstraint("crate", models.UniqueConstraint(fields=["shelf", "n"], name="one_n_a_shelf")),
    AddIndex("crate", models.Index(fields=["n"], name="crate_by_n")),
]


@pytest.fixture
def database(django_db_blocker):
    """A database of its own in memory, of the engine that can have one."""
    given = {**connections["default"].settings_dict, "NAME": ":memory:", "OPTIONS": {}, "ENGINE": "django.db.backends.sqlite3"}
    database = DatabaseWrapper(given, "apart")
    connections["apart"] = database
    with django_db_blocker.unblock():
        yield database
        database.close()
    del connections["apart"]


def run(steps, database):
    """The state the steps end in, and the tables they leave, columns in any order."""
    state, ways = ProjectState(), []
    with database.schema_editor() as editor:
        for step in [deepcopy(OLD), *steps]:
            before = state.clone()
            step.state_forwards("loft", state)
            step.database_forwards("loft", editor, before, state)
            ways.append((step, before, state.clone()))
    return state, ways


def tables(database):
    """What the database says of its tables: columns, keys to others, constraints and indexes."""
    with database.cursor() as cursor:
        ask = database.introspection
        return {
            name: (
                sorted((column.name, column.type_code, column.null_ok) for column in ask.get_table_description(cursor, name)),
                ask.get_relations(cursor, name),
                {key: sorted(said["columns"]) for key, said in ask.get_constraints(cursor, name).items()},
            )
            for name in ask.table_names(cursor)
        }


def test_together_they_come_out_as_one_by_one(database):
    """The same models and the same tables."""
    apart, _ = run(deepcopy(STEPS), database)
    one_by_one = tables(database)
    for name in one_by_one:
        with database.cursor() as cursor:
            cursor.execute(f"DROP TABLE {name}")

    whole, _ = run(together(deepcopy(STEPS)), database)

    assert set(one_by_one) == {"loft_old", "loft_shelf", "loft_crate"}
    assert tables(database) == one_by_one
    assert {key: model.fields.keys() for key, model in whole.models.items()} == {
        key: model.fields.keys() for key, model in apart.models.items()
    }
    assert [one.name for one in whole.models["loft", "crate"].options["constraints"]] == ["one_n_a_shelf"]


def test_what_alters_older_tables_comes_after(database):
    """The new tables are one step; the others keep their order."""
    made, *rest = together(deepcopy(STEPS))

    assert isinstance(made, CreateModels) and made.describe() == "Create models Shelf, Crate"
    assert [type(one) for one in rest] == [AlterField, AddField]


def test_taken_back_they_are_gone(database):
    """Turned round, the tables made are dropped and the older one stays as it was."""
    _, ways = run(together(deepcopy(STEPS)), database)
    with database.schema_editor() as editor:
        for step, before, after in reversed(ways[1:]):
            step.database_backwards("loft", editor, after, before)

    assert {name: [column[0] for column in said[0]] for name, said in tables(database).items()} == {"loft_old": ["id", "name"]}
