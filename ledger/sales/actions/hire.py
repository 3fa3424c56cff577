"""Things hired out with a job: counted, planned, sent out, back and broken."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import User
from ledger.facts.queries import tax_rate_on, today
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.sales.models import HireBack, HireItem, HireItemCount, HireOut, Job, JobHire
from ledger.sales.models.jobs import MOST_PIECES
from ledger.sales.queries.hire import could_come_back, free_for_hire, out_changes, owned_changes
from ledger.stock.queries import lowest_from

from .jobs import lock_job, lock_open_job


@action("selling")
def add_hire_item(
    *, by: User, name: str, charge: int, breakage: int, note: str = "", owned: int = 0, on: date | None = None
) -> HireItem:
    """Add a kind of thing to hire out, with what is asked for one and for a broken one, minor units; `owned` from a day on."""
    item = keep(HireItem(name=name, charge=charge, breakage=breakage, note=note))
    if owned:
        count_hire_item(by=by, item=item, on=on or today(), more=owned)
    return item


@action("selling")
def change_hire_item(*, by: User, item: HireItem, seen: Mapping[str, str], **changes: Any) -> HireItem:
    """Change a thing's name, note or what is proposed for it, keeping what stood before; hires keep their prices."""
    return change_details(item, by=by, seen=dict(seen), changes=changes)


@action("selling")
def count_hire_item(*, by: User, item: HireItem, on: date, more: int, why: str = "") -> HireItemCount:
    """Record that there are so many more (+) or fewer (-) of a thing from a day on; never fewer than none."""
    item = _lock_item(item)
    there = lowest_from(owned_changes(item), on)
    if more < 0 and there + more < 0:
        raise refusal("more", _("There are only %(there)d of them."), code="too_many", there=max(there, 0))
    return record(HireItemCount(on=on, item=item, more=more, why=why), by=by)


@action("selling")
def undo_hire_item_count(*, by: User, hire_item_count: HireItemCount) -> HireItemCount:
    """Undo a count: there are as many as before it."""
    _lock_item(hire_item_count.item)
    return undo_within(hire_item_count, by=by)


def _lock_item(item: HireItem) -> HireItem:
    return HireItem.objects.select_for_update(no_key=True).get(pk=item.pk)


@action("selling")
def plan_hire(
    *, by: User, job: Job, on: date, item: HireItem, quantity: int, first_day: date, last_day: date,
    price: int | None = None, breakage: int | None = None,
) -> JobHire:
    """Plan so many of a thing to be out with a job from one day to another; refused when that is more than are free then.

    `price` of one and `breakage` for a broken one in minor units as the job's way keeps prices; None: as proposed.
    """
    job = lock_open_job(job, on)
    if first_day > last_day:
        raise refusal("last_day", _("It cannot be back before it is out."), code="days_in_order")
    _require_some(quantity)
    item = _lock_item(item)
    free = max(free_for_hire(item, first_day, last_day), 0)
    if quantity > free:
        raise refusal(
            "quantity", _("Only %(free)d of %(item)s are free on all of those days."), code="not_free", free=free, item=item
        )
    return record(
        JobHire(
            on=on, job=job, item=item, quantity=quantity, first_day=first_day, last_day=last_day,
            price=item.charge if price is None else price, breakage=item.breakage if breakage is None else breakage,
        ),
        by=by,
    )


def _require_some(quantity: int) -> None:
    if not 1 <= quantity <= MOST_PIECES:
        raise refusal("quantity", _("Between 1 and %(most)d, please."), code="absurd", most=MOST_PIECES)


@action("selling")
def undo_plan_hire(*, by: User, job_hire: JobHire) -> JobHire:
    """Undo a planned hire of which nothing left."""
    Job.objects.lock(job_hire.job)
    return undo_within(job_hire, by=by)


@action("packing")
def send_out(*, by: User, hire: JobHire, on: date, quantity: int) -> HireOut:
    """Record that so many of a hire left; also more than were planned, or on another day."""
    _require_some(quantity)
    job = lock_job(hire.job, on)
    if job.cancellings.standing().exists():
        raise refusal(None, _("That job is cancelled. Undo that first, if they went out after all."), code="job_over")
    hire = JobHire.objects.lock(hire)
    require_standing(hire)
    return record(HireOut(on=on, hire=hire, quantity=quantity), by=by)


@action("packing")
def undo_hire_out(*, by: User, hire_out: HireOut) -> HireOut:
    """Undo a sending out, unless some of them came back already."""
    Job.objects.lock(hire_out.hire.job)
    hire = JobHire.objects.lock(hire_out.hire)
    hire_out = mark_undone(HireOut.objects.lock(hire_out), by=by)
    if lowest_from(out_changes(hire), hire_out.on) < 0:
        raise refusal(None, _("Some of them came back. Undo that first."), code="rested_on")
    return hire_out


@action("packing")
def bring_hire_back(
    *, by: User, hire: JobHire, on: date, whole: int, broken: int = 0, charge: int | None = None, note: str = ""
) -> HireBack:
    """Record what of a hire came back whole, and what is broken or lost and charged for, never more than was out.

    `charge` for all broken ones in minor units as the job's way keeps prices, income of that day; None: as the hire says.
    """
    Job.objects.lock(hire.job)
    hire = JobHire.objects.lock(hire)
    require_standing(hire)
    if whole < 0 or broken < 0 or whole + broken < 1:
        raise refusal("whole", _("Say how many came back, or are broken or lost."), code="too_few")
    out = could_come_back(hire, on)
    if whole + broken > out:
        raise refusal("whole", _("Only %(out)d of them were out."), code="too_many", out=out)
    charge = broken * hire.breakage if charge is None else charge
    if charge and not broken:
        raise refusal("charge", _("Nothing is broken or lost, so nothing is charged for it."), code="nothing_broken")
    back = HireBack(on=on, hire=hire, whole=whole, broken=broken, charge=charge, rate_bp=tax_rate_on(on), note=note)
    return record(back, by=by)


@action("packing")
def undo_hire_back(*, by: User, hire_back: HireBack) -> HireBack:
    """Undo a coming back that was not invoiced: they are out again."""
    Job.objects.lock(hire_back.hire.job)
    return undo_within(hire_back, by=by)
