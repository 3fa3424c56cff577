"""Which stall day was worth going, worked by hand."""

from dataclasses import replace
from datetime import date

from django.urls import reverse

from ledger.books.queries.margins import margins
from ledger.books.queries.market_days import COST_MORE, NOT_THE_HOURS, NOT_YET, WORTH, by_market, market_days, total_of
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from tests.books.market import ASKED, MARKET_DAY, SEPTEMBER, bill_pitch, market, stand_there

OCTOBER = date(2024, 10, 5)


def figures(day):
    """Net, goods, pitch and fees, paid work, what was left, own hours, what was left then, an hour there."""
    return day.net, day.shelf, day.fixed, day.work, day.left, day.own_work, day.after_own, day.an_hour


def only_day(owner, **given):
    """The one market day."""
    market(owner, **given)
    (day,) = market_days(*SEPTEMBER, ASKED)
    return day


def test_a_day_that_paid_its_goods_its_pitch_and_the_hours(owner):
    """150.00 net less 61.33 goods, 10.00 pitch and 3.60 fees leaves 75.07 for an hour that wanted 12.00."""
    day = only_day(owner)

    assert figures(day) == (15000, 6133, 1360, 0, 7507, 1200, 6307, 7507)
    assert day.verdict == WORTH


def test_a_day_that_paid_its_costs_and_not_the_hours(owner):
    """Eight hours want 96.00 and 75.07 are there: 9.38 an hour."""
    day = only_day(owner, minutes=480)

    assert figures(day)[4:] == (7507, 9600, -2093, 938)
    assert day.verdict == NOT_THE_HOURS


def test_a_day_that_cost_more_than_it_brought(owner):
    """A pitch of 100.00 leaves 14.93 short before any hour."""
    day = only_day(owner, pitch=10000)

    assert (day.left, day.verdict) == (-1493, COST_MORE)


def test_paid_work_is_a_cost_of_the_day_and_its_hours_count_there(owner):
    """Another hour at 15.00 leaves 60.07; before any work was paid 75.07 were there for two hours."""
    stand_there(owner, market(owner).day, 60, 1500, paid=True)
    (day,) = market_days(*SEPTEMBER, ASKED)

    assert (day.work, day.left, day.minutes, day.own_minutes, day.an_hour) == (1500, 6007, 120, 60, 3754)


def test_what_is_missing_is_said_and_never_nothing(owner):
    """A day without any entry, goods without a known cost, and hours without a rate cannot be told."""
    made = market(owner, pitch=0, minutes=0)
    bare = market_days(*SEPTEMBER, ASKED)[0]
    stand_there(owner, made.day, 60, rate=0)
    no_rate = market_days(*SEPTEMBER, ASKED)[0]

    assert (bare.verdict, no_rate.verdict) == (NOT_YET, NOT_YET)
    assert (bare.left, bare.after_own, bare.an_hour) == (None, None, None)
    assert "no pitch, drive or hours" in str(bare.why_not)


def test_goods_without_a_known_cost_keep_a_day_from_being_told(owner):
    """The fresh stems' planting still grows and nobody said what it will give."""
    market(owner, cleared=False)
    (day,) = market_days(*SEPTEMBER, SEPTEMBER[1])

    assert "no known cost" in str(day.why_not)


def test_a_day_without_hours_noted_cannot_be_told(owner):
    """A pitch and no hours: whether the hours had their rate is not known; paid hours alone are enough."""
    made = market(owner, minutes=0)
    bare = market_days(*SEPTEMBER, ASKED)[0]
    stand_there(owner, made.day, 60, 1500, paid=True)
    paid = market_days(*SEPTEMBER, ASKED)[0]

    assert (bare.verdict, bare.left, str(bare.why_not)) == (NOT_YET, None, "no hours are noted for it")
    assert (paid.verdict, paid.left, paid.own_minutes) == (WORTH, 6007, 0)


def test_a_fixed_pitch_without_its_bill_keeps_a_day_from_being_told(owner, client_as):
    """Hours alone are entered and the terms know of 30.00 a day; once the bill is there the day is told."""
    made = market(owner, pitch=0)
    (without,) = market_days(*SEPTEMBER, ASKED)
    url, asked = reverse("books:market_days"), {"first": "2024-09-01", "last": "2024-09-30"}
    page = client_as(owner).get(url, asked).content.decode()
    bill_pitch(owner, made.day, 1000)

    assert (without.verdict, str(without.why_not)) == (
        NOT_YET, "no bill of its pitch is entered; enter it on the page of the stall day",
    )
    assert "cannot say yet: no bill of its pitch is entered" in page and "counts by its bill" in page
    assert market_days(*SEPTEMBER, ASKED)[0].left == 7507


def test_a_fee_kept_off_a_card_payout_is_no_pitch(owner):
    """3.00 kept off 100.00 paid by card: the day still wants the bill of its pitch; with it 13.00 and nothing by the terms."""
    made = market(owner, pitch=0)
    card = [sales.Sold(1, line=made.thread.line, price=10000)]
    sales.sell(by=owner, on=MARKET_DAY, way=made.way, stall_day=made.day, lines=card, paid="card")
    days = {"first_day": MARKET_DAY, "last_day": MARKET_DAY}
    sales.record_card_payout(by=owner, on=date(2024, 9, 20), way=made.way, gross=10000, fee=300, **days)
    (without,) = market_days(*SEPTEMBER, ASKED)
    bill_pitch(owner, made.day, 1000)
    (billed,) = market_days(*SEPTEMBER, ASKED)

    assert "no bill of its pitch" in str(without.why_not)
    assert (billed.why_not, billed.fixed) == ("", 1300)


def test_a_pitch_that_is_a_share_of_takings_needs_no_bill(owner):
    """10 % of 180.00 taken beside the card fee of 2 %: 21.60 of fees, whether a bill comes or not."""
    made = market(owner, pitch=0)
    pricing.set_terms(by=owner, way=made.way, on=date(2024, 9, 1), margin_bp=3000, fee_bp=200, pitch_bp=1000)
    (day,) = market_days(*SEPTEMBER, ASKED)

    assert (day.fixed, day.why_not) == (2160, "")


def test_markets_gather_their_days_and_leave_out_what_cannot_be_told(owner):
    """The October day has no entry: its market's row is the September one, another market cannot be told."""
    made = market(owner)
    sales.open_stall_day(by=owner, on=OCTOBER, name="Green", way=made.way)
    sales.open_stall_day(by=owner, on=OCTOBER, name="Marl square", way=made.way)
    days = market_days(SEPTEMBER[0], ASKED, ASKED)
    green, marl = by_market(days)

    assert (green.name, green.days, green.left, marl.days, marl.verdict) == ("Green", 1, 7507, 0, NOT_YET)
    assert figures(total_of(days)) == figures(green)


def test_a_year_of_market_days_leaves_what_its_margins_say(owner):
    """A minute paid and one not, 20.4 cents each, are 40.8: 41 in both, though each by itself would print 20.

    61.33 goods, 10.00 pitch, 3.60 fees and those 0.41 leave 74.66 of 150.00 net.
    """
    stand_there(owner, market(owner, minutes=1, rate=1224).day, 1, 1224, paid=True)
    total, (row,) = total_of(market_days(*SEPTEMBER, ASKED)), margins("market_day", *SEPTEMBER, ASKED).rows

    assert (total.shelf, total.fixed, total.work + total.own_work, total.after_own) == (6133, 1360, 41, 7466)
    assert (row.shelf, row.selling + row.fees, row.actual) == (6133, 1401, 7466)


def test_a_day_that_cannot_be_told_takes_no_part_in_the_rounding(owner):
    """It shows no costs, and the total is that of the days told."""
    made = market(owner)
    sales.open_stall_day(by=owner, on=OCTOBER, name="Green", way=made.way)
    untold, _told = market_days(SEPTEMBER[0], ASKED, ASKED)

    assert (untold.shelf, untold.fixed, untold.work, untold.own_work, untold.left) == (0, 0, 0, 0, None)


def test_markets_are_ranked_by_the_hour_alone(owner):
    """100.00 in ten hours are 10.00 an hour, 20.00 in one are 20.00; nothing left is before a loss, without hours is last."""
    day = replace(only_day(owner), shelf=0, fixed=0, work=0, own_work=0)
    of = {"Long": (10000, 600), "Short": (2000, 60), "Nothing": (0, 60), "Loss": (-500, 60), "Bare": (90000, 0)}
    days = [replace(day, name=name, net=net, minutes=minutes) for name, (net, minutes) in of.items()]
    days.append(replace(day, name="Untold", net=99999, why_not="no hours are noted for it"))

    assert [row.name for row in by_market(days)] == ["Short", "Long", "Nothing", "Loss", "Bare", "Untold"]


def test_the_page_and_paper_tell_the_verdict_with_its_reason(owner, client_as):
    """In words, with what was left."""
    market(owner)
    client, asked = client_as(owner), {"first": "2024-09-01", "last": "2024-09-30"}
    page = client.get(reverse("books:market_days"), asked).content.decode()

    assert "worth going: 63.07 beyond all it cost, own hours too" in page
    assert client.get(reverse("books:market_days_paper"), asked).status_code == 200
    assert market_days(date(2025, 1, 1), date(2025, 1, 2), ASKED) == []
