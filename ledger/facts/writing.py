"""How anything is written: one verb, one transaction, one day check, one fresh token."""

from __future__ import annotations

import functools
import secrets
from collections.abc import Callable
from contextlib import nullcontext, suppress
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, ParamSpec, TypeVar

from django.apps import apps
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, models, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from .checking import is_taken, save_checked
from .models import CostObject, Fact, FormKey, LedgerState, User
from .queries import first_dependent, today
from .turns import in_turn

P = ParamSpec("P")
R = TypeVar("R")
M = TypeVar("M", bound=models.Model)
EARLIEST_DAY = date(1990, 1, 1)
KEY_LENGTH, KEYS_NOTED = 36, 40


@dataclass
class Writing:
    """The verb under way: the earliest day it touches, and where it sets the closed days to end.

    `guarded`: a savepoint lies around each row kept, so that what the database refuses is put in words.
    """

    guarded: bool = False
    earliest: date | None = None
    closes: bool = False
    closed_until: date | None = None

    def touch(self, on: date) -> None:
        if self.earliest is None or on < self.earliest:
            self.earliest = on


_under_way: ContextVar[Writing | None] = ContextVar("_under_way", default=None)


def refusal(field: str | None, message: Any, *, code: str, **params: Any) -> ValidationError:
    """Return a refusal on `field` (None: the whole form) that says what is so and what would do, days as pages write them."""
    said = {name: date_format(value) if isinstance(value, date) else value for name, value in params.items()}
    error = ValidationError(message, code=code, params=said)
    return error if field is None else ValidationError({field: error})


def action(may: str, *, goes_on: bool = False) -> Callable[[Callable[..., R]], Callable[..., R]]:
    """Make a function a verb of the ledger, open to those whose role allows `may`.

    Called with keyword arguments only: `by` (who does it), optionally `key` (the
    form's key: the second press returns the first result). The outermost verb
    is the transaction; verbs it calls join it. `goes_on`: it goes on after a
    row was refused, so every row is guarded from the first.
    """

    def wrap(verb: Callable[..., R]) -> Callable[..., R]:
        @functools.wraps(verb)
        def do(*, by: User, key: str | None = None, **given: Any) -> R:
            if _under_way.get() is not None:
                return verb(by=by, **given)
            if not by.may(may):
                raise PermissionDenied(_("Your role does not allow this."))
            return _do_whole(verb, by, key, given, goes_on)

        return do

    return wrap


def _do_whole(verb: Callable[..., R], by: User, key: str | None, given: dict[str, Any], goes_on: bool) -> R:
    """Do it without savepoints; where the database refuses a row, which is rare, do it all again with them."""
    if not goes_on:
        with suppress(IntegrityError):
            return _do_once(verb, by, key, given, Writing())
    return _do_guarded(verb, by, key, given)


def _do_guarded(verb: Callable[..., R], by: User, key: str | None, given: dict[str, Any]) -> R:
    """Do it; where somebody's like row came first after all was checked, do it again, so that the checks see that row."""
    try:
        return _do_once(verb, by, key, given, Writing(guarded=True))
    except IntegrityError as error:
        if not is_taken(error):
            raise
    try:
        return _do_once(verb, by, key, given, Writing(guarded=True))
    except IntegrityError as error:
        if not is_taken(error):
            raise
        says = _("Somebody entered the same at this moment. Look at that first, then enter yours if it is another.")
        raise refusal(None, says, code="unique") from error


def _do_once(verb: Callable[..., R], by: User, key: str | None, given: dict[str, Any], writing: Writing) -> R:
    with in_turn(), transaction.atomic():
        claimed = _claim(key, verb, by, writing) if key else None
        if claimed is not None and claimed.result_model != "":
            return _first_result(claimed)
        reset = _under_way.set(writing)
        try:
            result = verb(by=by, **given)
        finally:
            _under_way.reset(reset)
        if claimed is not None:
            _keep_result(claimed, result)
        _seal(writing)
        return result


def _claim(key: str, verb: Callable[..., Any], by: User, writing: Writing) -> FormKey:
    name = f"{verb.__module__}.{verb.__qualname__}"
    try:
        with transaction.atomic() if writing.guarded else nullcontext():
            return FormKey.objects.create(key=key, verb=name, by=by, at=timezone.now())
    except IntegrityError:
        if not writing.guarded:
            raise
        earlier = FormKey.objects.get(pk=key)
    if earlier.verb != name or earlier.by_id != by.pk:
        raise refusal(None, _("This form was used for something else. Open it again."), code="stale_form")
    return earlier


def _keep_result(claimed: FormKey, result: Any) -> None:
    """Note what was made: a record by its key, several of a kind by theirs with a comma after each."""
    several = result if isinstance(result, list) else []
    one = several[0] if several else result
    keys = "".join(f"{row.pk}," for row in several) or str(getattr(one, "pk", ""))
    noted = isinstance(one, models.Model) and len(keys) <= KEYS_NOTED
    claimed.result_model, claimed.result_pk = (one._meta.label, keys) if noted else ("-", "")
    claimed.save()


def _first_result(claimed: FormKey) -> Any:
    if claimed.result_model == "-":
        return None
    rows = apps.get_model(claimed.result_model)._base_manager
    keys = claimed.result_pk.split(",")
    return rows.get(pk=keys[0]) if len(keys) == 1 else [rows.get(pk=key) for key in keys[:-1]]


def done_before(key: str, *, by: User, verb: str) -> Any:
    """What this person's form with that key made by a verb of that name, None where it made nothing yet."""
    claimed = FormKey.objects.filter(pk=key[:KEY_LENGTH], by=by, verb__endswith=f".{verb}").exclude(result_model__in=["", "-"])
    first = claimed.first()
    return None if first is None else _first_result(first)


def _seal(writing: Writing) -> None:
    """Leave a fresh token, unless the verb reached into closed days."""
    state = LedgerState.objects.filter(pk=1)
    if writing.earliest is not None:
        state = state.filter(Q(closed_until__isnull=True) | Q(closed_until__lt=writing.earliest))
    changes: dict[str, Any] = {"token": secrets.token_hex(16)}
    if writing.closes:
        changes["closed_until"] = writing.closed_until
    if not state.update(**changes):
        closed = LedgerState.objects.get(pk=1).closed_until
        raise refusal(
            "on",
            _(
                "The books are closed up to %(closed)s. Enter it on a later day; "
                "the difference is shown as earlier years put right."
            ),
            code="closed",
            closed=closed,
        )


def touch(on: date) -> Writing:
    """Tell the verb under way that it changes what stood on `on`."""
    writing = _under_way.get()
    if writing is None:
        raise RuntimeError("facts are written inside an @action only")
    writing.touch(on)
    return writing


def close_days(until: date | None) -> None:
    """Let the verb under way set the last closed day (None: no day is closed)."""
    writing = _under_way.get()
    if writing is None:
        raise RuntimeError("days are closed inside an @action only")
    writing.closes, writing.closed_until = True, until


def check_day(on: date) -> None:
    """Refuse a day that has not come or lies absurdly far back.

    No zone is a whole day behind UTC, so an older day has come everywhere.
    """
    if on >= timezone.now().date() - timedelta(1) and on > today():
        raise refusal("on", _("That day has not come yet; today is %(today)s."), code="not_yet", today=today())
    if on < EARLIEST_DAY:
        raise refusal("on", _("That is too long ago; check the year."), code="too_long_ago")


def record(fact: M, *, by: User, replaces: Fact | None = None) -> M:
    """Check and keep a new fact."""
    assert isinstance(fact, Fact)
    check_day(fact.on)
    writing = touch(fact.on)
    fact.recorded_at, fact.recorded_by, fact.replaces = timezone.now(), by, replaces
    save_checked(fact, guarded=writing.guarded)
    return fact


def keep(part: M) -> M:
    """Check and keep a new row that is no fact of its own (a line, a name)."""
    writing = _under_way.get()
    if writing is None:
        raise RuntimeError("rows are written inside an @action only")
    save_checked(part, guarded=writing.guarded)
    return part


def open_cost_object(kind: str, label: str) -> CostObject:
    """Make the key of a record that time and money can be spent on."""
    return keep(CostObject(kind=kind, label=label[:200]))


def mark_undone(fact: M, *, by: User) -> M:
    """Mark a fact undone, unless it is already or something rests on it."""
    assert isinstance(fact, Fact)
    if fact.undone_at is not None:
        raise refusal(None, _("This has already been undone."), code="already_undone")
    resting = first_dependent(fact)
    if resting is not None:
        raise refusal(
            None, _("%(what)s rests on this. Undo that first."), code="rested_on", what=str(resting)
        )
    touch(fact.on)
    fact.undone_at, fact.undone_by = timezone.now(), by
    fact.save(update_fields=["undone_at", "undone_by"])
    return fact


def require_standing(fact: Fact, field: str | None = None) -> None:
    """Refuse to build on a fact that was undone after the form was opened."""
    if fact.undone_at is not None:
        raise refusal(
            field, _("%(what)s has been undone since this form was opened."), code="undone", what=str(fact)
        )
