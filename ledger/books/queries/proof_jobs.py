"""Whether jobs, their deposits, charges, hires and workshops agree with themselves and with one another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from datetime import date
from itertools import accumulate, chain
from typing import TypeVar

from django.db.models import F, Q, QuerySet, Sum

from ledger.sales.models import (
    Deposit,
    HireBack,
    HireOut,
    JobCancelled,
    JobCharge,
    JobDone,
    JobHire,
    JobPiece,
    Payment,
    PlacesGivenBack,
    PlacesSold,
    Workshop,
    WorkshopCalledOff,
    WorkshopHeld,
)

from .proof_taken import alike, taken_differences

K = TypeVar("K", bound=Hashable)


def job_differences() -> Iterable[str]:
    """Every job, deposit, charge, hire and place of a workshop that does not agree."""
    yield from taken_differences()
    yield from _ends()
    yield from _deposits()
    yield from _charges()
    yield from _hires()
    yield from _workshops()


def _below_nothing(rows: Iterable[tuple[K, date, int]], at_first: dict[K, int] | None = None) -> Iterator[tuple[K, date, int]]:
    """The keys whose running sum is below nothing at the end of a day, with that day and the sum, in order of key and day."""
    days: dict[K, dict[date, int]] = defaultdict(lambda: defaultdict(int))
    for key, on, change in rows:
        days[key][on] += change
    for key in days:
        steps = sorted(days[key])
        sums = accumulate((days[key][on] for on in steps), initial=(at_first or {}).get(key, 0))
        yield from ((key, on, left) for on, left in zip(steps, list(sums)[1:], strict=True) if left < 0)


def _ends() -> Iterable[str]:
    """No job is both done and cancelled; nothing of one undone stands."""
    cancelled = JobCancelled.objects.standing().values("job")
    for pk in JobDone.objects.standing().filter(job__in=cancelled).order_by("pk").values_list("job", flat=True):
        yield f"job {pk}: both done and cancelled"
    for model in (JobPiece, JobHire, Deposit, JobDone, JobCancelled):
        lost = model._default_manager.filter(undone_at=None, job__undone_at__isnull=False).order_by("pk")
        for pk in lost.values_list("pk", flat=True):
            yield f"{model._meta.verbose_name} {pk}: its job is undone"


def _deposits() -> Iterable[str]:
    """Of no job more was given back, used and kept on any day than was paid ahead; what is used is on its own invoice."""
    paid = Deposit.objects.standing().order_by("job", "pk").values_list("job", "on", "amount")
    used = Payment.objects.standing().filter(deposit_of__isnull=False).order_by("deposit_of", "pk")
    kept = JobCancelled.objects.standing().order_by("job").values_list("job", "on", "kept")
    out = chain(used.values_list("deposit_of", "on", "amount"), kept)
    for job, on, left in _below_nothing([*paid, *((job, day, -amount) for job, day, amount in out)]):
        yield f"job {job}: {-left} more of its deposits given back, used and kept than paid ahead by {on}"
    own = Q(invoice__job=F("deposit_of"), invoice__kind="invoice")
    for pk, job in used.exclude(own).values_list("pk", "deposit_of"):
        yield f"payment {pk}: a deposit of job {job} on an invoice that is not its own"
    yield from _given_back()


def _given_back() -> Iterable[str]:
    """What went back as a job was cancelled is of that job and day, and stands as the cancelling does."""
    rows = JobCancelled.objects.filter(given_back__isnull=False).order_by("pk")
    right = Q(given_back__job=F("job"), given_back__on=F("on"), given_back__amount__lt=0)
    for pk in rows.exclude(right).values_list("pk", flat=True):
        yield f"job cancelled {pk}: what was given back is not of its job or day"
    for pk in rows.exclude(alike("", "given_back__")).values_list("pk", flat=True):
        yield f"job cancelled {pk}: what was given back does not stand as it does"


def _charges() -> Iterable[str]:
    """What is charged for a job done is each of its standing pieces and hires, as it was said, once."""
    rows = JobCharge.objects.filter(done__undone_at=None).order_by("pk")
    for what, model in (("piece", JobPiece), ("hire", JobHire)):
        charged = rows.filter(**{f"{what}__isnull": False})
        alike = {f"{what}__job": F("done__job"), f"{what}__undone_at": None}
        as_said = Q(quantity=F(f"{what}__quantity"), price=F(f"{what}__price"), **alike)
        for pk in charged.exclude(as_said).values_list("pk", flat=True):
            yield f"job charge {pk}: not what its {what} says"
        said = model._default_manager.filter(undone_at=None, job__in=JobDone.objects.standing().values("job"))
        yield from _charged_once(said, what, charged)


def _charged_once(said: QuerySet, what: str, charged: QuerySet) -> Iterable[str]:
    times: dict[int, int] = defaultdict(int)
    for pk in charged.values_list(what, flat=True):
        times[pk] += 1
    for pk in said.order_by("pk").values_list("pk", flat=True):
        if times[pk] != 1:
            yield f"{what} {pk}: charged {times[pk]} times though its job is done"


def _hires() -> Iterable[str]:
    """On no day more of a hire was back, whole or broken, than had left; nothing left of one that does not stand."""
    left = HireOut.objects.standing().order_by("hire", "pk").values_list("hire", "on", "quantity")
    back = HireBack.objects.standing().order_by("hire", "pk").values_list("hire", "on", F("whole") + F("broken"))
    for hire, on, out in _below_nothing([*left, *((hire, day, -n) for hire, day, n in back)]):
        yield f"hire {hire}: {-out} more back than out by {on}"
    for model in (HireOut, HireBack):
        lost = model._default_manager.filter(undone_at=None, hire__undone_at__isnull=False)
        for pk in lost.order_by("pk").values_list("pk", flat=True):
            yield f"{model._meta.verbose_name} {pk}: its hire is undone"


def _workshops() -> Iterable[str]:
    """Never more places sold than offered nor more given back than sold; all of them where it was called off."""
    sold, back = PlacesSold.objects.standing().order_by("pk"), PlacesGivenBack.objects.standing().order_by("pk")
    offered = dict(Workshop.objects.standing().values_list("pk", "places"))
    changes = [(workshop, on, -places) for workshop, on, places in sold.values_list("workshop", "on", "places")]
    changes += back.values_list("sold__workshop", "on", "places")
    for workshop, on, left in _below_nothing(changes, offered):
        yield f"workshop {workshop}: {-left} more places sold than offered by {on}"
    yield from _returned(sold, back)
    yield from _called_off(sold, back)


def _returned(sold: QuerySet, back: QuerySet) -> Iterable[str]:
    """By each buyer no more places, and no more money, went back than were sold and paid."""
    bought = sold.annotate(paid_in=F("places") * F("price"))
    for of, field, words in (("places", "places", "places"), ("paid_in", "returned", "money")):
        gone = ((pk, on, -n) for pk, on, n in back.values_list("sold", "on", field))
        for pk, on, left in _below_nothing([*bought.values_list("pk", "on", of), *gone]):
            yield f"places sold {pk}: {-left} more {words} given back than sold by {on}"


def _called_off(sold: QuerySet, back: QuerySet) -> Iterable[str]:
    off = WorkshopCalledOff.objects.standing().order_by("pk")
    for pk in off.filter(workshop__in=WorkshopHeld.objects.standing().values("workshop")).values_list("workshop", flat=True):
        yield f"workshop {pk}: both held and called off"
    sums = dict(sold.order_by("workshop").values_list("workshop").annotate(n=Sum("places")))
    gone = dict(back.order_by("sold__workshop").values_list("sold__workshop").annotate(n=Sum("places")))
    for pk in off.values_list("workshop", flat=True):
        if sums.get(pk, 0) != gone.get(pk, 0):
            yield f"workshop {pk}: called off with {sums.get(pk, 0)} places sold and {gone.get(pk, 0)} given back"
    with_it = PlacesGivenBack.objects.filter(called_off__isnull=False).order_by("pk")
    for pk in with_it.exclude(alike("", "called_off__")).values_list("pk", flat=True):
        yield f"places given back {pk}: do not stand as the calling off does"

