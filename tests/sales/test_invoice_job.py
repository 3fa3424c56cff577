"""Invoices and credits of jobs, and the deposits used on them."""

from collections.abc import Callable
from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse

from ledger.facts import paper
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.models import Invoice, Job, Payment
from ledger.sales.queries.billing import job_bill
from ledger.sales.queries.income import income
from ledger.sales.queries.jobs import deposits_held
from ledger.sales.queries.papers import on_paper
from tests.factories.jobs import AGREED, HELD, JobFactory, PieceFactory, deposited, job_done
from tests.factories.pricing import TradeFactory
from tests.factories.sales import CustomerFactory, invoiced
from tests.factories.workshops import FIRST, LAST, HireFactory
from tests.refusals import refused

BILLED, LATER = date(2024, 9, 20), date(2024, 9, 27)


@pytest.fixture
def registered(owner: User) -> None:
    """Registered for tax at 20 %."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="XX 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)


def wedding(**given: object) -> Job:
    """Eight buttonholes at 6.50, a bouquet at 95.00, two jars hired at 7.50: 162.00 in all, 50.00 of it paid ahead."""
    job = JobFactory(**given)
    PieceFactory(job=job, name="Buttonhole", quantity=8, price=650)
    PieceFactory(job=job, name="Bouquet", quantity=1, price=9500)
    HireFactory(job=job, item__name="Stone jar", quantity=2, price=750, breakage=800)
    deposited(job, 5000)
    return job


def one_jar_broken(owner: User, job: Job, *, on: date = LAST) -> None:
    """Both jars went out, one came back, one is broken and charged at 8.00."""
    hire = job.hires.get()
    actions.send_out(by=owner, hire=hire, on=FIRST, quantity=2)
    actions.bring_hire_back(by=owner, hire=hire, on=on, whole=1, broken=1)


def billed(invoice: Invoice) -> list[tuple[str, int, int, int]]:
    """Its lines: words, how many, price, net."""
    return list(invoice.lines.order_by("pk").values_list("description", "quantity", "price", "net"))


def test_prices_with_tax_hold_that_of_their_sum(registered: None, owner: User) -> None:
    """162.00 hold 27.00: 8.67 of 52.00, 15.83 of 95.00, 2.50 of 15.00; lines say how many in words."""
    job = wedding()
    job_done(job)

    issued = actions.invoice_job(by=owner, job=job, on=BILLED)

    assert billed(issued) == [
        ("8 x Buttonhole", 1, 4333, 4333), ("1 x Bouquet", 1, 7917, 7917), ("2 x Hire of Stone jar", 1, 1250, 1250)
    ]
    assert (issued.net, issued.tax, issued.gross, issued.with_tax, issued.rate_bp) == (13500, 2700, 16200, True, 2000)
    assert (issued.job, issued.order, issued.status, issued.seller_tax_number) == (job, None, "registered", "XX 000")


def test_the_deposit_is_used_and_the_rest_is_left_to_pay(registered: None, owner: User) -> None:
    """Of 162.00 50.00 were paid ahead: 112.00 are owed, nothing is held any more."""
    job = wedding()
    job_done(job)

    issued = actions.invoice_job(by=owner, job=job, on=BILLED)

    used = Payment.objects.get()
    assert (used.amount, used.deposit_of, used.on) == (5000, job, BILLED)
    assert (Invoice.objects.with_owed().get(pk=issued.pk).owed, deposits_held(job)) == (11200, 0)


def test_no_more_of_a_deposit_is_used_than_is_owed(owner: User) -> None:
    """300.00 paid ahead for 162.00: 138.00 stay owed to the customer."""
    job = wedding()
    deposited(job, 25000)
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    assert (Invoice.objects.with_owed().get(pk=issued.pk).owed, deposits_held(job)) == (0, 13800)


def test_prices_kept_net_get_the_tax_on_top_as_orders_do(registered: None, owner: User) -> None:
    """162.00 net and 32.40: eight buttonholes are eight at 6.50."""
    job = wedding(way=TradeFactory())
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    assert billed(issued)[0] == ("Buttonhole", 8, 650, 5200)
    assert (issued.net, issued.tax, issued.gross, issued.with_tax) == (16200, 3240, 19440, False)


def test_what_was_broken_is_billed_with_it_or_on_the_next_invoice(registered: None, owner: User) -> None:
    """A jar at 8.00 broken on the 16th: 1.33 tax within on an invoice of its own; again there is nothing to invoice."""
    job = wedding()
    job_done(job)
    actions.invoice_job(by=owner, job=job, on=HELD)
    one_jar_broken(owner, job)
    with refused("nothing_to_invoice"):
        actions.invoice_job(by=owner, job=job, on=HELD)

    second = actions.invoice_job(by=owner, job=job, on=BILLED)

    assert (billed(second), second.tax) == ([("1 x Stone jar, broken or lost", 1, 667, 667)], 133)
    with refused("nothing_to_invoice"):
        actions.invoice_job(by=owner, job=job, on=BILLED)


def test_one_invoice_has_one_rate(registered: None, owner: User) -> None:
    """The rate rose between the wedding and the breaking: the first invoice has the old rate, the next the new."""
    job = wedding()
    job_done(job)
    set_tax_rate(by=owner, on=date(2024, 9, 15), rate_bp=2500)
    one_jar_broken(owner, job)

    first, second = (actions.invoice_job(by=owner, job=job, on=BILLED) for _again in range(2))

    assert [(one.rate_bp, one.gross, one.tax) for one in (first, second)] == [(2000, 16200, 2700), (2500, 800, 160)]


def test_a_whole_credit_in_parts_takes_back_all_of_the_tax(registered: None, owner: User) -> None:
    """The bouquet's 79.17 net of 135.00 take 15.83 of 27.00 back, the rest 11.17: the sum is 162.00."""
    job = wedding()
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    buttonholes, bouquet, jars = issued.lines.order_by("pk")

    first = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(bouquet, 1)], why="wilted")
    rest = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(buttonholes, 8), (jars, 2)], why="wilted")

    assert [(one.net, one.tax) for one in (first, rest)] == [(7917, 1583), (5583, 1117)]
    assert (first.job, first.with_tax, first.lines.get().charge) == (job, True, bouquet.charge)
    assert Invoice.objects.with_owed().get(pk=issued.pk).owed == -5000


def test_so_many_pieces_of_a_line_with_tax_are_credited(registered: None, owner: User) -> None:
    """Of eight at 43.33 net one takes back 5.42 and 1.08 tax, two more 10.83 and 2.17: 6.50 and 13.00; five are left."""
    job = wedding()
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    line = issued.lines.order_by("pk").first()
    assert line is not None

    one, two = (
        actions.credit(by=owner, invoice=issued, on=LATER, lines=[(line, number)], why="wilted") for number in (1, 2)
    )

    assert [(each.net, each.tax, each.gross) for each in (one, two)] == [(542, 108, 650), (1083, 217, 1300)]
    assert billed(two) == [("2 x Buttonhole", 2, 650, 1083)]
    with refused("too_many"):
        actions.credit(by=owner, invoice=issued, on=LATER, lines=[(line, 3), (line, 3)], why="wilted")
    rest = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(line, 2), (line, 3)], why="wilted")
    assert one.net + two.net + rest.net == 4333
    assert [(each.net, each.gross) for each in income(None, LATER)] == [(7917, 9500), (1250, 1500)]


def test_one_piece_is_credited_at_its_price(owner: User) -> None:
    """Seven at 65.67 with 25 % in it: one takes 52.54 and 13.13 back, all seven 367.75 and 91.94; income says so too."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="XX 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2500)
    job = PieceFactory(quantity=7, price=6567).job
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    line = issued.lines.get()

    one = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(line, 1)], why="wilted")

    assert (one.net, one.tax, on_paper(one)["rows"]) == (5254, 1313, [("1 x bouquet", 1, 6567, 5254)])
    assert [(each.net, each.gross) for each in income(None, LATER)] == [(issued.net - 5254, issued.gross - 6567)]
    rest = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(line, 6)], why="wilted")
    assert (one.net + rest.net, one.tax + rest.tax) == (issued.net, issued.tax) == (36775, 9194)


def test_what_was_broken_is_credited_whole(registered: None, owner: User) -> None:
    """A jar at 8.00: 6.67 net and 1.33 of tax back, once."""
    job = wedding()
    job_done(job)
    one_jar_broken(owner, job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    jar = issued.lines.get(charge=None)
    given = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(jar, 1)], why="it was found")
    assert (given.net, given.tax, billed(given)) == (667, 133, [("1 x Stone jar, broken or lost", 1, 800, 667)])
    with refused("too_many"):
        actions.credit(by=owner, invoice=issued, on=LATER, lines=[(jar, 1)], why="again")


def test_nothing_is_billed_before_it_is_done(owner: User) -> None:
    """Agreed and paid ahead is not done; nor is it on the day before."""
    job = wedding()
    with refused("nothing_to_invoice"):
        actions.invoice_job(by=owner, job=job, on=BILLED)
    job_done(job)
    with refused("nothing_to_invoice"):
        actions.invoice_job(by=owner, job=job, on=date(2024, 9, 13))
    with refused("too_early"):
        actions.invoice_job(by=owner, job=job, on=date(2024, 8, 4))
    assert actions.invoice_job(by=owner, job=job, on=HELD).gross == 16200


def test_a_deposit_freed_again_is_used_when_asked(owner: User) -> None:
    """The payment by deposit undone, 50.00 are held and owed; used again they are neither."""
    job = wedding()
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    actions.undo_payment(by=owner, payment=Payment.objects.get())
    assert deposits_held(job) == 5000
    with refused("too_early"):
        actions.use_deposit(by=owner, invoice=issued, on=HELD)

    assert actions.use_deposit(by=owner, invoice=issued, on=LATER).amount == 5000

    with refused("no_deposit"):
        actions.use_deposit(by=owner, invoice=issued, on=LATER)


def test_only_a_jobs_invoice_is_paid_by_a_deposit(owner: User) -> None:
    """Not that of an order, nor a credit."""
    job = wedding()
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    given = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.first(), 1)], why="wilted")
    for other in (invoiced(3), given):
        with refused("not_of_a_job"):
            actions.use_deposit(by=owner, invoice=other, on=LATER)


def test_a_credit_of_net_prices_takes_the_tax_on_top_back(registered: None, owner: User) -> None:
    """Three of eight at 6.50 net: 19.50 and 3.90; what is left of them is income with its tax."""
    job = wedding(way=TradeFactory())
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    given = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.order_by("pk")[0], 3)], why="wilted")
    assert (given.net, given.tax, billed(given)) == (1950, 390, [("Buttonhole", 3, 650, 1950)])
    assert [(one.net, one.gross) for one in income(None, LATER)] == [(12750, 15300), (1500, 1800)]


def test_a_hand_issues_none_and_the_second_press_issues_one(owner: User, hand: User, seller: User) -> None:
    """As with orders; a bookkeeper or seller may."""
    job = wedding()
    job_done(job)
    with pytest.raises(PermissionDenied):
        actions.invoice_job(by=hand, job=job, on=BILLED)
    first = actions.invoice_job(by=seller, key="j" * 36, job=job, on=BILLED)
    assert actions.invoice_job(by=seller, key="j" * 36, job=job, on=BILLED) == first


def test_the_page_shows_what_it_would_bill(registered: None, owner: User, client_as: Callable[[User], Client]) -> None:
    """135.00 net, 27.00 tax, 50.00 received, 112.00 left; pressed, the invoice's page says the same, and so does its paper."""
    job = wedding()
    job_done(job)
    client, url = client_as(owner), reverse("sales:invoice_job", args=[job.pk])
    bill = job_bill(job, BILLED)
    assert bill is not None
    assert (bill.net, bill.tax, bill.deposit, bill.left_to_pay) == (13500, 2700, 5000, 11200)
    assert all(word in client.get(url).content.decode() for word in ("162.00", "27.00", "112.00", "qualified accountant"))

    issued = actions.invoice_job(by=owner, job=job, on=BILLED)

    page = client.get(issued.get_absolute_url()).content.decode()
    assert all(word in page for word in ("deposit received", "Left to pay", "112.00", str(job)))
    assert client.get(reverse("sales:invoices")).status_code == 200


def test_the_paper_says_what_was_paid_ahead_and_what_is_left(
    registered: None, owner: User, client_as: Callable[[User], Client], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Prices with tax beside net, the tax, the deposit and what is left to pay; a credit has no deposit."""
    monkeypatch.setattr(paper, "pdf_maker", lambda: None)
    job = wedding(customer=CustomerFactory(name="Wren"))
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    given = actions.credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.first(), 8)], why="wilted")
    client = client_as(owner)

    page, credit_page = (
        client.get(reverse("sales:invoice_paper", args=[one.pk])).content.decode() for one in (issued, given)
    )

    for word in ("8 x Buttonhole", "52.00", "43.33", "27.00", "162.00", "Deposit received", "50.00", "112.00", job.name):
        assert word in page, word
    assert "Deposit received" not in credit_page and "8.67" in credit_page


def test_like_pieces_with_tax_are_a_row_each(registered: None, owner: User) -> None:
    """Two entries of one bouquet at 45.00 hold 7.50 of tax each."""
    job = JobFactory()
    for _entered in range(2):
        PieceFactory(job=job, quantity=1, price=4500)
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    assert on_paper(issued)["rows"] == [("1 x bouquet", 1, 4500, 3750)] * 2


def test_an_issued_paper_stays_as_it_was_printed(owner: User, client_as: Callable[[User], Client]) -> None:
    """Of 162.00 50.00 were paid ahead: 112.00 to pay, whether that is undone or more is used since, as the page then says."""
    job = wedding()
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    assert (issued.deposit, on_paper(issued)["left_to_pay"]) == (5000, 11200)

    actions.undo_payment(by=owner, payment=Payment.objects.get())
    actions.use_deposit(by=owner, invoice=issued, on=LATER)
    actions.pay(by=owner, invoice=issued, on=LATER, amount=11200)

    issued.refresh_from_db()
    assert (issued.deposit, on_paper(issued)["left_to_pay"]) == (5000, 11200)
    assert Invoice.objects.with_owed().get(pk=issued.pk).owed == 0


def test_a_deposit_of_all_leaves_nothing_to_pay(owner: User, client_as: Callable[[User], Client]) -> None:
    """Wholly paid ahead: no day to pay by is named."""
    job = wedding()
    deposited(job, 11200, on=AGREED)
    job_done(job)
    issued = actions.invoice_job(by=owner, job=job, on=BILLED)
    assert Invoice.objects.overdue(LATER).count() == 0
    assert "Record a payment" not in client_as(owner).get(issued.get_absolute_url()).content.decode()
