"""Things hired out with jobs: counted, planned, out, back and broken."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import Amendment, User
from ledger.facts.queries import today
from ledger.sales.actions import (
    add_hire_item,
    blank_customer,
    bring_hire_back,
    cancel_job,
    change_hire_item,
    count_hire_item,
    plan_hire,
    send_out,
    undo_hire_back,
    undo_hire_item_count,
    undo_hire_out,
    undo_plan_hire,
)
from ledger.sales.models import HireItem, JobHire
from ledger.sales.queries.hire import free_for_hire, owned_on, promised_on, still_out
from tests.factories.jobs import JobFactory, job_done
from tests.factories.workshops import FIRST, LAST, PLANNED, HireFactory, HireItemFactory
from tests.refusals import refused

DAY = timedelta(1)


def planned(owner: User, item: HireItem, quantity: int, first: date = FIRST, last: date = LAST) -> JobHire:
    """So many planned for a job of its own."""
    return plan_hire(by=owner, job=JobFactory(), on=PLANNED, item=item, quantity=quantity, first_day=first, last_day=last)


def test_a_thing_is_added_with_its_count(owner: User) -> None:
    """Twelve jars from 1 March: none the day before, twelve from then on."""
    item = add_hire_item(by=owner, name="Jar", charge=150, breakage=400, owned=12, on=date(2024, 3, 1))

    assert (owned_on(item, date(2024, 2, 29)), owned_on(item, date(2024, 3, 1))) == (0, 12)
    assert add_hire_item(by=owner, name="Arch", charge=9000, breakage=30000).counts.count() == 0


def test_nobody_with_things_out_is_blanked(owner: User) -> None:
    """A jar may still come back broken and be charged; once all are back the name may go."""
    hire = plan_hire(by=owner, job=JobFactory(), on=PLANNED, item=HireItemFactory(), quantity=3, first_day=FIRST, last_day=LAST)
    send_out(by=owner, hire=hire, on=FIRST, quantity=3)
    cancel_job(by=owner, job=hire.job, on=FIRST)

    with refused("still_open"):
        blank_customer(by=owner, customer=hire.job.customer)
    bring_hire_back(by=owner, hire=hire, on=LAST, whole=3)
    assert blank_customer(by=owner, customer=hire.job.customer).blanked_at


def test_a_name_is_there_once(owner: User) -> None:
    """Two kinds of thing are told apart by their names."""
    HireItemFactory(name="Jar")
    with refused("unique"):
        HireItemFactory(name="Jar")


def test_a_change_keeps_what_stood_before(owner: User) -> None:
    """The charge proposed is changed with a history; a form opened before is refused."""
    item = HireItemFactory(charge=150)

    item = change_hire_item(by=owner, item=item, seen={"charge": "150"}, charge=175)

    assert item.charge == 175
    assert Amendment.objects.filter(model="sales.HireItem", field="charge", before="150", after="175").exists()
    with refused("stale_form"):
        change_hire_item(by=owner, item=item, seen={"charge": "150"}, charge=180)


def test_never_fewer_than_none(owner: User) -> None:
    """Of twelve four go on 1 June; of the eight left nine cannot, nor nine on a day before."""
    item = HireItemFactory()
    fewer = count_hire_item(by=owner, item=item, on=date(2024, 6, 1), more=-4, why="given away")

    for on in (date(2024, 5, 1), date(2024, 6, 1), date(2024, 7, 1)):
        with refused("too_many"):
            count_hire_item(by=owner, item=item, on=on, more=-9)
    undo_hire_item_count(by=owner, hire_item_count=fewer)
    count_hire_item(by=owner, item=item, on=date(2024, 7, 1), more=-9)
    assert owned_on(item, date(2024, 7, 1)) == 3


def test_nil_more_is_refused(owner: User) -> None:
    """A count says some more or some fewer."""
    with pytest.raises(ValidationError):
        count_hire_item(by=owner, item=HireItemFactory(), on=PLANNED, more=0)


def test_a_hire_is_planned_at_what_is_proposed(owner: User) -> None:
    """Without prices those of the thing, else those given."""
    item = HireItemFactory(charge=150, breakage=400)

    hire = planned(owner, item, 5)
    other = plan_hire(
        by=owner, job=hire.job, on=PLANNED, item=item, quantity=2, first_day=FIRST, last_day=FIRST, price=0, breakage=350
    )

    assert (hire.price, hire.breakage, hire.amount, other.price, other.breakage) == (150, 400, 750, 0, 350)
    assert (promised_on(item, FIRST, LAST), promised_on(item, LAST, LAST), free_for_hire(item, FIRST, LAST)) == (7, 5, 5)


@pytest.mark.parametrize(("first", "last"), [(FIRST, FIRST), (LAST, LAST), (FIRST - DAY, LAST + DAY), (FIRST - DAY, FIRST)])
def test_more_than_are_free_on_any_one_day_is_refused(owner: User, first: date, last: date) -> None:
    """Of twelve, ten are promised from first to last: three more on any of those days are refused, two are not."""
    item = HireItemFactory()
    planned(owner, item, 10)

    with refused("not_free"):
        planned(owner, item, 3, first, last)
    planned(owner, item, 2, first, last)


def test_the_days_around_are_free(owner: User) -> None:
    """The day before and the day after."""
    item = HireItemFactory()
    planned(owner, item, 10)

    planned(owner, item, 12, FIRST - 3 * DAY, FIRST - DAY)
    planned(owner, item, 12, LAST + DAY, LAST + 3 * DAY)
    assert sorted(item.hires.values_list("quantity", flat=True)) == [10, 12, 12]


def test_what_came_early_or_is_broken_is_counted_once(owner: User) -> None:
    """Ten of twelve out; six back whole and one broken on the 15th: eleven are owned, three of them still out."""
    item = HireItemFactory()
    hire = planned(owner, item, 10)
    send_out(by=owner, hire=hire, on=FIRST, quantity=10)
    bring_hire_back(by=owner, hire=hire, on=date(2024, 9, 15), whole=6, broken=1)

    with refused("not_free"):
        planned(owner, item, 9, LAST, LAST)
    planned(owner, item, 8, LAST, LAST)
    assert (owned_on(item, LAST), owned_on(item, FIRST)) == (11, 12)


def test_what_is_late_is_not_there(owner: User) -> None:
    """Of twelve ten went out and two of them are not back on their day: free again only on the day they come, or after today."""
    item = HireItemFactory()
    hire = planned(owner, item, 10)
    send_out(by=owner, hire=hire, on=FIRST, quantity=10)
    bring_hire_back(by=owner, hire=hire, on=LAST, whole=8)
    week = LAST + 7 * DAY

    assert [free_for_hire(item, day, day) for day in (LAST, LAST + DAY, today(), today() + DAY)] == [10, 10, 10, 12]
    with refused("not_free"):
        planned(owner, item, 11, week, week)
    bring_hire_back(by=owner, hire=hire, on=week, whole=2)
    assert [free_for_hire(item, day, day) for day in (week - DAY, week, today())] == [10, 12, 12]
    assert planned(owner, item, 12, week, week).quantity == 12


def test_a_hire_is_refused_for_what_is_wrong_with_it(owner: User) -> None:
    """Days the wrong way round, none at all, before the job was asked about."""
    job, item = JobFactory(), HireItemFactory()
    given = {"by": owner, "job": job, "on": PLANNED, "item": item, "quantity": 1, "first_day": FIRST, "last_day": LAST}

    with refused("days_in_order"):
        plan_hire(**given | {"last_day": FIRST - DAY})
    with refused("absurd"):
        plan_hire(**given | {"quantity": 0})
    with refused("too_early"):
        plan_hire(**given | {"on": job.on - DAY})
    plan_hire(**given | {"on": job.on, "last_day": FIRST})


def test_nothing_is_planned_for_a_job_that_is_over(owner: User) -> None:
    """Cancelled or done; what was planned for the cancelled one is free, what is planned for the done one is not."""
    item = HireItemFactory()
    cancelled, done = HireFactory(item=item, quantity=2), HireFactory(item=item, quantity=3)
    cancel_job(by=owner, job=cancelled.job, on=PLANNED)
    job_done(done.job)

    for job in (cancelled.job, done.job):
        with refused("job_over"):
            plan_hire(by=owner, job=job, on=PLANNED, item=item, quantity=1, first_day=FIRST, last_day=LAST)
    with refused("job_over"):
        send_out(by=owner, hire=cancelled, on=FIRST, quantity=1)
    send_out(by=owner, hire=done, on=FIRST, quantity=3)
    assert free_for_hire(item, FIRST, LAST) == 9


def test_what_is_out_of_a_cancelled_job_takes_up_its_days(owner: User) -> None:
    """Four of ten had left when the job was cancelled; two are back: two are still out."""
    hire = HireFactory()
    send_out(by=owner, hire=hire, on=FIRST, quantity=4)
    cancel_job(by=owner, job=hire.job, on=FIRST)
    bring_hire_back(by=owner, hire=hire, on=FIRST + DAY, whole=2)

    assert (still_out(hire), free_for_hire(hire.item, LAST, LAST), free_for_hire(hire.item, FIRST, FIRST)) == (2, 10, 8)


def test_more_may_leave_than_were_planned(owner: User) -> None:
    """It happened; eleven of ten planned, on another day."""
    hire = HireFactory()
    send_out(by=owner, hire=hire, on=FIRST - DAY, quantity=6)
    send_out(by=owner, hire=hire, on=FIRST, quantity=5)

    assert (still_out(hire), free_for_hire(hire.item, FIRST, LAST)) == (11, 1)
    with refused("too_early"):
        send_out(by=owner, hire=hire, on=hire.job.on - DAY, quantity=1)
    with refused("absurd"):
        send_out(by=owner, hire=hire, on=FIRST, quantity=0)


def test_no_more_comes_back_than_was_out(owner: User) -> None:
    """Six left on the 13th and four on the 14th; seven back on the 16th leave none for the 13th but three for the 14th."""
    hire = HireFactory()
    with refused("too_many"):
        bring_hire_back(by=owner, hire=hire, on=LAST, whole=1)
    send_out(by=owner, hire=hire, on=FIRST, quantity=6)
    send_out(by=owner, hire=hire, on=FIRST + DAY, quantity=4)
    bring_hire_back(by=owner, hire=hire, on=LAST, whole=7)

    with refused("too_many"):
        bring_hire_back(by=owner, hire=hire, on=FIRST, whole=4)
    with refused("too_many"):
        bring_hire_back(by=owner, hire=hire, on=FIRST - DAY, whole=1)
    with refused("too_many"):
        bring_hire_back(by=owner, hire=hire, on=LAST + DAY, whole=2, broken=2)
    bring_hire_back(by=owner, hire=hire, on=FIRST, whole=3)
    assert still_out(hire) == 0


@pytest.mark.parametrize(("whole", "broken"), [(0, 0), (-1, 2), (2, -1)])
def test_a_coming_back_says_how_many(owner: User, whole: int, broken: int) -> None:
    """None at all, and fewer than none."""
    hire = HireFactory()
    send_out(by=owner, hire=hire, on=FIRST, quantity=10)
    with refused("too_few"):
        bring_hire_back(by=owner, hire=hire, on=LAST, whole=whole, broken=broken)


def test_broken_ones_are_charged_as_the_hire_says(owner: User) -> None:
    """Two broken at 4.00 each, at the tax rate of the day; a charge given is left alone, none without a broken one."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="123")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    hire = HireFactory()
    send_out(by=owner, hire=hire, on=FIRST, quantity=10)

    back = bring_hire_back(by=owner, hire=hire, on=LAST, whole=5, broken=2)
    free = bring_hire_back(by=owner, hire=hire, on=LAST, whole=0, broken=1, charge=0, note="was cracked before")

    assert (back.charge, back.rate_bp, free.charge) == (800, 2000, 0)
    with refused("nothing_broken"):
        bring_hire_back(by=owner, hire=hire, on=LAST, whole=1, charge=100)


def test_it_is_undone_in_any_order_that_makes_sense(owner: User) -> None:
    """A plan rests on what left, what left on what came back."""
    hire = HireFactory()
    first = send_out(by=owner, hire=hire, on=FIRST, quantity=4)
    second = send_out(by=owner, hire=hire, on=FIRST, quantity=6)
    back = bring_hire_back(by=owner, hire=hire, on=LAST, whole=5, broken=1)

    with refused("rested_on"):
        undo_plan_hire(by=owner, job_hire=hire)
    undo_hire_out(by=owner, hire_out=first)
    with refused("rested_on"):
        undo_hire_out(by=owner, hire_out=second)
    undo_hire_back(by=owner, hire_back=back)
    assert owned_on(hire.item, LAST) == 12
    undo_hire_out(by=owner, hire_out=second)
    undo_plan_hire(by=owner, job_hire=hire)
    assert promised_on(hire.item, FIRST, LAST) == 0


def test_a_hire_charged_for_is_not_undone(owner: User) -> None:
    """The job done rests on it."""
    hire = HireFactory()
    job_done(hire.job)
    with refused("rested_on"):
        undo_plan_hire(by=owner, job_hire=hire)


def test_a_hire_undone_takes_nothing(owner: User) -> None:
    """A form opened before the undoing is refused."""
    hire = HireFactory()
    undo_plan_hire(by=owner, job_hire=hire)
    with refused("undone"):
        send_out(by=owner, hire=hire, on=FIRST, quantity=1)
    with refused("undone"):
        bring_hire_back(by=owner, hire=hire, on=FIRST, whole=1)


def test_pressed_twice_it_is_entered_once(owner: User) -> None:
    """The second press gives the first result."""
    hire = HireFactory()
    given = {"by": owner, "hire": hire, "on": FIRST, "quantity": 4, "key": "a-key"}

    assert send_out(**given) == send_out(**given)
    back = {"by": owner, "hire": hire, "on": LAST, "whole": 1, "key": "another"}
    assert bring_hire_back(**back) == bring_hire_back(**back)
    assert still_out(hire) == 3


def test_who_may(owner: User, hand: User, seller: User) -> None:
    """Hands send out and bring back; only sellers plan and count."""
    hire = HireFactory()
    send_out(by=hand, hire=hire, on=FIRST, quantity=2)
    bring_hire_back(by=hand, hire=hire, on=LAST, whole=1)
    count_hire_item(by=seller, item=hire.item, on=LAST, more=1)

    with pytest.raises(PermissionDenied):
        count_hire_item(by=hand, item=hire.item, on=LAST, more=1)
    with pytest.raises(PermissionDenied):
        undo_plan_hire(by=hand, job_hire=hire)
