"""Checking and keeping one row: the database judges, and its refusals are put in words."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction


def save_checked(row: models.Model, *, guarded: bool = True) -> None:
    """Save a row as `full_clean()` and `save()` would, asking the database only once.

    Keys of records at hand are not looked up again, and uniqueness and
    constraints are left to the database, which holds them anyway; only a row it
    refuses is checked the long way, for the sentence the grower reads. Not
    `guarded`: the database's refusal is raised as it is, its transaction lost.
    """
    try:
        row.clean_fields(exclude=_at_hand(row))
        row.clean()
    except ValidationError:
        row.full_clean()
        raise
    if not guarded:
        return row.save(force_insert=row._state.adding)
    try:
        with transaction.atomic():
            row.save(force_insert=row._state.adding)
    except IntegrityError:
        row.full_clean()
        raise


def is_taken(error: IntegrityError) -> bool:
    """Whether the database refused a row for one that is there already, by SQLite's or PostgreSQL's own code."""
    cause = error.__cause__
    name = getattr(cause, "sqlite_errorname", "")
    return name in {"SQLITE_CONSTRAINT_UNIQUE", "SQLITE_CONSTRAINT_PRIMARYKEY"} or getattr(cause, "sqlstate", "") == "23505"


def _at_hand(row: models.Model) -> set[str]:
    """The foreign keys whose record was read or made before, and so is there; all those of a row kept already."""
    keys: Any = (field for field in row._meta.concrete_fields if field.is_relation and not field.get_limit_choices_to())
    return {field.name for field in keys if not row._state.adding or (field.is_cached(row) and _is_there(row, field))}


def _is_there(row: models.Model, field: Any) -> bool:
    record = field.get_cached_value(row)
    if record is None or record._state.adding:
        return False
    return bool(getattr(record, field.target_field.attname) == getattr(row, field.attname))
