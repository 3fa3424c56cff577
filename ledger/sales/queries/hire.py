"""Things for hire: how many are owned, promised, out and free."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from django.db.models import Sum

from ledger.facts.queries import today
from ledger.reckoning.hiring import Stretch, fewest_free, first_short, most_taken_up
from ledger.sales.models import HireBack, HireItem, HireItemCount, HireOut, JobCancelled, JobHire
from ledger.stock.queries import lowest_from

Changes = list[tuple[date, int]]


def owned_changes(item: HireItem) -> Changes:
    """By how many more (+) or fewer (-) of a thing there are from a day on; broken and lost ones are fewer."""
    return _owned([item])[item.pk]


def _owned(items: Iterable[HireItem]) -> dict[int, Changes]:
    """The same of several, by key; two statements."""
    found: dict[int, Changes] = {item.pk: [] for item in items}
    for item, on, more in HireItemCount.objects.standing().filter(item__in=found).values_list("item", "on", "more"):
        found[item].append((on, more))
    broken = HireBack.objects.standing().filter(hire__item__in=found, broken__gt=0)
    for item, on, number in broken.values_list("hire__item", "on", "broken"):
        found[item].append((on, -number))
    return found


def owned_on(item: HireItem, on: date) -> int:
    """How many of a thing there are at the end of that day, out or not: counted, less broken and lost ones."""
    return sum(change for day, change in owned_changes(item) if day <= on)


def stretches_of(item: HireItem) -> list[Stretch]:
    """What takes up a thing and when: hires planned, of a cancelled job what is out; what is late, till it is back or today."""
    return _stretches([item])[item.pk]


def _stretches(items: Iterable[HireItem]) -> dict[int, list[Stretch]]:
    """The same of several, by key; four statements."""
    found: dict[int, list[Stretch]] = {item.pk: [] for item in items}
    now = today()
    hires = JobHire.objects.standing().filter(item__in=found).order_by("pk")
    over = set(hires.filter(job__in=JobCancelled.objects.standing().values("job")).values_list("pk", flat=True))
    out = dict(HireOut.objects.standing().filter(hire__in=hires).order_by().values_list("hire").annotate(n=Sum("quantity")))
    back: dict[int, Changes] = defaultdict(list)
    backs = HireBack.objects.standing().filter(hire__in=hires)
    for hire, on, whole, broken in backs.values_list("hire", "on", "whole", "broken"):
        back[hire].append((on, whole + broken))
    for one in hires:
        went = out.get(one.pk, 0)
        wanted = went if one.pk in over else max(one.quantity, went)
        found[one.item_id].append(Stretch(one.first_day, one.last_day, wanted, back[one.pk]))
        if went and one.last_day < now:
            found[one.item_id].append(Stretch(one.last_day + timedelta(1), now, went, back[one.pk]))
    return found


def items_short(on: date) -> list[tuple[HireItem, date, int]]:
    """Things of which from a day on more is promised than there is: from when first, and by how many; by name."""
    items = list(HireItem.objects.filter(pk__in=JobHire.objects.standing().filter(last_day__gte=on).values("item")))
    owned, stretches = _owned(items), _stretches(items)
    short = [(item, first_short(on, owned[item.pk], stretches[item.pk])) for item in items]
    return [(item, *found) for item, found in short if found is not None]


def promised_on(item: HireItem, first: date, last: date) -> int:
    """The most of a thing that hires take up on any one day from `first` to `last`, what came back left out."""
    return most_taken_up(first, last, stretches_of(item))


def free_for_hire(item: HireItem, first: date, last: date) -> int:
    """The fewest of a thing free on any day from `first` to `last`; below nil where more is promised than there is."""
    return fewest_free(first, last, owned_changes(item), stretches_of(item))


def out_changes(hire: JobHire) -> list[tuple[date, int]]:
    """What left (+) and what came back, whole or not (-), of a hire, by day."""
    left = hire.outs.standing().values_list("on", "quantity")
    back = hire.backs.standing().values_list("on", "whole", "broken")
    return [*left, *((on, -whole - broken) for on, whole, broken in back)]


def still_out(hire: JobHire) -> int:
    """How many of a hire left and neither came back nor are known to be broken or lost."""
    return sum(change for _on, change in out_changes(hire))


def could_come_back(hire: JobHire, on: date) -> int:
    """How many of a hire could come back on a day, with what came back on later days."""
    return max(lowest_from(out_changes(hire), on), 0)


def hires_of(item: HireItem) -> list[JobHire]:
    """Standing hires of a thing, the latest first, each with `went`, `came` and `out`; `off`: the job is cancelled."""
    hires = list(JobHire.objects.standing().filter(item=item).select_related("job").order_by("-first_day", "-pk"))
    went = dict(HireOut.objects.standing().filter(hire__in=hires).order_by().values_list("hire").annotate(n=Sum("quantity")))
    came: dict[int, int] = {}
    for hire, whole, broken in HireBack.objects.standing().filter(hire__in=hires).values_list("hire", "whole", "broken"):
        came[hire] = came.get(hire, 0) + whole + broken
    off = set(JobCancelled.objects.standing().filter(job__hires__in=hires).values_list("job", flat=True))
    for one in hires:
        one.went, one.came = went.get(one.pk, 0), came.get(one.pk, 0)  # type: ignore[attr-defined]
        one.out, one.off = one.went - one.came, one.job_id in off  # type: ignore[attr-defined]
    return hires


def short_from(item: HireItem, on: date) -> tuple[date, int] | None:
    """The first day from a day on when more of a thing is promised than there is, and by how many; None where never."""
    return first_short(on, owned_changes(item), stretches_of(item))
