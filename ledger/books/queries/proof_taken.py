"""Whether what was taken for jobs and workshops, and what came back, is what left the stock book and the lots."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import F, Q, Sum

from ledger.growing.models import Parting
from ledger.sales.models import CameBack, CameBackRow, JobFreed, JobHold, JobLetGo, Taken, TakenRow
from ledger.stock.models import HoldChange, Movement


def taken_differences() -> Iterable[str]:
    """Every taking, coming back and hold of a job that does not agree with what it moved or kept."""
    yield from _taken()
    yield from _fresh()
    yield from _came_back()
    yield from _holds()
    yield from _used()
    yield from _given_back()


def alike(one: str, other: str) -> Q:
    """Whether two facts reached by these paths both stand or are both undone."""
    both = {f"{path}undone_at": None for path in (one, other)}
    return Q(**both) | Q(**{f"{path}undone_at__isnull": False for path in (one, other)})


def _taken() -> Iterable[str]:
    """Rows of a taking are bunches of its line sold on its day; they stand as it does and add up to it."""
    right = alike("taken__", "movement__") & Q(
        movement__on=F("taken__on"), movement__kind=Movement.Kind.SOLD, movement__batch__line=F("taken__line")
    )
    for taken, movement in TakenRow.objects.order_by("pk").exclude(right).values_list("taken", "movement"):
        yield f"taken {taken}: movement {movement} is of another line, kind or day, or does not stand as it does"
    left = dict(TakenRow.objects.order_by("taken").values_list("taken").annotate(n=-Sum("movement__bunches")))
    for pk, quantity in Taken.objects.filter(line__isnull=False).order_by("pk").values_list("pk", "quantity"):
        if left.get(pk, 0) != quantity:
            yield f"taken {pk}: {quantity} bunches taken, {left.get(pk, 0)} left the stock book"


def _fresh() -> Iterable[str]:
    """What was taken fresh left its lot sold, on that day, as many stems."""
    right = alike("", "parting__") & Q(
        parting__on=F("on"), parting__stems=F("quantity"), parting__way=Parting.Way.SOLD_FRESH
    )
    fresh = Taken.objects.filter(parting__isnull=False).order_by("pk")
    for pk, parting in fresh.exclude(right).values_list("pk", "parting"):
        yield f"taken {pk}: parting {parting} has another number, way or day, or does not stand as it does"


def _came_back() -> Iterable[str]:
    """Rows of a coming back bring back what its own taking took, on its day; they stand as it does and add up to it."""
    right = alike("came_back__", "movement__") & Q(
        movement__on=F("came_back__on"), movement__brings_back__taken_row__taken=F("came_back__taken")
    )
    for back, movement in CameBackRow.objects.order_by("pk").exclude(right).values_list("came_back", "movement"):
        yield f"came back {back}: movement {movement} is of another taking or day, or does not stand as it does"
    there = dict(CameBackRow.objects.order_by("came_back").values_list("came_back").annotate(n=Sum("movement__bunches")))
    for pk, quantity in CameBack.objects.order_by("pk").values_list("pk", "quantity"):
        if there.get(pk, 0) != quantity:
            yield f"came back {pk}: {quantity} bunches back, {there.get(pk, 0)} came into the stock book"
    for pk in CameBack.objects.standing().filter(taken__undone_at__isnull=False).order_by("pk").values_list("pk", flat=True):
        yield f"came back {pk}: its taking is undone"


def _holds() -> Iterable[str]:
    """A job's hold is of its line; it keeps nothing once the job is undone, done or cancelled."""
    rows = JobHold.objects.order_by("pk")
    for pk in rows.exclude(hold__line=F("line")).values_list("pk", flat=True):
        yield f"job hold {pk}: it keeps another line"
    changes = HoldChange.objects.standing().filter(hold__job_hold__isnull=False).order_by("hold")
    kept = dict(changes.values_list("hold").annotate(n=Sum("bunches")))
    over = Q(job__undone_at__isnull=False) | Q(job__doings__undone_at=None, job__doings__isnull=False) | Q(
        job__cancellings__undone_at=None, job__cancellings__isnull=False
    )
    for pk, hold in rows.filter(over).distinct().values_list("pk", "hold"):
        if kept.get(hold, 0):
            yield f"job hold {pk}: {kept[hold]} kept though its job is over"


def _used() -> Iterable[str]:
    """What a taking used is of its job's own hold of the line and stands as it does; of a hold no more than was taken."""
    own = Q(used__hold__job_hold__job=F("job"), used__hold__line=F("line"))
    right = alike("", "used__") & (own | Q(undone_at__isnull=False))
    for pk in Taken.objects.filter(used__isnull=False).order_by("pk").exclude(right).values_list("pk", flat=True):
        yield f"taken {pk}: what it used is of another job's hold or line, or does not stand as it does"
    used = HoldChange.objects.standing().filter(why=HoldChange.Why.USED, hold__job_hold__isnull=False).order_by("hold__job_hold")
    taken = Taken.objects.standing().filter(used__isnull=False).order_by("used__hold__job_hold")
    went = dict(taken.values_list("used__hold__job_hold").annotate(n=Sum("quantity")))
    for pk, n in used.values_list("hold__job_hold").annotate(n=-Sum("bunches")):
        if n > went.get(pk, 0):
            yield f"job hold {pk}: {n} used of it, {went.get(pk, 0)} taken"


def _given_back() -> Iterable[str]:
    """What the end of a job gave back is of its own holds and stands as that end does."""
    for model, end in ((JobFreed, "cancelled"), (JobLetGo, "done")):
        own = Q(change__hold__job_hold__job=F(f"{end}__job")) | Q(**{f"{end}__undone_at__isnull": False})
        right = alike(f"{end}__", "change__") & own
        for pk in model._default_manager.order_by("pk").exclude(right).values_list("pk", flat=True):
            yield f"{model._meta.verbose_name} {pk}: of another job's hold, or does not stand as the job's end does"
