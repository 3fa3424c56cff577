"""The sheet all prices of a way are set on, and what is shown before they are."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import ListPrice, add_way, set_price, set_prices, set_terms, undo_price
from ledger.pricing.models import Price
from ledger.pricing.queries import price_on, prices_on, steps_on
from ledger.pricing.queries.sheet import effects, sheet_of_prices
from ledger.sales.actions import Asked, take_order
from tests.factories.pricing import PriceFactory, StallFactory, TradeFactory
from tests.factories.sales import CustomerFactory, ready
from tests.factories.stock import LineFactory
from tests.refusals import refused
from tests.sales.forms import fill, shown
from tests.thread import BUNCHED, spin_thread

JUNE, ON = date(2024, 6, 1), date(2024, 12, 31)


def test_several_prices_are_set_at_once(owner: User) -> None:
    """Two lines and a quantity step, all from the same day."""
    way, one, other = StallFactory(), LineFactory(), LineFactory()
    set_prices(by=owner, way=way, on=JUNE, prices=[ListPrice(other, 600), ListPrice(one, 550), ListPrice(one, 500, 10)])
    assert steps_on(way, JUNE) == {one.pk: [(1, 550), (10, 500)], other.pk: [(1, 600)]}


def test_all_prices_of_a_sheet_or_none(owner: User) -> None:
    """One of nothing among them is refused, and none is kept; so is an empty sheet, or a line twice."""
    way, line = StallFactory(), LineFactory()
    with refused("too_few"):
        set_prices(by=owner, way=way, on=JUNE, prices=[ListPrice(line, 550), ListPrice(LineFactory(), 0)])
    with refused("no_prices"):
        set_prices(by=owner, way=way, on=JUNE, prices=[])
    with refused("twice"):
        set_prices(by=owner, way=way, on=JUNE, prices=[ListPrice(line, 550), ListPrice(line, 560)])
    assert not Price.objects.exists()


def test_a_price_and_a_step_are_ended(owner: User) -> None:
    """From June no step, from July not sold so at all; ending what does not hold is refused."""
    price = PriceFactory(amount=550)
    given = {"by": owner, "way": price.way, "line": price.line}
    set_price(**given, on=date(2024, 2, 1), amount=500, at_least=10)
    set_price(**given, on=JUNE, amount=None, at_least=10)
    assert [price_on(price.line, price.way, on, 12) for on in (date(2024, 5, 31), JUNE)] == [500, 550]
    set_price(**given, on=date(2024, 7, 1), amount=None)
    assert prices_on(price.way, date(2024, 7, 1)) == {}
    with refused("no_price"):
        set_price(**given, on=date(2024, 7, 1), amount=None, at_least=10)


def stepped(owner: User, stock):
    """3.42 for one, 3.00 from ten and 2.80 from twenty; the price of one ended in September."""
    given = {"by": owner, "way": stock.way, "line": stock.line}
    for at_least, amount in ((1, 342), (10, 300), (20, 280)):
        set_price(**given, on=date(2024, 1, 1), amount=amount, at_least=at_least)
    return set_price(**given, on=date(2024, 9, 1), amount=None)


def test_the_steps_end_with_the_price_of_one(owner: User) -> None:
    """The day before a dozen still cost 3.00; from the day on there is no price to promise a dozen at."""
    stock = ready(40)
    stepped(owner, stock)
    assert steps_on(stock.way, date(2024, 8, 31)) == {stock.line.pk: [(1, 342), (10, 300), (20, 280)]}
    assert steps_on(stock.way, date(2024, 9, 1)) == {}
    order = {"by": owner, "customer": CustomerFactory(), "way": stock.way, "lines": [Asked(stock.line, 12)]}
    with refused("no_price"):
        take_order(**order, on=date(2024, 9, 2))
    assert take_order(**order, on=date(2024, 8, 31)).lines.get().price == 300


def test_an_ending_undone_gives_its_steps_back(owner: User) -> None:
    """Both steps stand again; one ended for itself before stays ended, and one set and ended since too."""
    stock = ready(40)
    given = {"by": owner, "way": stock.way, "line": stock.line, "on": date(2024, 9, 1)}
    set_price(**{**given, "on": date(2024, 1, 1)}, amount=250, at_least=30)
    set_price(**given, amount=None, at_least=30)
    ended = stepped(owner, stock)
    for amount in (270, None):
        set_price(**given, amount=amount, at_least=20)
    undo_price(by=owner, price=ended)
    assert steps_on(stock.way, ON) == {stock.line.pk: [(1, 342), (10, 300)]}
    with refused("already_undone"):
        undo_price(by=owner, price=ended)


def test_a_step_entered_late_for_a_day_before_the_ending_ends_with_it(owner: User) -> None:
    """A dozen at 3.20 from May, entered after the price of one was ended in September: given from May until then."""
    stock = ready(40)
    stepped(owner, stock)
    set_price(by=owner, way=stock.way, line=stock.line, on=date(2024, 5, 1), amount=320, at_least=12)
    assert (12, 320) in steps_on(stock.way, date(2024, 8, 31))[stock.line.pk]
    assert steps_on(stock.way, date(2024, 9, 1)) == {}


def test_a_step_is_given_again_only_once_it_is_set_again(owner: User) -> None:
    """The price of one comes back in November: its steps of before do not, one set that day does."""
    stock = ready(40)
    stepped(owner, stock)
    given = {"by": owner, "way": stock.way, "line": stock.line, "on": date(2024, 11, 1)}
    set_price(**given, amount=350)
    set_price(**given, amount=310, at_least=10)
    assert steps_on(stock.way, date(2024, 11, 1)) == {stock.line.pk: [(1, 350), (10, 310)]}


def test_a_sheet_may_end_a_price_and_its_step_together(owner: User) -> None:
    """Named both, each is ended once."""
    price = PriceFactory(amount=550)
    set_price(by=owner, way=price.way, line=price.line, on=date(2024, 2, 1), amount=500, at_least=10)
    ends = [ListPrice(price.line, None), ListPrice(price.line, None, 10)]
    assert len(set_prices(by=owner, way=price.way, on=JUNE, prices=ends)) == 2
    assert steps_on(price.way, JUNE) == {} and Price.objects.filter(amount=None).count() == 2


def test_what_a_change_does_is_told_with_what_is_promised(owner: User) -> None:
    """3.42 to 4.00: seven promised at 3.42 and four at 3.30 keep their prices; without costs no margin is told."""
    stock = ready(20)
    set_price(by=owner, way=stock.way, line=stock.line, on=date(2024, 1, 1), amount=342)
    for asked, price in ((7, None), (4, 330)):
        lines = [Asked(stock.line, asked, price=price)]
        take_order(by=owner, on=date(2024, 9, 1), customer=CustomerFactory(), way=stock.way, lines=lines)

    (told,) = effects(stock.way, ON, [ListPrice(stock.line, 400)], with_costs=False)

    assert (told.old, told.new, told.new_margin_bp) == (342, 400, None)
    assert list(told.promised) == [(330, 4), (342, 7)]


def test_a_change_tells_the_margin_before_and_after(owner: User) -> None:
    """A bunch of 4.5926 at 8.00 leaves 42.59 %, at 6.00 23.46 %: under the wanted 30 %."""
    thread = spin_thread(owner)
    way = add_way(by=owner, name="Gate")
    set_terms(by=owner, way=way, on=BUNCHED, margin_bp=3000)
    set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=800)

    (told,) = effects(way, ON, [ListPrice(thread.line, 600)], with_costs=True)

    assert (told.old_margin_bp, told.new_margin_bp, told.thin) == (4259, 2346, True)


def test_the_sheet_has_a_row_for_all_that_is_there_or_priced(owner: User) -> None:
    """Price now, cost to the shelf 4.59, and 7.00 proposed for 30 % at .00; a line without a batch has no cost."""
    thread = spin_thread(owner)
    way = add_way(by=owner, name="Gate")
    set_terms(by=owner, way=way, on=BUNCHED, margin_bp=3000, ending=0)
    other = PriceFactory(way=way, amount=999).line

    rows = {row.line: (row.now, row.shelf, row.proposed) for row in sheet_of_prices(way, ON, with_costs=True)}
    hidden = {row.line: (row.now, row.shelf, row.proposed) for row in sheet_of_prices(way, ON, with_costs=False)}

    assert rows == {thread.line: (None, 459, 700), other: (999, None, None)}
    assert hidden == {thread.line: (None, None, None), other: (999, None, None)}


def test_the_first_press_only_shows_the_second_sets(owner: User, client_as) -> None:
    """Nothing is kept by looking; “Set them” sets what was typed."""
    price = PriceFactory(amount=550)
    client, url = client_as(owner), reverse("pricing:set_prices", args=[price.way.pk])
    sent = {**shown(client, url), f"new_{price.line.pk}": "6.50", "on": "2024-06-01"}

    looked = client.post(url, {**sent, "look": "yes"})

    assert looked.status_code == 200 and Price.objects.count() == 1
    page = looked.content.decode()
    assert "5.50" in page and "6.50" in page and "Set them" in page
    assert f'name="seen" value="{looked.context["seen"]}"' in page
    assert client.post(url, {**sent, "seen": looked.context["seen"]}).headers["Location"] == price.way.get_absolute_url()
    assert price_on(price.line, price.way, JUNE) == 650


def look(client, price, **typed):
    """Address and contents of the form of one price after it was looked at."""
    url = f"{reverse('pricing:set_price')}?line={price.line.pk}&way={price.way.pk}"
    sent = {**shown(client, url), "on": "2024-06-01", "amount": "6.50", **typed}
    return url, {**sent, "seen": client.post(url, {**sent, "look": "yes"}).context["seen"]}


@pytest.mark.parametrize("other", [
    {"seen": ""}, {"seen": "0" * 64}, {"seen": "é"}, {"amount": "65.00"}, {"on": "2024-06-02"}, {"at_least": "10"},
])
def test_nothing_is_set_unseen(other, owner: User, client_as) -> None:
    """Not looked at, or changed since: its effects are shown, what was typed stays, and the next press sets it."""
    price, client = PriceFactory(amount=550), client_as(owner)
    url, sent = look(client, price)
    sent |= other
    answer = client.post(url, sent)
    page = answer.content.decode()
    assert answer.status_code == 422 and Price.objects.count() == 1
    assert "What it does" in page and f'value="{sent["amount"]}"' in page
    assert ("not shown yet" if other == {"seen": ""} else "look again") in page
    assert client.post(url, {**sent, "seen": answer.context["seen"]}).status_code == 302
    assert Price.objects.count() == 2


def test_another_line_or_way_is_not_what_was_seen(owner: User, client_as) -> None:
    """Both cost 5.50 before: it is another price all the same."""
    price, client = PriceFactory(amount=550), client_as(owner)
    url, sent = look(client, price)
    way, line = PriceFactory(line=price.line, amount=550).way, PriceFactory(way=price.way, amount=550).line
    for other in ({"way": way.pk}, {"line": line.pk}):
        assert client.post(url, {**sent, **other}).status_code == 422
    assert Price.objects.count() == 3


def test_a_price_somebody_else_changed_is_looked_at_again(owner: User, client_as) -> None:
    """5.50 when looked at, 5.75 when pressed; on the sheet too. A step set meanwhile counts as well."""
    price, client = PriceFactory(amount=550), client_as(owner)
    url, sent = look(client, price)
    sheet = reverse("pricing:set_prices", args=[price.way.pk])
    rows = {**shown(client, sheet), f"new_{price.line.pk}": "6.50", "on": "2024-06-01"}
    rows["seen"] = client.post(sheet, {**rows, "look": "yes"}).context["seen"]
    for at_least, amount in ((1, 575), (10, 500)):
        set_price(by=owner, way=price.way, line=price.line, on=date(2024, 5, 1), amount=amount, at_least=at_least)
        for page, typed in ((url, sent), (sheet, rows)):
            answer = client.post(page, typed)
            assert answer.status_code == 422 and "5.75" in answer.content.decode()
        sent["seen"] = client.post(url, {**sent, "look": "yes"}).context["seen"]
    assert "10 or more stay at 5.00" in answer.content.decode() and price_on(price.line, price.way, JUNE) == 575


def test_the_second_press_of_what_was_seen_sets_it_once(owner: User, client_as) -> None:
    """The price it set is no change made meanwhile: the same answer comes again."""
    price, client = PriceFactory(amount=550), client_as(owner)
    url, sent = look(client, price)
    first, second = client.post(url, sent), client.post(url, sent)
    assert first.status_code == second.status_code == 302 and first.headers["Location"] == second.headers["Location"]
    assert Price.objects.count() == 2


def test_what_cannot_be_set_cannot_be_looked_at(owner: User, client_as) -> None:
    """A price of nothing, or no number, is said beside its field, and typed stays typed."""
    price = PriceFactory(amount=550)
    url = reverse("pricing:set_prices", args=[price.way.pk])
    for typed in ("0", "dear", "-1"):
        answer = fill(client_as(owner), url, look="yes", **{f"new_{price.line.pk}": typed})
        assert answer.status_code == 422 and f'value="{typed}"' in answer.content.decode()
    assert "No new price is written" in fill(client_as(owner), url, look="yes").content.decode()


def test_one_price_is_looked_at_the_same_way(owner: User, client_as) -> None:
    """Old and new price stand on the page before it is set; a step is told as one."""
    price = PriceFactory(amount=550)
    url = f"{reverse('pricing:set_price')}?line={price.line.pk}&way={price.way.pk}"
    answer = fill(client_as(owner), url, look="yes", amount="5.25", at_least="10")
    page = answer.content.decode()
    assert answer.status_code == 200 and "5.50" in page and "5.25" in page and "for 10 or more" in page
    assert Price.objects.count() == 1


def test_a_seller_sets_prices_and_sees_no_costs(seller: User, owner: User, client_as) -> None:
    """Neither cost nor margin nor proposal stands on a seller's sheet."""
    thread = spin_thread(owner)
    way = TradeFactory()
    set_terms(by=owner, way=way, on=BUNCHED, margin_bp=3000)
    set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=800)
    url = reverse("pricing:set_prices", args=[way.pk])
    page = fill(client_as(seller), url, look="yes", **{f"new_{thread.line.pk}": "9"}).content.decode()
    assert "9.00" in page
    assert not [word for word in ("4.59", "Cost to the shelf", "Margin", "Proposed") if word in page]


def test_a_price_is_ended_on_its_page(owner: User, client_as) -> None:
    """The line's page offers to end what is in force, and says it was."""
    price = PriceFactory(amount=550)
    answer = fill(client_as(owner), reverse("pricing:end_price", args=[price.pk]), on="2024-06-01")
    page = client_as(owner).get(answer.headers["Location"]).content.decode()
    assert prices_on(price.way, JUNE) == {} and "ended" in page


def test_the_list_of_a_day_on_page_and_paper(owner: User, client_as) -> None:
    """As of May the old price and its step, as of June the new; as paper too."""
    price = PriceFactory(amount=550)
    given = {"by": owner, "way": price.way, "line": price.line}
    set_price(**given, on=date(2024, 2, 1), amount=525, at_least=10)
    set_price(**given, on=JUNE, amount=600)
    url, client = reverse("pricing:price_list", args=[price.way.pk]), client_as(owner)
    old, new = (client.get(url, {"on": on}).content.decode() for on in ("2024-05-31", "2024-06-01"))
    assert "5.50" in old and "from 10: 5.25" in old and "6.00" not in old
    assert "6.00" in new and "5.50" not in new
    assert client.get(reverse("pricing:price_list_paper", args=[price.way.pk]), {"on": "2024-05-31"}).status_code == 200
