"""The pages of jobs."""

from collections.abc import Callable
from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.formats import date_format

from ledger.facts.models import CostKind, User
from ledger.pricing.actions import set_terms
from ledger.sales import actions
from ledger.sales.models import Job, JobPiece
from ledger.sales.queries.job_notes import job_notes
from ledger.stock.actions import Output, add_line, buy_in, set_recipe, write_off
from ledger.stock.models import Hold
from tests.factories.jobs import AGREED, HELD, JobFactory, PieceFactory, deposited, job_done, kept_for, piece_of
from tests.factories.made_up import MaterialFactory
from tests.factories.pricing import TradeFactory
from tests.factories.sales import ready
from tests.factories.stock import LineFactory, batch_of
from tests.sales.forms import fill, shown

SignIn = Callable[[User], Client]


def page_of(client: Client, job: Job) -> str:
    """The words of a job's page."""
    return client.get(job.get_absolute_url()).content.decode()


def test_a_job_is_entered_and_its_page_says_how_it_stands(owner: User, client_as: SignIn) -> None:
    """From the question to the page."""
    before = JobFactory()
    client = client_as(owner)
    fill(
        client, reverse("sales:new_job"), name="Wedding at the mill", kind="wedding", customer=before.customer_id,
        way=before.way_id, held_on="2024-09-21", good_until="2024-08-31", on="2024-08-06",
    )

    page = page_of(client, Job.objects.latest("pk"))

    assert "Wedding at the mill" in page and f"Asked about. Its day was {date_format(date(2024, 9, 21))}" in page


def test_a_piece_is_entered_with_its_parts_on_one_page(owner: User, client_as: SignIn) -> None:
    """Twelve stems and a vase in each of two bouquets at 45.00: two bunches of ten cover 24 stems, rounded up to three."""
    job, stock = JobFactory(), ready()
    client = client_as(owner)
    answer = fill(
        client, reverse("sales:add_piece", args=[job.pk]), name="Bouquet", quantity="2", price="45.00", minutes="30",
        dried_1=f"line-{stock.line.pk}", stems_1="12", bought_1="Vase", each_1="1", cost_1="3.50", on="2024-08-06",
    )
    assert answer.status_code == 302, answer.context["form"].errors

    piece = JobPiece.objects.get()
    assert [(part.line, part.bought, part.quantity, part.cost) for part in piece.parts.all()] == [
        (stock.line, "", 12, 0), (None, "Vase", 1, 350),
    ]
    page = page_of(client, job)
    assert "12 stems of" in page and "90.00" in page


def reckoned(client: Client, job: Job, **typed: str) -> tuple[str, dict]:
    """The page after “Reckon a price” was pressed, and what its form says then."""
    url = reverse("sales:add_piece", args=[job.pk])
    answer = client.post(url, {**shown(client, url), "name": "Posy", "reckon": "1", **typed})
    form = answer.context["form"]
    return answer.content.decode(), {name: form[name].value() for name in form.fields}


def test_a_price_is_reckoned_from_the_parts_and_the_wanted_margin(owner: User, client_as: SignIn) -> None:
    """Two vases at 3.50 net and three tenths of the price wanted: 7.00 / (1 - 0.30) = 10.00; nothing is recorded."""
    job = JobFactory()
    set_terms(by=owner, way=job.way, on=date(2024, 1, 1), margin_bp=3000)

    page, form = reckoned(client_as(owner), job, bought_1="Vase", each_1="2", cost_1="3.50")

    assert "A price that leaves the wanted 30 %: 10.00" in page and "7.00" in page
    assert (form["price"], form["name"], form["bought_1"]) == ("10.00", "Posy", "Vase")
    assert not JobPiece.objects.exists()


def test_a_price_typed_stays_and_its_margin_is_said(owner: User, client_as: SignIn) -> None:
    """At 14.00 for what costs 7.00 half is left."""
    job = JobFactory()
    set_terms(by=owner, way=job.way, on=date(2024, 1, 1), margin_bp=3000)

    page, form = reckoned(client_as(owner), job, bought_1="Vase", each_1="2", cost_1="3.50", price="14.00")

    assert "The price that stands here leaves 50 %." in page and form["price"] == "14.00"


def test_it_says_where_no_price_can_be_reckoned_yet(owner: User, client_as: SignIn) -> None:
    """A line of which nothing was ever made costs nobody knows what; a way without terms wants no margin."""
    job, line = JobFactory(), LineFactory()
    client = client_as(owner)
    page, _form = reckoned(client, job, bought_1="Vase", each_1="2", cost_1="3.50")
    assert "no terms of this way of selling say which margin is wanted" in page

    page, form = reckoned(client, job, dried_1=f"line-{line.pk}", stems_1="12")
    assert "the cost of a part is not known" in page and not form["price"]


def test_more_rows_are_shown_with_what_was_typed(owner: User, client_as: SignIn) -> None:
    """Two rows filled in, one to spare after."""
    job, first, second = JobFactory(), LineFactory(), LineFactory()
    url = reverse("sales:add_piece", args=[job.pk])
    typed = {"dried_1": f"line-{first.pk}", "stems_1": "5", "dried_2": f"line-{second.pk}", "stems_2": "7", "more": "1"}

    form = client_as(owner).post(url, typed).context["form"]

    assert [form[name].value() for name in ("stems_1", "stems_2", "stems_3")] == ["5", "7", None]


def test_a_sellers_page_reckons_no_costs(seller: User, client_as: SignIn) -> None:
    """Who sees no costs is offered no reckoning, and gets none by asking for it."""
    job = JobFactory()
    client = client_as(seller)
    assert "Reckon a price" not in client.get(reverse("sales:add_piece", args=[job.pk])).content.decode()

    page, form = reckoned(client, job, bought_1="Vase", each_1="2", cost_1="3.50")

    assert "What one is to cost" not in page and not form["price"]


def test_a_recipe_fills_a_piece_in(owner: User, client_as: SignIn) -> None:
    """Two bunches of ten are twenty stems; loose stems are stems of the line of that variety."""
    job, stock = JobFactory(), ready()
    other, wreath = LineFactory(), add_line(by=owner, name="Wreath", unit="piece")
    recipe = set_recipe(by=owner, on=date(2024, 8, 1), line=wreath, parts=[(stock.line, 2), (other.variety, 15)])

    form = client_as(owner).get(reverse("sales:add_piece", args=[job.pk]), {"recipe": recipe.pk}).context["form"]

    said = {name: form[name].value() for name in ("name", "dried_1", "stems_1", "dried_2", "stems_2")}
    assert said == {
        "name": "Wreath", "dried_1": f"line-{stock.line.pk}", "stems_1": 20, "dried_2": f"line-{other.pk}", "stems_2": 15,
    }


def test_a_piece_of_another_job_is_copied_with_its_price_where_the_way_is_the_same(owner: User, client_as: SignIn) -> None:
    """Its parts, minutes and note; another way's price means something else."""
    piece = PieceFactory(parts=[actions.Part(3, bought="Vase", cost=350)], note="Hand-tied")
    alike, other = JobFactory(way=piece.job.way), JobFactory(way=TradeFactory())
    client = client_as(owner)

    forms = [client.get(reverse("sales:add_piece", args=[job.pk]), {"piece": piece.pk}).context["form"] for job in (alike, other)]

    names = ("name", "minutes", "note", "bought_1", "each_1", "cost_1", "price")
    copied = ["bouquet", 60, "Hand-tied", "Vase", 3, "3.50"]
    assert [[form[name].value() for name in names] for form in forms] == [[*copied, "45.00"], [*copied, None]]


def test_a_changed_piece_stands_in_the_place_of_the_one_before(owner: User, client_as: SignIn) -> None:
    """What it was is shown struck through."""
    job = PieceFactory().job
    client = client_as(owner)
    before = JobPiece.objects.get()

    fill(client, reverse("sales:change_piece", args=[before.pk]), quantity="3", on="2024-08-07")

    assert [(one.quantity, one.price) for one in job.pieces.standing()] == [(3, 4500)]
    assert "135.00" in page_of(client, job) and '<li class="undone">' in page_of(client, job)


def test_a_piece_of_more_parts_than_rows_keeps_them_all(owner: User, client_as: SignIn) -> None:
    """Forty-three things bought in and forty-two materials, more than are typed in one by one; one left out, the others stay."""
    parts = [actions.Part(1, bought=f"candle {n}", cost=n) for n in range(43)]
    before = PieceFactory(parts=[*parts, *(actions.Part(2, material=MaterialFactory()) for _ in range(42))])
    client, url = client_as(owner), reverse("sales:change_piece", args=[before.pk])
    said = {**shown(client, url), "bought_20": "", "each_20": "", "cost_20": "", "on": "2024-08-07"}

    more = client.post(url, {**said, "more": "1"}).context["form"]
    assert more["bought_43"].value() == "candle 42"
    assert client.post(url, said).status_code == 302
    kinds = [bool(part.material_id) for part in before.job.pieces.standing().get().parts.all()]
    assert (kinds.count(True), kinds.count(False)) == (42, 42)


def test_what_lacks_is_kept_with_one_press(owner: User, client_as: SignIn) -> None:
    """Two bouquets of twelve stems need three bunches of ten; pressed, three are kept and none is lacking."""
    job, stock = JobFactory(), ready()
    piece_of(job, stock, 12)
    client = client_as(owner)
    page = page_of(client, job)
    assert "3 still to find." in page and "Keep 3" in page

    url = reverse("sales:keep_for_job", args=[job.pk])
    sent = {"form_key": "a-press", "on": "2024-08-20", "line": stock.line.pk, "bunches": 3}
    assert client.post(url, sent).status_code == 302

    assert "still to find." not in page_of(client, job)
    assert "Kept for" in client.get(job.holds.get().hold.get_absolute_url()).content.decode()


def test_another_line_of_like_colour_could_fill_what_lacks(owner: User, client_as: SignIn) -> None:
    """Only one bunch is there; the other line of the same variety is named with what it has free."""
    job, stock = JobFactory(), ready(1)
    other = LineFactory(variety=stock.line.variety, grade="seconds")
    batch_of(other, 9, on=date(2024, 8, 1))
    piece_of(job, stock, 12)

    page = page_of(client_as(owner), job)

    assert "Keep 1" in page and f"{other}, 9 free." in page and "Keep 2 instead" in page


def test_a_deposit_is_taken_used_up_and_given_back(owner: User, client_as: SignIn) -> None:
    """100.00 in, 40.00 back: 60.00 is held."""
    job = JobFactory()
    client = client_as(owner)
    fill(client, reverse("sales:take_deposit", args=[job.pk]), amount="100.00", how="cash", on="2024-08-12")
    fill(client, reverse("sales:give_back_deposit", args=[job.pk]), amount="40.00", on="2024-08-13")

    page = page_of(client, job)

    assert "paid ahead 100.00, cash" in page and "given back 40.00" in page and "Held, owed to the customer: 60.00" in page


def test_cancelling_keeps_part_of_a_deposit(owner: User, client_as: SignIn) -> None:
    """20.00 of 50.00 is kept; nothing is asked of tax where the seller is not registered."""
    job = JobFactory()
    deposited(job, 5000)
    client = client_as(owner)
    url = reverse("sales:cancel_job", args=[job.pk])
    assert "taxed" not in client.get(url).context["form"].fields

    fill(client, url, kept="20.00", why="moved away", on="2024-08-20")

    page = page_of(client, job)
    assert "Cancelled." in page and "cancelled, moved away" in page and "given back 30.00" in page


def test_a_hand_sees_what_to_take_and_no_money(hand: User, client_as: SignIn) -> None:
    """Pieces, needs and takings, without prices, deposits or charges."""
    job, stock = JobFactory(), ready()
    piece_of(job, stock, 12, price=61717)
    deposited(job, 61723)

    page = page_of(client_as(hand), job)

    assert str(stock.line) in page and "Take bunches for it" in page
    assert not any(money in page for money in ("617.17", "1234.34", "617.23"))


def filled_up(job: Job, pieces: int) -> None:
    """So many pieces of a line each, one bunch of it kept, one taken, a vase hired out."""
    for number in range(pieces):
        stock = ready()
        piece_of(job, stock, 12)
        kept_for(job, stock, 2)
        actions.take_bunches_for(by=owner_of(job), work=job, on=HELD, line=stock.line, bunches=1)
        item = actions.add_hire_item(by=owner_of(job), name=f"Vase {job.pk} {number}", charge=100, breakage=500, owned=5, on=HELD)
        hire = actions.plan_hire(by=owner_of(job), job=job, on=HELD, item=item, quantity=2, first_day=HELD, last_day=HELD)
        actions.send_out(by=owner_of(job), hire=hire, on=HELD, quantity=2)


def owner_of(job: Job) -> User:
    """Who entered it."""
    return job.recorded_by


def test_a_job_page_asks_as_often_for_much_as_for_little(owner: User, client_as: SignIn) -> None:
    """The number of queries does not grow with pieces, lines, holds, takings and hires."""
    little, much = JobFactory(), JobFactory()
    filled_up(little, 1)
    filled_up(much, 4)
    client, asked = client_as(owner), []
    for job in (little, much):
        with CaptureQueriesContext(connection) as queries:
            client.get(job.get_absolute_url())
        asked.append(len(queries))

    assert asked[0] == asked[1] <= 75


def test_the_list_of_jobs_asks_as_often_for_many_as_for_few(
    owner: User, client_as: SignIn, django_assert_max_num_queries: Callable
) -> None:
    """Whatever stands on it."""
    for _again in range(4):
        deposited(PieceFactory().job, 1000)
    client = client_as(owner)

    with django_assert_max_num_queries(14):
        client.get(reverse("sales:jobs"))


def test_what_is_kept_of_one_season_is_kept_on_of_that_season(owner: User, client_as: SignIn) -> None:
    """The press on the page says the season, though bunches of one season only are there."""
    job, stock = JobFactory(), ready()
    piece_of(job, stock, 12)
    actions.keep_for_job(by=owner, job=job, on=AGREED, line=stock.line, bunches=1, season=2024)
    sent = {"form_key": "a-press", "on": "2024-08-20", "line": stock.line.pk, "bunches": 2, "season": "2024"}

    assert client_as(owner).post(reverse("sales:keep_for_job", args=[job.pk]), sent).status_code == 302

    assert sum(change.bunches for change in job.holds.get().hold.changes.standing()) == 3


def test_a_press_keeps_what_the_season_kept_of_still_has(owner: User, client_as: SignIn) -> None:
    """Of 2023 one more is left, of 2024 twenty: the page offers to keep one."""
    job, stock = JobFactory(), ready()
    kind = CostKind.objects.get(code="plants")
    made = [Output(stock.line, 2)]
    buy_in(by=owner, on=date(2023, 8, 1), supplier="Sorrel Farm", outputs=made, net=100, tax=0, kind=kind)
    piece_of(job, stock, 25)
    actions.keep_for_job(by=owner, job=job, on=AGREED, line=stock.line, bunches=1, season=2023)

    page = page_of(client_as(owner), job)

    assert "4 still to find." in page and "1 is free now." in page and "Keep 1<" in page


def test_a_promise_left_short_is_given_up_though_nothing_is_kept_or_needed(owner: User, client_as: SignIn) -> None:
    """All ten kept are spoilt and the piece dropped: the row stays with its ten short until they are given up."""
    job, stock = JobFactory(), ready(10)
    piece, job_hold = piece_of(job, stock, 50), kept_for(job, stock, 10)
    write_off(by=owner, on=AGREED, batch=stock.batch, box=stock.box, bunches=10, reason="moths")
    actions.drop_piece(by=owner, piece=piece)
    client, url = client_as(owner), reverse("sales:free_from_job", args=[job_hold.pk])
    page = page_of(client, job)
    assert url in page and "10 short" in page and "10 of its promise are short" in client.get(url).content.decode()

    assert (shown(client, url)["bunches"], fill(client, url, on=HELD.isoformat()).status_code) == (10, 302)
    assert Hold.objects.with_short().get(pk=job_hold.hold_id).short == 0
    assert url not in page_of(client, job)


STATES = ("asked", "agreed", "past", "done", "to_invoice", "cancelled", "open")


@pytest.mark.parametrize("state", STATES)
def test_jobs_are_found_by_how_they_stand(state: str, owner: User, client_as: SignIn) -> None:
    """Each state shows its own job and hides one of another."""
    jobs = {name: PieceFactory().job for name in ("asked", "agreed", "done", "cancelled")}
    actions.agree_job(by=owner, job=jobs["agreed"], on=AGREED)
    job_done(jobs["done"])
    actions.cancel_job(by=owner, job=jobs["cancelled"], on=AGREED)
    hidden = {"asked": "agreed", "agreed": "asked", "done": "asked", "to_invoice": "asked", "cancelled": "done"}

    page = client_as(owner).get(reverse("sales:jobs"), {"state": state}).content.decode()

    here = {"past": "agreed", "open": "asked", "to_invoice": "done"}.get(state, state)
    assert jobs[here].get_absolute_url() in page
    assert jobs[hidden.get(state, "done")].get_absolute_url() not in page


def test_today_names_a_job_that_soon_lacks_bunches(owner: User) -> None:
    """Three bunches needed, one kept, a week before; once two are kept and one taken it says what is not taken."""
    job, stock = JobFactory(), ready()
    piece_of(job, stock, 12)
    actions.agree_job(by=owner, job=job, on=AGREED)
    kept_for(job, stock, 1)
    said = [says for says, _url in job_notes(owner, date(2024, 9, 7))]
    assert f"{job.name} on {date_format(HELD)} lacks 2 bunches" in said

    kept_for(job, stock, 1)
    actions.take_bunches_for(by=owner, work=job, on=date(2024, 9, 7), line=stock.line, bunches=1)
    kept_for(job, stock, 1, on=date(2024, 9, 7))
    said = [says for says, _url in job_notes(owner, date(2024, 9, 7))]
    assert f"{job.name} on {date_format(HELD)}: 2 bunches kept and not taken" in said


def test_today_counts_quotes_running_out_jobs_past_and_jobs_to_invoice(owner: User) -> None:
    """One of each on its day, none the day before or after."""
    JobFactory(good_until=date(2024, 8, 31))
    job_done(PieceFactory().job)

    def said(on: date) -> list[str]:
        return [says for says, _url in job_notes(owner, on)]

    assert "1 quote runs out within a week" in said(date(2024, 8, 24))
    assert "1 quote runs out within a week" not in said(date(2024, 8, 23)) + said(date(2024, 9, 1))
    assert "1 job is past its day, not said to be done" in said(date(2024, 9, 15))
    assert "1 job is past its day, not said to be done" not in said(HELD)
    assert "1 job is to be invoiced" in said(HELD)


def test_a_customers_page_lists_the_jobs(owner: User, client_as: SignIn) -> None:
    """By name, with how it stands."""
    job = JobFactory()
    page = client_as(owner).get(job.customer.get_absolute_url()).content.decode()
    assert job.get_absolute_url() in page and "asked about" in page
