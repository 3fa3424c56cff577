"""The cost book as read from the ledger."""

from datetime import date, timedelta

from django.utils import timezone

from ledger.costing.queries import book, cost_sheet, forget_books
from ledger.daybook import actions as daybook
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from ledger.stock import actions as stock
from tests.thread import spin_thread

YEAR_END = date(2024, 12, 31)
BUNCHED_LATER = date(2024, 8, 2)
FIXED = 36


def test_all_that_was_spent_reaches_the_bunches(owner):
    """112.00 in the bed and 12.00 at the bench are in 27 bunches."""
    thread = spin_thread(owner)
    made = book(YEAR_END)

    assert total(made.batch_cost(thread.batch.pk)) == 12400 * MILLION
    assert made.node(("batch", thread.batch.pk)).final
    assert not made.unplaced()


def test_growing_planting_hands_on_only_its_expected_share(owner):
    """While 500 stems are expected, 400 cut carry four fifths of 112.00."""
    thread = spin_thread(owner, cleared=False)
    made = book(date(2024, 8, 1))

    assert total(made.node(("lot", thread.lot.pk)).carried) == 8960 * MILLION
    assert not made.node(("batch", thread.batch.pk)).final


def test_book_of_an_earlier_day_knows_nothing_later(owner):
    """On the eve of bunching the stems are loose, and no bunch exists."""
    thread = spin_thread(owner)
    made = book(date(2024, 7, 24))

    assert total(made.batch_cost(thread.batch.pk)) == 0
    assert total(made.places["loose"]) == 8960 * MILLION


def test_what_was_known_at_a_moment_stays_known(owner):
    """An entry made after a moment changes the day's book, not the book as known then."""
    thread = spin_thread(owner)
    moment = timezone.now()
    daybook.note_work(
        by=owner, worker=thread.worker, on=date(2024, 7, 3), minutes=30, task="hanging",
        spent_on=[(thread.hanging.cost_object, 1)],
    )

    assert total(book(YEAR_END).batch_cost(thread.batch.pk)) == 13000 * MILLION
    assert total(book(YEAR_END, moment).batch_cost(thread.batch.pk)) == 12400 * MILLION


def test_undone_work_leaves_the_book_but_not_the_past(owner):
    """Undoing is known from its own moment on."""
    thread = spin_thread(owner)
    entry = thread.worker.entries.order_by("pk").last()
    before = timezone.now()
    daybook.undo_work(by=owner, entry=entry)

    assert total(book(YEAR_END).batch_cost(thread.batch.pk)) == 11200 * MILLION
    assert total(book(YEAR_END, before).batch_cost(thread.batch.pk)) == 12400 * MILLION


def test_every_write_leaves_the_kept_book_behind(owner):
    """A kept book is served until the next write, and never after it."""
    thread = spin_thread(owner)
    first = book(YEAR_END)
    assert book(YEAR_END) is first
    stock.write_off(by=owner, on=BUNCHED_LATER, batch=thread.batch, box=thread.box, bunches=2, reason="moth")

    assert total(book(YEAR_END).places["written off"]) > 0


def test_book_takes_the_same_number_of_queries_however_much_there_is(owner, django_assert_num_queries):
    """Reading asks the database a fixed number of questions."""
    thread = spin_thread(owner)
    forget_books()
    with django_assert_num_queries(FIXED):
        book(YEAR_END)
    for day in range(5):
        daybook.note_work(
            by=owner, worker=thread.worker, on=date(2024, 9, 1) + timedelta(day), minutes=10, task="growing",
            spent_on=[(thread.planting.cost_object, 1)],
        )
    with django_assert_num_queries(FIXED):
        book(YEAR_END)


def test_bunches_only_found_do_not_make_a_line_cost_nothing(owner):
    """27 sold out, then two found: a bunch still costs what the batch cost, 124.00 / 27."""
    thread = spin_thread(owner)
    stock.sell_bunches(by=owner, on=BUNCHED_LATER, line=thread.line, bunches=27)
    stock.count_box(by=owner, on=date(2024, 9, 2), box=thread.box, counted={thread.batch: 2})
    sheet = cost_sheet(thread.line, YEAR_END)

    assert abs(sheet.stock_cost * 27 - 12400 * MILLION) <= 27 * 2
    assert sheet.batches == (thread.batch.pk,)
