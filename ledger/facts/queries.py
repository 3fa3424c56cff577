"""Questions about the holding, its days, its tax and what rests on what."""

from __future__ import annotations

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db import models
from django.utils import timezone

from .models import CostObject, Fact, Holding, LedgerState, TaxRate, TaxStatus


def holding() -> Holding:
    """The holding; raises Holding.DoesNotExist before the first set-up."""
    return Holding.objects.get(pk=1)


def today() -> date:
    """The business day now, in the holding's time zone (UTC before set-up)."""
    zone = Holding.objects.filter(pk=1).values_list("time_zone", flat=True).first()
    return timezone.now().astimezone(ZoneInfo(zone or "UTC")).date()


def ledger_state() -> LedgerState:
    """The one row of the ledger's state."""
    return LedgerState.objects.get(pk=1)


def tax_status_on(on: date) -> TaxStatus | None:
    """The seller's tax status that day, None where none was entered."""
    return TaxStatus.objects.standing_on(on).order_by("-on", "-pk").first()


def tax_rate_on(on: date, code: str = "standard") -> int:
    """The tax rate within prices that day in hundredths of a per cent, nil unless registered."""
    status = tax_status_on(on)
    if status is None or status.status != TaxStatus.Status.REGISTERED:
        return 0
    rate = TaxRate.objects.standing_on(on).filter(code=code).order_by("-on", "-pk").first()
    return rate.rate_bp if rate else 0


def rate_on_invoice(on: date, buyer_tax_number: str) -> int:
    """What goes on top of an invoice's net, in hundredths of a per cent.

    A flat-rate farmer's addition is charged to registered buyers only (VAT
    Notice 700/46, paragraphs 1.4 and 1.5); it is not tax.
    """
    status = tax_status_on(on)
    if status is not None and status.status == TaxStatus.Status.FLAT_RATE:
        return status.addition_bp if buyer_tax_number.strip() else 0
    return tax_rate_on(on)


def tax_comes_back_on(on: date) -> bool:
    """Whether tax paid on purchases that day comes back."""
    status = tax_status_on(on)
    return status is not None and status.status == TaxStatus.Status.REGISTERED


def first_dependent(record: models.Model) -> Fact | None:
    """The first standing fact that rests on this one, its own parts left out.

    Follows every reverse relation of the record and of its cost object. A row
    that is no fact names the fact it is part of in `part_of`.
    """
    for found in _resting_on(record, record):
        return found
    key = getattr(record, "cost_object", None)
    if isinstance(key, CostObject):
        for found in _resting_on(key, record):
            return found
    return None


def _resting_on(target: models.Model, record: models.Model) -> Any:
    for relation in target._meta.related_objects:
        model, field = relation.related_model, relation.field.name
        if field == "replaces":
            continue
        part_of = getattr(model, "part_of", None)
        if issubclass(model, Fact):
            rows: Any = model._base_manager.filter(**{field: target.pk}, undone_at__isnull=True)
            if isinstance(record, model):
                rows = rows.exclude(pk=record.pk)
            yield from rows.order_by("pk")[:1]
        elif part_of and part_of != field:
            rows = model._base_manager.filter(**{field: target.pk, f"{part_of}__undone_at__isnull": True})
            rows = rows.exclude(**{part_of: record.pk}) if isinstance(record, _part_model(model, part_of)) else rows
            yield from (getattr(row, part_of) for row in rows.select_related(part_of).order_by("pk")[:1])


def _part_model(model: type[models.Model], part_of: str) -> type[models.Model]:
    related = model._meta.get_field(part_of).related_model
    assert isinstance(related, type)
    return related
