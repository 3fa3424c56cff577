"""What a line would cost and leave if something were otherwise, on the page and beside the program's own book."""

import io
from datetime import date

import pytest
from django.urls import reverse
from pypdf import PdfReader

from ledger.costing.queries import cost_sheet
from ledger.daybook import actions as daybook
from ledger.facts.models import LedgerState
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.pricing.queries.what_if import Asked, ground_of, what_if
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.stock import actions as stock
from tests.factories.stock import LineFactory
from tests.pricing.season import Season, grow, plan
from tests.thread import BUNCHED, spin_thread

ON = date(2024, 12, 31)


def stall(owner, line, *, price=None, **terms):
    """A stall with the terms given from the day of bunching, and a price if one is said."""
    way = pricing.add_way(by=owner, name="Stall", with_tax=True, kind="stall")
    pricing.set_terms(by=owner, way=way, on=BUNCHED, **terms)
    if price:
        pricing.set_price(by=owner, way=way, line=line, on=BUNCHED, amount=price)
    return way


def asked_of(owner, line, **asked):
    """What would be of a line by the only way of selling."""
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    return what_if(ground_of(line, way, ON), Asked(**asked))


def test_nothing_moved_is_the_present_sheet_to_the_millionth(owner):
    """What is said as it stands changes no layer: 300 hung and 20 lost are 6.67 %, ten stems to the bunch."""
    thread = spin_thread(owner)
    found = asked_of(owner, thread.line, loss_bp=667, stems=10, price=600)
    sheet = cost_sheet(thread.line, ON)

    assert list(found.now.layers) == list(found.then.layers) == list(sheet.layers)
    assert (found.then.shelf_cost, found.then.stock_cost) == (sheet.shelf_cost, sheet.stock_cost)


MOVED = [
    ({"wage_bp": 10_000}, Season(hour=2400)),
    ({"stems": 5}, Season(to_the_bunch=5)),
    ({"cut_bp": 10_000}, Season(stems=800)),
    ({"loss_bp": 3500}, Season(lost=35)),
    ({"plot_bp": 5000}, Season(ground=90_000)),
    ({"wage_bp": 2500, "plot_bp": -5000, "loss_bp": 500, "stems": 20}, Season(1500, 30_000, lost=5, to_the_bunch=20)),
]


@pytest.mark.parametrize(("asked", "then"), MOVED)
def test_what_if_of_one_season_is_the_sheet_of_the_other(owner, asked, then):
    """The same season grown twice, the second with what was asked of the first: to the minor unit, layer by layer."""
    first, second = grow(owner, Season(), "Statice"), grow(owner, then, "Larkspur")
    plan(owner)
    found, sheet = asked_of(owner, first, **asked), cost_sheet(second, ON)

    assert [layer.name for layer in found.then.layers] == [layer.name for layer in sheet.layers]
    pairs = [(one.shelf, other.shelf) for one, other in zip(found.then.layers, sheet.layers, strict=True)]
    assert max(abs(one - other) for one, other in pairs) < MILLION and len(pairs) == 12
    assert abs(found.then.shelf_cost - sheet.shelf_cost) < MILLION
    assert abs(sheet.shelf_cost - cost_sheet(first, ON).shelf_cost) > 10 * MILLION


@pytest.mark.parametrize(("asked", "then"), [({}, Season()), *MOVED])
def test_what_would_be_made_is_what_the_other_season_made(owner, asked, then):
    """Half the stems to the bunch or twice the yield make twice as many; more lost makes fewer."""
    first, second = grow(owner, Season(), "Statice"), grow(owner, then, "Larkspur")

    assert asked_of(owner, first, **asked).then.made == second.batches.get().made


def test_twice_the_yield_makes_twice_the_weights_too(owner):
    """280 sound stems into 14 weights: at twice the yield 28 would be made, and stems to the bunch move nothing."""
    thread = spin_thread(owner)
    daybook.undo_work(by=owner, entry=thread.worker.entries.order_by("pk").last())
    stock.undo_run(by=owner, run=thread.batch.run)
    line = LineFactory(variety=thread.planting.variety, unit="weight", stems=None, grams=100)
    stock.make_run(by=owner, on=BUNCHED, inputs=[(thread.hanging, 280)], outputs=[stock.Output(line, 14, stems=280)])
    found = asked_of(owner, line, cut_bp=10_000)

    assert (found.now.made, found.then.made) == (14, 28)
    assert found.then.shelf_cost < found.now.shelf_cost


def test_margin_and_break_even_by_hand(owner):
    """27 bunches at 124.00 in all; at 8.00 with a card fee of 2 % and 0.80 of the day, one brings 7.04: 18 pay for all."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, price=800, fee_bp=200, fixed_day=3000, usual_takings=30000)
    now = what_if(ground_of(thread.line, way, ON), Asked()).now

    assert (to_minor(now.left.selling), to_minor(now.left.margin)) == (96, 245)
    assert (now.made, now.must_sell) == (27, -(-12400 // 704))
    assert now.left.margin_bp == round((704 - 12400 / 27) / 800 * 10_000)


def test_fees_and_the_hours_of_selling_move(owner):
    """An hour's work of 12.00 and a pitch of 30.00 on takings of 300.00 take 1.12 of 8.00; fees doubled and wage halved, 1.76."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, price=800, fixed_day=3000, day_minutes=60, hour_cost=1200, usual_takings=30000)
    found = what_if(ground_of(thread.line, way, ON), Asked(fees_bp=10_000, wage_bp=-5000))

    assert (to_minor(found.now.left.selling), to_minor(found.then.left.selling)) == (112, 176)


def test_a_price_below_its_costs_never_pays(owner):
    """At 0.50, with a pitch of 1.20 for every 1.00 taken, each sale loses: no number pays."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, price=50, fixed_day=12000, usual_takings=10000)
    assert what_if(ground_of(thread.line, way, ON), Asked()).now.must_sell is None


def test_without_a_price_the_one_proposed_stands_in(owner):
    """Nothing set: 4.59 with 30 % wanted, up to an ending of .50, is 7.50."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, margin_bp=3000, ending=50)
    found = what_if(ground_of(thread.line, way, ON), Asked(wage_bp=10_000))

    assert (found.now.price, found.then.price, found.then.proposed) == (750, 750, 850)


def test_a_line_never_made_has_no_answer(owner):
    """Nothing is made up for it."""
    spin_thread(owner)
    with pytest.raises(ValueError, match="never made"):
        asked_of(owner, LineFactory())


def test_what_matters_most_stands_first_and_goes_both_ways(owner):
    """A tenth of 8.00 matters most of all; a dearer wage leaves less, a higher price more."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, price=800, fee_bp=200)
    sways = what_if(ground_of(thread.line, way, ON), Asked()).sways
    by = {one.lever: one for one in sways}

    assert sways[0].lever == "price" and set(by) == {"wage", "loss", "stems", "plot", "cut", "fees", "price"}
    assert by["price"].more - by["price"].less == 2 * 80 - 3
    assert by["wage"].more < by["wage"].less and by["cut"].more > by["cut"].less
    assert by["plot"].more == by["plot"].less


def page_of(client, line, **asked):
    """The question's page with what is asked."""
    return client.get(reverse("pricing:what_if", args=[line.pk]), {"on": "2024-12-31", **asked})


def test_page_shows_both_at_once_and_leads_to_a_price(owner, client_as):
    """Present and asked beside each other, all moved things in a picture with its figures, and the price's form filled in."""
    thread = spin_thread(owner)
    way = stall(owner, thread.line, price=800)
    page = page_of(client_as(owner), thread.line, wage_bp="100", price="9.00")
    words = page.content.decode()

    rows = {str(row.label): (row.now, row.then) for row in page.context["rows"]}
    assert rows["Cost to the shelf"] == (459, 548) and rows["Price"] == (800, 900)
    assert f"line={thread.line.pk}&amp;way={way.pk}&amp;amount=9.00" in words
    assert words.count('class="ink-') > 7 and "margin as asked" in words


def test_without_script_and_with_it_the_answer_is_the_same(owner, client_as):
    """htmx gets the answer alone; it is the same as on the page."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=800)
    client, url = client_as(owner), reverse("pricing:what_if", args=[thread.line.pk])
    whole = client.get(url, {"stems": "5"}).content.decode()
    part = client.get(url, {"stems": "5"}, headers={"HX-Request": "true"}).content.decode().strip()

    assert part.startswith('<div id="outcome"') and "<html" not in part
    answers = [words[words.index("<table"):words.rindex("</table>")] for words in (whole, part)]
    assert answers[0] == answers[1]


@pytest.mark.parametrize(("asked", "at_fault"), [
    ({"wage_bp": "-100"}, "wage_bp"), ({"loss_bp": "100"}, "loss_bp"), ({"stems": "0"}, "stems"), ({"price": "dear"}, "price"),
])
def test_what_cannot_be_asked_is_said_beside_the_field(owner, client_as, asked, at_fault):
    """Work for nothing, all lost, no stems, a price in words: no figures, the reason instead."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=800)
    page = page_of(client_as(owner), thread.line, **asked)

    assert list(page.context["form"].errors) == [at_fault] and "rows" not in page.context


def test_nothing_is_kept(owner, client_as, django_assert_max_num_queries):
    """Asking writes nothing, and asks a fixed number of questions."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=800)
    client = client_as(owner)
    page_of(client, thread.line)
    before = LedgerState.objects.get().token
    with django_assert_max_num_queries(30):
        page_of(client, thread.line, wage_bp="10")

    assert LedgerState.objects.get().token == before


def test_what_cannot_be_said_yet_is_said(owner, client_as):
    """No way of selling; then no batch by that day."""
    thread = spin_thread(owner)
    client = client_as(owner)
    assert "There is no way of selling yet." in page_of(client, thread.line).content.decode()

    stall(owner, thread.line)
    assert "No batch of this line was made yet" in page_of(client, thread.line, on="2024-07-01").content.decode()


def test_too_early_to_say_moves_nothing(owner, client_as):
    """Made of a planting still growing with no expected stems: no figure is claimed."""
    thread = spin_thread(owner, cleared=False)
    plant = growing.plant(by=owner, on=date(2024, 4, 1), variety=thread.planting.variety, season=2024, origin="gathered")
    lot = growing.cut(by=owner, planting=plant, on=date(2024, 7, 1), stage="full", stems=100, dry=True)
    line = stock.add_line(by=owner, variety=plant.variety, stems=20)
    inputs = [(lot.partings.get(), 100)]
    stock.make_run(by=owner, on=BUNCHED, inputs=inputs, outputs=[stock.Output(line=line, made=5)])
    stall(owner, line)

    assert "Too early to say" in page_of(client_as(owner), line, on="2024-08-01").content.decode()


def test_paper_says_the_same(owner, client_as):
    """The answer as PDF, with what was asked and the picture's figures."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=800)
    asked = {"on": "2024-12-31", "wage_bp": "100"}
    answer = client_as(owner).get(reverse("pricing:what_if_paper", args=[thread.line.pk]), asked)
    words = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)

    assert answer["Content-Type"] == "application/pdf"
    assert "5.48" in words and "4.59" in words and "What matters most" in words


def test_without_a_price_the_page_says_what_stands_in(owner, client_as):
    """The proposed price where there are terms, none where there are not: then nothing is said of margin or break-even."""
    thread = spin_thread(owner)
    bare = pricing.add_way(by=owner, name="Gate", with_tax=True)
    stall(owner, thread.line, margin_bp=3000, ending=50)
    client = client_as(owner)
    words = page_of(client, thread.line, way=bare.pk).content.decode()
    proposed = page_of(client, thread.line, way=bare.pk + 1).content.decode()

    assert "none can be proposed: say one" in words and "What matters most" not in words and "amount=" not in words
    assert "the price proposed stands in" in proposed and "amount=7.50" in proposed


def test_more_must_sell_than_there_are_is_said(owner, client_as):
    """At 4.60 a bunch of 4.59 with a fee of 2 % brings less than it cost."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=460, fee_bp=200)
    assert "more than there are" in page_of(client_as(owner), thread.line).content.decode()


def test_a_price_that_never_pays_says_so(owner, client_as):
    """Each sale costs more than it takes."""
    thread = spin_thread(owner)
    stall(owner, thread.line, price=50, fixed_day=12000, usual_takings=10000)
    assert "never: selling one takes all it brings" in page_of(client_as(owner), thread.line).content.decode()


def test_sellers_may_not_ask(owner, seller, client_as):
    """What a bunch costs is not theirs to see, asked about or not."""
    thread = spin_thread(owner)
    for name in ("what_if", "what_if_paper"):
        assert client_as(seller).get(reverse(f"pricing:{name}", args=[thread.line.pk])).status_code == 403
