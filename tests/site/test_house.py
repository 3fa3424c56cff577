"""The house: relations protect, and never reach to a later stage."""

import tomllib

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models

PYPROJECT = tomllib.loads((settings.ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LATER_FIRST = next(one["layers"] for one in PYPROJECT["tool"]["importlinter"]["contracts"] if one["type"] == "layers")
OURS = [model for model in apps.get_models() if model.__module__.startswith("ledger.")]
RELATIONS = [
    field for model in OURS for field in model._meta.get_fields()
    if field.is_relation and not field.auto_created and field.related_model
]


def stage_of(model):
    """The place on the path, the earliest highest."""
    return LATER_FIRST.index(model._meta.app_label)


def test_every_stage_with_records_is_looked_at():
    """The walk meets each stage that keeps records."""
    assert {model._meta.app_label for model in OURS} == set(LATER_FIRST) - {"reckoning"}


@pytest.mark.parametrize("field", [one for one in RELATIONS if not one.many_to_many], ids=str)
def test_every_foreign_key_protects(field):
    """Nothing disappears because something else did."""
    assert field.remote_field.on_delete is models.PROTECT


@pytest.mark.parametrize(
    "field", [one for one in RELATIONS if one.related_model.__module__.startswith("ledger.")], ids=str
)
def test_no_relation_reaches_to_a_later_stage(field):
    """A record points along the path backwards only, string foreign keys included."""
    assert stage_of(field.related_model) >= stage_of(field.model)
