"""What jobs, their hire and workshops brought in, traced to the beds and bridged to the year, worked by hand."""

from datetime import date, timedelta

import pytest

from ledger.books.queries.bridge import bridge
from ledger.books.queries.earning import bed_earnings, earned_in
from ledger.books.queries.net_sales import net_sales
from ledger.books.queries.tracing import Tracing
from ledger.costing.queries import book
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.sales import actions as sales
from ledger.sales.queries.income import income
from ledger.sales.queries.papers import lines_to_credit
from tests.books.wedding import (
    BACK,
    BILLED,
    DONE,
    HELD,
    OFFERED,
    ON,
    TAKEN,
    asked_about,
    grown,
    spend_on,
    take,
    wedding,
    workshop,
)

NEW_YEAR = date(2024, 1, 1)


def told(lines):
    """Day, kind, net and gross of each line."""
    return [(line.on, line.kind, line.net, line.gross) for line in lines]


def earned(on=ON):
    """What each planting of the season earned, by its species' name."""
    return {row.planting.variety.species.name: row for row in bed_earnings(2024, on)}


def untold(season=2024, on=ON):
    """What no step of the two bridges explains."""
    made = book(on)
    tracing = Tracing(made, on)
    found = bridge(earned_in(made, tracing, season, season), tracing, season, season)
    assert found.income.end == net_sales(found.first, found.last) * MILLION
    return found.income.unexplained, found.cost.unexplained, found.places.unexplained


def test_a_wedding_is_income_of_its_day_its_hire_and_breakage_lines_of_their_own(owner):
    """162.00 hold 27.00: 122.50 net for pieces and 12.50 for hire on the 14th, 6.67 for a jar on the 16th."""
    made = grown(owner)
    job = wedding(owner, made)

    lines = income(None, ON)

    assert told(lines) == [(DONE, "job", 12250, 14700), (DONE, "hire", 1250, 1500), (BACK, "hire", 667, 800)]
    (movement,) = job.taken.get(line=made.thread.line).rows.values_list("movement", flat=True)
    assert (lines[0].movements, len(lines[0].partings)) == (((movement, 9),), 1)
    assert {(line.spent_on, line.way, line.customer) for line in lines} == {(job.pk, made.way.pk, job.customer_id)}
    assert not lines[1].movements and not lines[1].partings


def test_nothing_is_income_before_the_job_is_done(owner):
    """Taken on the 13th, done on the 14th: the days before bring in nothing, the broken jar only its own day."""
    wedding(owner, grown(owner))
    assert told(income(None, TAKEN)) == []
    assert told(income(BACK, ON)) == [(BACK, "hire", 667, 800)]
    assert [net_sales(NEW_YEAR, TAKEN), net_sales(NEW_YEAR, DONE), net_sales(BACK, ON)] == [0, 13500, 667]


def test_its_net_goes_to_the_beds_by_what_was_taken_cost(owner):
    """Six bunches cost 27.56, 40 stems 20.00: of 122.50 strawflower gets 70.98, statice 51.52; of 19.02 own cost 11.02 and 8.00.

    Own cost: 22.00 by net over 122.50, 12.50 and 6.67.
    """
    wedding(owner, grown(owner))
    rows = earned()
    strawflower, statice = rows["Strawflower"].figures, rows["Statice"].figures

    assert [to_minor(one.income_of["jobs"]) for one in (strawflower, statice)] == [7098 - 1102, 5152 - 800]
    assert [to_minor(one.taken_off) for one in (strawflower, statice)] == [1102, 800]
    assert [to_minor(one.cost) for one in (strawflower, statice)] == [12400, 5000]
    assert [one.income_of["fresh"] + one.income_of["dried"] for one in (strawflower, statice)] == [0, 0]


def test_hire_names_nothing_grown(owner):
    """12.50 and 6.67 are traced to no bed, with 2.98 of what was spent on the job."""
    wedding(owner, grown(owner))
    tracing = Tracing(book(ON), ON)
    assert tracing.untraced.income == 1917 * MILLION
    assert to_minor(total(tracing.untraced.costs)) == 298


@pytest.mark.parametrize("season", [2023, 2024, 2025])
def test_the_bridge_has_nothing_unexplained(owner, season):
    """A wedding, a cancelled job with a kept deposit, a workshop and a credit: income, cost and places add up."""
    made = grown(owner)
    busy_autumn(owner, made)
    assert untold(season) == (0, 0, 0)


def busy_autumn(owner, made):
    """All that can happen: a wedding credited in part, a job cancelled after bunches were taken, a workshop, one not yet done."""
    job = wedding(owner, made)
    issued = sales.invoice_job(by=owner, job=job, on=BILLED)
    sales.credit(by=owner, invoice=issued, on=HELD, lines=[(issued.lines.order_by("pk")[1], 1)], why="late")
    off = asked_about(owner, made, name="Birch wedding")
    take(owner, made, off, bunches=2)
    spend_on(owner, made, off, bill=300, minutes=15)
    sales.cancel_job(by=owner, job=off, on=BILLED, kept=4000, taxed=True)
    workshop(owner, made)
    take(owner, made, asked_about(owner, made, name="Cedar wedding"), bunches=1, stems=5)


def test_traced_income_adds_up_to_net_sales_whatever_happened(owner):
    """By source and untraced, to the millionth, on every tenth day of the autumn."""
    busy_autumn(owner, grown(owner))
    for number in range(13):
        on = date(2024, 9, 1) + timedelta(10 * number)
        tracing = Tracing(book(on), on)
        traced = sum(one.income for one in tracing.by_source.values()) + tracing.untraced.income
        assert traced == net_sales(NEW_YEAR, on) * MILLION == sum(line.net for line in income(None, on)) * MILLION


def test_a_kept_deposit_is_income_of_the_day_it_was_cancelled(owner):
    """40.00 of 50.00 kept, with tax 33.33 net; two bunches taken did not come back, so strawflower has it all."""
    made = grown(owner)
    job = asked_about(owner, made)
    take(owner, made, job, bunches=2)
    sales.cancel_job(by=owner, job=job, on=BILLED, kept=4000, taxed=True)

    assert told(income(None, ON)) == [(BILLED, "job", 3333, 4000)]
    assert to_minor(earned()["Strawflower"].figures.income_of["jobs"]) == 3333
    assert net_sales(NEW_YEAR, ON) == 3333


def test_a_deposit_kept_untaxed_is_income_as_it_is_and_a_job_cancelled_for_nothing_is_none(owner):
    """40.00 of one, nothing of the other: one line, traced to nothing."""
    made = grown(owner)
    for name, kept in (("Alder wedding", 4000), ("Birch wedding", 0)):
        sales.cancel_job(by=owner, job=asked_about(owner, made, name=name), on=BILLED, kept=kept)
    assert told(income(None, ON)) == [(BILLED, "job", 4000, 4000)]
    assert Tracing(book(ON), ON).untraced.income == 4000 * MILLION == net_sales(NEW_YEAR, ON) * MILLION


def test_a_workshop_is_income_of_the_day_it_is_held(owner):
    """Five places less 30.00 given back are 195.00, 162.50 net; all of it is strawflower's, less 22.00 of its own."""
    workshop(owner, grown(owner))
    assert told(income(None, ON)) == [(HELD, "workshop", 16250, 19500)]
    assert told(income(None, HELD - timedelta(1))) == []
    figures = earned()["Strawflower"].figures
    assert (to_minor(figures.income_of["jobs"]), to_minor(figures.taken_off)) == (16250 - 2200, 2200)


def test_places_sold_or_given_back_after_it_was_held_count_on_their_own_day(owner):
    """Two forgotten at 45.00 on the 20th hold 15.00; 20.00 returned on the 21st take back 3.33 of tax."""
    one = workshop(owner, grown(owner))
    late = sales.sell_places(by=owner, workshop=one, on=date(2024, 11, 20), places=2)
    sales.give_places_back(by=owner, sold=late, on=date(2024, 11, 21), places=1, returned=2000)
    assert told(income(None, ON))[1:] == [
        (date(2024, 11, 20), "workshop", 7500, 9000), (date(2024, 11, 21), "workshop", -1667, -2000)
    ]
    assert net_sales(NEW_YEAR, ON) == 16250 + 7500 - 1667
    assert untold() == (0, 0, 0)


def test_what_buyers_left_with_a_workshop_called_off_is_income_of_that_day(owner):
    """15.00 of the place given back before stay; the other four go back in full; what was taken stays in the cost."""
    one = workshop(owner, grown(owner), held=False)
    sales.call_off(by=owner, workshop=one, on=HELD)
    assert told(income(None, ON)) == [(HELD, "workshop", 1500, 1500)]
    assert net_sales(NEW_YEAR, ON) == 1500
    assert untold() == (0, 0, 0)


def test_a_workshop_called_off_in_full_brings_in_nothing(owner):
    """Two places sold and given back: no line at all."""
    made = grown(owner)
    one = sales.offer_workshop(by=owner, on=OFFERED, name="Posies", way=made.way, held_on=HELD, places=8, price=4500)
    sales.sell_places(by=owner, workshop=one, on=OFFERED, places=2)
    sales.call_off(by=owner, workshop=one, on=HELD)
    assert income(None, ON) == []


def test_an_invoice_changes_nothing_and_a_whole_credit_takes_all_of_it_back(owner):
    """Invoiced with the jar: 170.00 hold 28.33, 141.67 net as before; credited in whole: nothing is left but the hire's own."""
    job = wedding(owner, grown(owner))
    before = sum(line.net for line in income(None, ON))
    issued = sales.invoice_job(by=owner, job=job, on=BILLED)
    assert (before, issued.net, sum(line.net for line in income(None, ON)), net_sales(NEW_YEAR, ON)) == (14167,) * 4

    whole = [(line, line.left) for line in lines_to_credit(issued)]
    sales.credit(by=owner, invoice=issued, on=HELD, lines=whole, why="all wilted")

    assert told(income(None, ON)) == [(DONE, "job", 0, 0), (DONE, "hire", 0, 0), (BACK, "hire", 0, 0)]
    assert net_sales(NEW_YEAR, HELD - timedelta(1)) == 14167
    assert net_sales(NEW_YEAR, ON) == 0


def test_prices_kept_net_are_income_as_they_are(owner):
    """162.00 and 8.00 net, 20 % on top in what fees are taken of."""
    wedding(owner, grown(owner, with_tax=False))
    assert [(line.net, line.gross) for line in income(None, ON)] == [(14700, 17640), (1500, 1800), (800, 960)]
    assert net_sales(NEW_YEAR, ON) == 17000
    assert untold() == (0, 0, 0)


def test_all_brought_back_is_as_if_nothing_was_taken(owner):
    """Two bunches taken and brought back: 122.50 net name nothing grown."""
    made = grown(owner)
    job = asked_about(owner, made)
    take(owner, made, job, bunches=2, back=2)
    sales.do_job(by=owner, job=job, on=BACK)
    assert Tracing(book(ON), ON).untraced.income == 13500 * MILLION
    assert untold() == (0, 0, 0)
