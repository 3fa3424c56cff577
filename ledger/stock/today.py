"""What stock has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from ledger.drying.models import Hanging
from ledger.facts.models import User
from ledger.growing.models import Parting

from .models import Batch, Content, HeldBack, Hold, Line, Movement
from .queries import open_takes, overtaken, past_best, with_left, with_loose

Says = tuple[Any, str]


def notes(user: User, on: date) -> Iterator[Says]:
    """Promises short or only in boxes held back, finds to check, loose stems, what is unboxed or too old, boxes held, counts."""
    if user.may("selling"):
        yield from _short()
    if user.may("selling") or user.may("boxes"):
        yield from _only_held_back(on)
    if user.may("boxes"):
        yield from _to_check()
        yield from _loose(on)
        yield from _unboxed()
        yield from _held_back(on)
        yield from _past_best(on)
        yield from _open_takes()


def _short() -> Iterator[Says]:
    n = Hold.objects.left_short().count()
    if n:
        yield (
            ngettext("%(n)d promise is short", "%(n)d promises are short", n) % {"n": n},
            f"{reverse('stock:holds')}?state=short",
        )


def _only_held_back(on: date) -> Iterator[Says]:
    """Lines whose promises cannot be kept without opening a box held back: let it go, or make more."""
    for line in Line.objects.whole().promised_in_held_back(on):
        says = ngettext(
            "%(n)d promised bunch of %(line)s lies in a box held back, and no other is left for it",
            "%(n)d promised bunches of %(line)s lie in boxes held back, and no others are left for them", line.in_held_back,
        )
        yield says % {"n": line.in_held_back, "line": line}, line.get_absolute_url()


def _to_check() -> Iterator[Says]:
    n = Movement.objects.still_to_check().count()
    if n:
        says = ngettext(
            "%(n)d find is to be checked: count the box", "%(n)d finds are to be checked: count the boxes", n
        )
        yield says % {"n": n}, f"{reverse('stock:movements')}?to_check=yes"


def _loose(on: date) -> Iterator[Says]:
    n = with_loose(Hanging.objects.standing(), on).filter(loose__gt=0).count()
    if n:
        says = ngettext("%(n)d hanging has sound stems to bunch", "%(n)d hangings have sound stems to bunch", n)
        yield says % {"n": n}, reverse("stock:make_run")
    dry = with_left(Parting.objects.filter(way=Parting.Way.CUT_DRY), on, "parting").filter(loose__gt=0).count()
    if dry:
        says = ngettext("%(n)d lot cut dry has stems to bunch", "%(n)d lots cut dry have stems to bunch", dry)
        yield says % {"n": dry}, reverse("stock:make_run")


def _unboxed() -> Iterator[Says]:
    n = Content.objects.filter(box__isnull=True, bunches__gt=0).count()
    if n:
        says = ngettext("%(n)d batch is not yet boxed", "%(n)d batches are not yet boxed", n)
        yield says % {"n": n}, f"{reverse('stock:batches')}?left=some"


def _held_back(on: date) -> Iterator[Says]:
    n = HeldBack.objects.in_force(on).filter(until=on).count()
    if n:
        says = ngettext(
            "%(n)d box is held back for the last day: look into it",
            "%(n)d boxes are held back for the last day: look into them", n,
        )
        yield says % {"n": n}, f"{reverse('stock:boxes')}?state=held_back"


def _past_best(on: date) -> Iterator[Says]:
    n = past_best(Batch.objects.on_hand_on(on), on).count()
    if n:
        says = ngettext("%(n)d batch is past its best", "%(n)d batches are past their best", n)
        yield says % {"n": n}, f"{reverse('stock:ages')}?state=past"


def _open_takes() -> Iterator[Says]:
    for take in open_takes():
        says = _("%(take)s is not put into the book yet") % {"take": take}
        yield says, take.get_absolute_url()
        n = len(overtaken(take))
        if n:
            again = ngettext(
                "%(take)s: %(n)d count is to be made again, an earlier entry was put right since",
                "%(take)s: %(n)d counts are to be made again, earlier entries were put right since", n,
            )
            yield again % {"take": take, "n": n}, take.get_absolute_url()
