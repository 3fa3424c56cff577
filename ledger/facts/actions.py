"""The verbs of the holding itself, and the ones every stage shares."""

from __future__ import annotations

from datetime import date
from typing import Any, TypeVar
from zoneinfo import ZoneInfo, available_timezones

from django.contrib.auth.password_validation import validate_password
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.reckoning.currency import minor_digits

from .models import Amendment, CostObject, Fact, Holding, TaxRate, TaxStatus, User
from .queries import holding
from .writing import action, keep, mark_undone, record, refusal

M = TypeVar("M", bound=models.Model)


def set_up(
    *, name: str, currency: str, time_zone: str, year_end_month: int, year_end_day: int, season_first_month: int,
    status: str, on: date, username: str, password: str, rate_bp: int = 0, address: str = "",
) -> User:
    """Make the holding and its owner; refused once anybody exists."""
    with transaction.atomic():
        if User.objects.exists() or Holding.objects.exists():
            raise refusal(None, _("This ledger is already set up. Sign in instead."), code="already_set_up")
        _check_setting("currency", minor_digits, currency, _("Not a currency of ISO 4217: %(given)s."))
        _check_setting("time_zone", _known_zone, time_zone, _("Not a known time zone: %(given)s."))
        owner = User(username=username, role=User.Role.OWNER)
        validate_password(password, owner)
        owner.set_password(password)
        owner.full_clean()
        owner.save()
        make_holding(
            by=owner, name=name, address=address, currency=currency, time_zone=time_zone,
            year_end_month=year_end_month, year_end_day=year_end_day, season_first_month=season_first_month,
        )
        set_tax_status(by=owner, on=on, status=status)
        if rate_bp:
            set_tax_rate(by=owner, on=on, rate_bp=rate_bp)
        return owner


def _check_setting(field: str, check: Any, given: str, message: Any) -> None:
    try:
        check(given)
    except (ValueError, KeyError) as error:
        raise refusal(field, message, code="unknown", given=given) from error


def _known_zone(name: str) -> ZoneInfo:
    if name not in available_timezones():
        raise ValueError(name)
    return ZoneInfo(name)


@action("settings")
def make_holding(*, by: User, name: str, **settings: Any) -> Holding:
    """Make the one holding, with its store, on a ledger that has none."""
    return keep(
        Holding(
            pk=1, name=name,
            cost_object=keep(CostObject(kind="holding", label=name)),
            store=keep(CostObject(kind="store", label=str(_("the store")))),
            **settings,
        )
    )


@action("settings")
def set_tax_status(
    *, by: User, on: date, status: str, number: str = "", addition_bp: int = 0
) -> TaxStatus:
    """Record what the seller is towards sales tax from a day on."""
    return record(TaxStatus(on=on, status=status, number=number, addition_bp=addition_bp), by=by)


@action("settings")
def set_tax_rate(*, by: User, on: date, rate_bp: int, code: str = "standard") -> TaxRate:
    """Record a tax rate from a day on, in hundredths of a per cent."""
    return record(TaxRate(on=on, code=code, rate_bp=rate_bp), by=by)


@action("settings")
def undo_tax_status(*, by: User, tax_status: TaxStatus) -> TaxStatus:
    """Undo a tax status: the one before it stands again."""
    return undo_within(tax_status, by=by)


@action("settings")
def undo_tax_rate(*, by: User, tax_rate: TaxRate) -> TaxRate:
    """Undo a tax rate: the one before it stands again."""
    return undo_within(tax_rate, by=by)


@action("settings")
def add_person(*, by: User, username: str, password: str, role: str) -> User:
    """Let another person sign in with a role."""
    person = User(username=username, role=role)
    validate_password(password, person)
    person.set_password(password)
    return keep(person)


@action("settings")
def change_person(*, by: User, person: User, role: str, is_active: bool, password: str = "") -> User:
    """Change what a person may do, whether they may sign in, or a forgotten password."""
    person = User.objects.select_for_update(no_key=True).get(pk=person.pk)
    others = User.objects.filter(role=User.Role.OWNER, is_active=True).exclude(pk=person.pk)
    if (role != User.Role.OWNER or not is_active) and not others.exists():
        raise refusal("role", _("Nobody else is an owner who may sign in. Make another owner first."), code="last_owner")
    if password:
        validate_password(password, person)
        person.set_password(password)
    person.role, person.is_active = role, is_active
    return keep(person)


@action("settings")
def change_holding(*, by: User, seen: dict[str, str], **changes: Any) -> Holding:
    """Change the holding's name, address or method, keeping what stood before."""
    return change_details(holding(), by=by, seen=seen, changes=changes)


def change_details(thing: M, *, by: User, seen: dict[str, str], changes: dict[str, Any]) -> M:
    """Change names, notes or addresses inside a verb, keeping a history.

    `seen`: what the form showed, by field; refused when somebody changed it since.
    """
    assert not isinstance(thing, Fact)
    thing = type(thing)._base_manager.select_for_update(no_key=True).get(pk=thing.pk)
    for field, typed in changes.items():
        before, after = getattr(thing, field), _one_line_end(typed)
        if field in seen and _one_line_end(seen[field]) != _one_line_end(str(before)):
            raise refusal(
                field, _("It now says “%(now)s”: somebody changed it since this form was opened."), code="stale_form", now=before
            )
        if _one_line_end(before) != after:
            setattr(thing, field, after)
            keep(Amendment(model=thing._meta.label, record_pk=str(thing.pk), field=field,
                           before=str(before), after=str(after), by=by, at=timezone.now()))
    return keep(thing)


def _one_line_end(said: Any) -> Any:
    """Words with the ledger's own line ends; a browser sends others."""
    return said.replace("\r\n", "\n") if isinstance(said, str) else said


def undo_within(fact: M, *, by: User) -> M:
    """Undo one fact inside a verb, if nothing rests on it."""
    assert isinstance(fact, Fact)
    return mark_undone(type(fact)._default_manager.lock(fact), by=by)
