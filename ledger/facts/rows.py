"""Sheets of many rows: saying which row a refusal is about."""

from __future__ import annotations

from django.core.exceptions import ValidationError


def of_row(error: ValidationError, key: int, *, fields: tuple[str, ...]) -> dict[str, list[ValidationError]]:
    """The refusal of one row of a sheet: each field with the row's key, what names none of `fields` on the first."""
    found = error.error_dict if hasattr(error, "error_dict") else {fields[0]: error.error_list}
    named: dict[str, list[ValidationError]] = {}
    for field, errors in found.items():
        named.setdefault(f"{field if field in fields else fields[0]}_{key}", []).extend(errors)
    return named
