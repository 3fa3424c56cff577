"""Prices to look at: each thing that can be wrong with a price, worst first, and nothing of what is right."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.costing import actions as costing
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.pricing import today as pricing_today
from ledger.pricing.queries.warnings import Worry, prices_to_look_at
from ledger.pricing.today import later, price_notes
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.factories.stock import LineFactory
from tests.thread import BUNCHED, spin_thread

ON = date(2024, 12, 31)


def way(owner, **terms):
    """A stall with its terms, prices with tax, where nobody is registered for it."""
    stall = pricing.add_way(by=owner, name="Stall", with_tax=True, kind="stall")
    if terms:
        pricing.set_terms(by=owner, way=stall, on=BUNCHED, **terms)
    return stall


def looked_at(on=ON):
    """What is wrong with each price that has anything wrong, worst first."""
    return [[one.worry for one in row.warned] for row in prices_to_look_at(on)]


def overheads(owner):
    """Half as much again on top of the cost to the box, so that the shelf lies above the stock cost of 4.59."""
    costing.plan_overheads(
        by=owner, on=date(2024, 1, 1), year=2024, overheads=50_000, usual_idle_and_luck=0, usual_base=100_000
    )


EDGES = [
    (459, Worry.BELOW_STOCK), (460, Worry.BELOW_SHELF), (688, Worry.BELOW_SHELF), (689, Worry.THIN), (983, Worry.THIN),
    (985, None),
]


@pytest.mark.parametrize(("amount", "worry"), EDGES)
def test_cost_is_said_by_the_worst_of_three(owner, amount, worry):
    """Stock cost 4.5926, to the shelf 6.8889, 30 % wanted from 9.8413: each edge on either side."""
    thread = spin_thread(owner)
    overheads(owner)
    pricing.set_price(by=owner, way=way(owner, margin_bp=3000), line=thread.line, on=BUNCHED, amount=amount)

    assert looked_at() == ([[worry]] if worry else [])


def test_sentences_give_the_figures_and_lead_to_the_price(owner):
    """The amounts as written, the margin left beside the one wanted, and the form of that price."""
    thread = spin_thread(owner)
    stall = way(owner, margin_bp=3000)
    price = pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=500)
    (row,) = prices_to_look_at(ON)

    assert (row.warned[0].says, row.margin_bp) == ("It leaves 8.15 % where 30 % is wanted.", 815)
    assert row.warned[0].url == f"{reverse('pricing:set_price')}?line={price.line_id}&way={stall.pk}"
    pricing.set_price(by=owner, way=stall, line=thread.line, on=date(2024, 9, 1), amount=400)
    assert prices_to_look_at(ON)[0].warned[0].says == "4.00 without tax is below its stock cost of 4.59."


def test_steps_offers_and_own_prices_are_looked_at_too(owner):
    """9.00 is right; 4.00 from ten, three for 12.60 and 4.50 for one customer are not, the least first."""
    thread = spin_thread(owner)
    stall = way(owner, margin_bp=3000)
    common = {"by": owner, "way": stall, "on": BUNCHED}
    pricing.set_price(**common, line=thread.line, amount=900)
    pricing.set_price(**common, line=thread.line, amount=400, at_least=10)
    offer = pricing.add_offer(**common, name="Three for 12.60", quantity=3, amount=1260, lines=[thread.line])
    customer = sales.add_customer(by=owner, name="Fern and Fennel")
    sales.set_own_price(**common, customer=customer, line=thread.line, amount=450)
    rows = prices_to_look_at(ON)

    assert [(row.of.amount, row.of.what) for row in rows] == [
        (400, "from 10"), (420, "Three for 12.60"), (450, "for Fern and Fennel"),
    ]
    assert [row.warned[0].url for row in rows[1:]] == [offer.get_absolute_url(), customer.get_absolute_url()]
    assert rows[0].warned[0].url.endswith("&at_least=10")


def of_stems(owner, stall, line, stems, amount):
    """The same line in bunches of so many at a price."""
    other = stock.add_line(by=owner, variety=line.variety, colour=line.colour, stems=stems)
    pricing.set_price(by=owner, way=stall, line=other, on=BUNCHED, amount=amount)
    return other


@pytest.mark.parametrize(("amount", "says"), [
    (850, "20 stems at 8.50 are no dearer than 10 of the same at 8.50."),
    (1701, "A stem is dearer in 20 at 17.01 than in 10 of the same at 8.50."), (1700, None), (851, None),
])
def test_prices_out_of_step_with_the_stems(owner, amount, says):
    """Ten at 8.50: twenty may cost more than that, up to twice as much."""
    thread = spin_thread(owner)
    stall = way(owner)
    pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=850)
    big = of_stems(owner, stall, thread.line, 20, amount)
    warned = [one for row in prices_to_look_at(ON) if row.of.line == big for one in row.warned]

    assert [one.says for one in warned if one.worry is Worry.OUT_OF_STEP] == ([says] if says else [])


def out_of_step_of(line):
    """What is said of prices of a line that are out of step, by what they are."""
    rows = [row for row in prices_to_look_at(ON) if row.of.line == line]
    return {row.of.what: one.says for row in rows for one in row.warned if one.worry is Worry.OUT_OF_STEP}


@pytest.mark.parametrize(("ten", "twenty", "says"), [
    (899, 898, {}), (900, 800, {"from 10": "9.00 from 10 is no lower than 9.00 from 1."}),
    (800, 850, {"from 20": "8.50 from 20 is no lower than 8.00 from 10."}),
    (950, 950, {
        "from 10": "9.50 from 10 is no lower than 9.00 from 1.", "from 20": "9.50 from 20 is no lower than 9.50 from 10.",
    }),
])
def test_a_step_is_below_the_one_beneath_it(owner, ten, twenty, says):
    """9.00 for one: so many or more at once cost less each, or it is said beside the step, whether on hand or not."""
    line, stall = LineFactory(), way(owner)
    for at_least, amount in ((1, 900), (10, ten), (20, twenty)):
        pricing.set_price(by=owner, way=stall, line=line, on=BUNCHED, amount=amount, at_least=at_least)

    assert out_of_step_of(line) == says


def test_a_step_out_of_step_matters_while_some_are_left(owner):
    """It is among what is pressing, and leads to the form of that step."""
    thread = spin_thread(owner)
    stall = way(owner)
    for at_least, amount in ((1, 1900), (10, 1950)):
        pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=amount, at_least=at_least)
    (row,) = prices_to_look_at(ON)

    assert row.pressing and not row.below_cost and row.warned[0].url.endswith("&at_least=10")


@pytest.mark.parametrize(("one", "ten", "says"), [
    (900, 800, {}), (901, 800, {"for Fern": "9.01 is dearer than the list's 9.00 for as many."}),
    (850, 801, {"for Fern, from 10": "8.01 is dearer than the list's 8.00 for as many."}),
    (700, 710, {"for Fern, from 10": "7.10 from 10 is no lower than 7.00 from 1."}),
])
def test_an_own_price_is_no_dearer_than_the_list(owner, one, ten, says):
    """The list has 9.00 for one and 8.00 from ten; as dear as that is right, and another way's list does not count."""
    line, stall, customer = LineFactory(), way(owner), sales.add_customer(by=owner, name="Fern")
    pricing.set_price(by=owner, way=pricing.add_way(by=owner, name="Gate"), line=line, on=BUNCHED, amount=100)
    for at_least, amount, own in ((1, 900, one), (10, 800, ten)):
        common = {"by": owner, "way": stall, "line": line, "on": BUNCHED, "at_least": at_least}
        pricing.set_price(**common, amount=amount)
        sales.set_own_price(**common, customer=customer, amount=own)

    assert out_of_step_of(line) == says


def test_lines_that_differ_in_more_than_stems_are_not_compared(owner):
    """Seconds may be cheaper than half as many firsts, and another way has prices of its own."""
    thread = spin_thread(owner)
    stall, gate = way(owner), pricing.add_way(by=owner, name="Gate", with_tax=True)
    pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=850)
    of_stems(owner, gate, thread.line, 20, 800)
    seconds = stock.add_line(by=owner, variety=thread.line.variety, colour="copper", grade="seconds", stems=20)
    pricing.set_price(by=owner, way=stall, line=seconds, on=BUNCHED, amount=600)

    assert Worry.OUT_OF_STEP not in [worry for row in looked_at() for worry in row]


def test_a_price_is_old_after_a_year(owner):
    """Set on 25 July 2024: on 25 July 2025 it is a year old, the day after more than that."""
    thread = spin_thread(owner)
    pricing.set_price(by=owner, way=way(owner), line=thread.line, on=BUNCHED, amount=2000)

    assert looked_at(date(2025, 7, 25)) == [] and looked_at(date(2025, 7, 26)) == [[Worry.OLD]]


def test_a_year_before_the_last_of_february_is_a_day(owner):
    """Asked on the last of February of a leap year."""
    thread = spin_thread(owner)
    pricing.set_price(by=owner, way=way(owner), line=thread.line, on=date(2023, 2, 27), amount=2000)

    assert looked_at(date(2024, 2, 29)) == [[Worry.TOO_EARLY, Worry.OLD]]


def test_a_cost_that_is_not_settled_is_said_to_be_so(owner):
    """While the planting stands its cost is provisional; without an expectation it is too early to say; never made, unknown."""
    thread = spin_thread(owner, cleared=False)
    stall = way(owner)
    pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=2000)
    never = LineFactory()
    pricing.set_price(by=owner, way=stall, line=never, on=BUNCHED, amount=2000)
    rows = {row.of.line: row for row in prices_to_look_at(date(2024, 8, 1))}

    assert [one.worry for one in rows[thread.line].warned] == [Worry.PROVISIONAL]
    assert "nothing is known of its cost" in rows[never].warned[0].says and not rows[never].pressing


def test_too_early_to_say_is_no_cost(owner):
    """Made of a planting nobody expects a number of: no margin is claimed."""
    thread = spin_thread(owner)
    plant = growing.plant(by=owner, on=date(2024, 4, 1), variety=thread.planting.variety, season=2024, origin="gathered")
    lot = growing.cut(by=owner, planting=plant, on=date(2024, 7, 1), stage="full", stems=100, dry=True)
    line = stock.add_line(by=owner, variety=plant.variety, stems=20)
    stock.make_run(by=owner, on=BUNCHED, inputs=[(lot.partings.get(), 100)], outputs=[stock.Output(line=line, made=5)])
    pricing.set_price(by=owner, way=way(owner), line=line, on=BUNCHED, amount=1)
    (row,) = prices_to_look_at(date(2024, 8, 1))

    assert ([one.worry for one in row.warned], row.margin_bp) == ([Worry.TOO_EARLY], None)


def test_page_shows_what_matters_first_and_each_price_once(owner, bookkeeper, client_as):
    """Below cost and old in one row; what is only old stands behind."""
    thread = spin_thread(owner)
    stall, gate = way(owner, margin_bp=3000), pricing.add_way(by=owner, name="Gate", with_tax=True)
    for of, amount in ((stall, 400), (gate, 2000)):
        pricing.set_price(by=owner, way=of, line=thread.line, on=BUNCHED, amount=amount)
    page = client_as(bookkeeper).get(reverse("pricing:warnings"), {"on": "2025-12-31"})
    words = page.content.decode()

    assert [len(row.warned) for row in page.context["below"]] == [2] and page.context["thin"] == []
    assert len(page.context["other"]) == 1
    assert words.index("below its stock cost") < words.index("1 that matters less")


def test_a_line_of_which_nothing_is_left_matters_less(owner):
    """All 27 drawn: its price is still said to be below cost, behind; made to order it matters all the same."""
    thread = spin_thread(owner)
    to_order = pricing.add_way(by=owner, name="To order", with_tax=True, kind="made_up")
    for of in (way(owner), to_order):
        pricing.set_price(by=owner, way=of, line=thread.line, on=BUNCHED, amount=400)
    stock.draw(by=owner, batch=thread.batch, box=thread.box, on=ON, bunches=27, reason="display")

    assert {row.of.way.name: row.pressing for row in prices_to_look_at(ON)} == {"Stall": False, "To order": True}
    assert all(row.pressing for row in prices_to_look_at(date(2024, 12, 30)))


def test_page_of_nothing_wrong_says_so(owner, client_as):
    """No price, nothing to look at."""
    assert "No price is below cost" in client_as(owner).get(reverse("pricing:warnings")).content.decode()


def priced_and_offered(owner, stall, line):
    """4.00 for one, three for 10.00."""
    pricing.set_price(by=owner, way=stall, line=line, on=BUNCHED, amount=400)
    pricing.add_offer(by=owner, way=stall, on=BUNCHED, name=f"Three {line.pk}", quantity=3, amount=1000, lines=[line])


def test_as_many_questions_for_many_prices_as_for_few(
    owner, client_as, django_assert_num_queries, django_assert_max_num_queries
):
    """The number of queries does not grow with the prices."""
    stall, client = way(owner, margin_bp=3000), client_as(owner)
    priced_and_offered(owner, stall, spin_thread(owner).line)
    client.get(reverse("pricing:warnings"))
    with django_assert_max_num_queries(25) as few:
        client.get(reverse("pricing:warnings"))
    asked = len(few)
    for line in LineFactory.create_batch(3):
        priced_and_offered(owner, stall, line)
    client.get(reverse("pricing:warnings"))
    with django_assert_num_queries(asked):
        client.get(reverse("pricing:warnings"))


def test_today_tells_the_owner_how_many(owner, seller, bookkeeper):
    """One below cost, one leaving too little; nothing for those who see no costs or set no prices."""
    thread = spin_thread(owner)
    assert list(later(owner, ON)) == []
    stall = way(owner, margin_bp=3000)
    for at_least, amount in ((1, 500), (10, 400)):
        pricing.set_price(by=owner, way=stall, line=thread.line, on=BUNCHED, amount=amount, at_least=at_least)

    assert list(price_notes(ON)) == ["1 price lies below its cost", "1 price leaves too little or is out of step"]
    assert [url for _says, url in later(owner, ON)] == [reverse("pricing:warnings")]
    assert list(later(seller, ON)) == [] == list(later(bookkeeper, ON))


def test_today_answers_before_the_prices_are_looked_at(owner, client_as, monkeypatch):
    """The page itself asks nothing of the cost book; a link leads on, and stands for what is loaded after it."""
    pricing.set_price(by=owner, way=way(owner, margin_bp=3000), line=spin_thread(owner).line, on=BUNCHED, amount=400)
    client, url = client_as(owner), reverse("pricing:warnings")
    with monkeypatch.context() as patched:
        patched.setattr(pricing_today, "prices_to_look_at", None)
        page = client.get(reverse("today")).content.decode()
    assert f'<li hx-get="{url}' in page and f'<a href="{url}">See whether the prices cover their cost</a>' in page

    loaded = client.get(url, headers={"HX-Request": "true"}).content.decode()

    assert loaded.strip() == f'<li><a href="{url}">1 price lies below its cost</a></li>'


def test_nothing_pressing_says_nothing_but_where_it_stands_alone(owner, client_as):
    """No item beside others; by itself that nothing is waiting."""
    client, url = client_as(owner), reverse("pricing:warnings")
    said = [client.get(f"{url}{asked}", headers={"HX-Request": "true"}).content.decode() for asked in ("", "?alone=yes")]
    assert [one.strip() for one in said] == ["", "<li>Nothing is waiting.</li>"]


def test_sellers_see_none_of_it(seller, owner, client_as):
    """Costs are not theirs to see."""
    assert client_as(seller).get(reverse("pricing:warnings")).status_code == 403
