"""Orders that come round: taken on their day, short where stock is, left out, ended."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from ledger.sales import actions as sales
from ledger.sales.models import Order, StandingOrder
from ledger.sales.queries.standing import due_by
from ledger.stock.models import Balance
from tests.factories.pricing import TradeFactory
from tests.factories.sales import CustomerFactory
from tests.thread import spin_thread

AGREED, FIRST, SECOND, THIRD = date(2024, 9, 1), date(2024, 9, 6), date(2024, 9, 20), date(2024, 10, 4)


@pytest.fixture
def thread(owner):
    """27 bunches on hand."""
    return spin_thread(owner)


@pytest.fixture
def agreed(owner, thread):
    """Fifteen bunches every second Friday at 5.00."""
    return sales.agree_standing_order(
        by=owner, on=AGREED, customer=CustomerFactory(), way=TradeFactory(), first_on=FIRST, every=2,
        reference="FRI", lines=[sales.EachTime(thread.line, 15, 500)],
    )


def days(upto, **given):
    """The days due by then."""
    return [due.wanted_on for due in due_by(upto, **given)]


def refused(verb, **given):
    """Why a verb was refused."""
    with pytest.raises(ValidationError) as error:
        verb(**given)
    placed = getattr(error.value, "error_dict", {None: error.value})
    return next(iter(ValidationError(list(placed.values())).error_list)).code


def test_each_day_is_due_until_it_is_taken_or_left_out(owner, agreed):
    """The first is taken, the second left out, the third remains."""
    assert days(THIRD) == [FIRST, SECOND, THIRD]

    order = sales.take_standing_order(by=owner, standing_order=agreed, on=AGREED, wanted_on=FIRST)
    left_out = sales.leave_out(by=owner, standing_order=agreed, on=AGREED, wanted_on=SECOND)

    assert days(THIRD) == [THIRD]
    assert (order.wanted_on, order.reference, order.customer) == (FIRST, "FRI", agreed.customer)
    sales.undo_leaving_out(by=owner, left_out=left_out)
    sales.undo_order(by=owner, order=order)
    assert days(THIRD) == [FIRST, SECOND, THIRD]


def test_only_what_is_free_is_promised(owner, thread, agreed):
    """27 on hand: 15 promised, then 12 of 15, then none, and nothing is refused."""
    orders = [
        sales.take_standing_order(by=owner, standing_order=agreed, on=AGREED, wanted_on=day) for day in (FIRST, SECOND, THIRD)
    ]

    assert [(line.asked, line.promised, line.price) for order in orders for line in order.lines.all()] == [
        (15, 15, 500), (15, 12, 500), (15, 0, 500),
    ]
    assert Balance.objects.get(line=thread.line).held == 27


def test_a_day_is_taken_once_and_only_when_it_comes_round(owner, agreed):
    """Twice, on another day, after it was left out, too late, before it was agreed."""
    common = {"by": owner, "standing_order": agreed}
    sales.take_standing_order(**common, on=AGREED, wanted_on=FIRST)
    sales.leave_out(**common, on=AGREED, wanted_on=SECOND)

    assert refused(sales.take_standing_order, **common, on=AGREED, wanted_on=FIRST) == "twice"
    assert refused(sales.leave_out, **common, on=AGREED, wanted_on=FIRST) == "twice"
    assert refused(sales.take_standing_order, **common, on=AGREED, wanted_on=SECOND) == "twice"
    assert refused(sales.take_standing_order, **common, on=AGREED, wanted_on=date(2024, 9, 13)) == "not_due"
    assert refused(sales.take_standing_order, **common, on=date(2024, 10, 5), wanted_on=THIRD) == "too_late"
    assert refused(sales.leave_out, **common, on=date(2024, 8, 31), wanted_on=THIRD) == "too_early"


def test_an_ended_one_comes_round_no_more(owner, agreed):
    """Ended from the second day on; undone, it goes on."""
    end = sales.end_standing_order(by=owner, standing_order=agreed, on=SECOND)

    assert days(THIRD) == [FIRST]
    assert refused(sales.take_standing_order, by=owner, standing_order=agreed, on=AGREED, wanted_on=THIRD) == "ended"
    assert refused(sales.end_standing_order, by=owner, standing_order=agreed, on=THIRD) == "ended"
    sales.undo_standing_end(by=owner, end=end)
    assert days(THIRD) == [FIRST, SECOND, THIRD]


def test_undone_with_what_hangs_on_it_but_never_past_an_order(owner, agreed):
    """An order of it stands in the way; its end and its days left out go with it."""
    order = sales.take_standing_order(by=owner, standing_order=agreed, on=AGREED, wanted_on=FIRST)
    left_out = sales.leave_out(by=owner, standing_order=agreed, on=AGREED, wanted_on=SECOND)
    end = sales.end_standing_order(by=owner, standing_order=agreed, on=THIRD)

    assert refused(sales.undo_standing_order, by=owner, standing_order=agreed) == "rested_on"
    sales.undo_order(by=owner, order=order)
    sales.undo_standing_order(by=owner, standing_order=agreed)
    for fact in (left_out, end):
        fact.refresh_from_db()
    assert (left_out.stands, end.stands, days(THIRD)) == (False, False, [])
    assert refused(sales.leave_out, by=owner, standing_order=agreed, on=AGREED, wanted_on=FIRST) == "undone"


@pytest.mark.parametrize(
    ("changed", "why"),
    [((0, 1, FIRST), "no_lines"), ((1, 0, FIRST), "absurd"), ((2, 1, FIRST), "twice"), ((1, 1, date(2024, 8, 1)), None)],
)
def test_what_cannot_be_agreed(owner, thread, changed, why):
    """Nothing wanted, none of it, a line twice, wanted before it was agreed (by the constraint, which has no code)."""
    times, asked, first_on = changed
    lines = [sales.EachTime(thread.line, asked)] * times
    given = {"on": AGREED, "customer": CustomerFactory(), "way": TradeFactory(), "first_on": first_on, "lines": lines}

    assert refused(sales.agree_standing_order, by=owner, **given) == why
    assert not StandingOrder.objects.exists() and not Order.objects.exists()


def test_statements_stay_few(owner, agreed, thread, django_assert_num_queries):
    """Four, however many come round."""
    for _ in range(3):
        sales.agree_standing_order(
            by=owner, on=AGREED, customer=CustomerFactory(), way=agreed.way, first_on=FIRST, unit="months",
            lines=[sales.EachTime(thread.line, 1)],
        )
    with django_assert_num_queries(4):
        found = due_by(THIRD)

    assert [(due.wanted_on.month, due.wanted_on.day) for due in found] == [(9, 6)] * 4 + [(9, 20), (10, 4)]
