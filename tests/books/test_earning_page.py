"""The bed-earnings page, its paper and its command: seasons, groups, rows that add up, verdicts."""

import io
import json
from datetime import date
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from ledger.books.queries.report import Question, report
from ledger.books.queries.verdict import verdicts
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.sharing import to_minor
from ledger.sales import actions as sales
from tests.books.test_closing import spend
from tests.books.test_earning import gate_sale, perennial
from tests.books.test_earning_shared import in_two_beds
from tests.books.test_pages import sell_ten
from tests.thread import plant, spin_thread

ON = date(2025, 12, 31)
EARNINGS = "books:earnings"


def two_seasons(owner):
    """Strawflower of 2024 at 124.00 with 80.00 sold of it; honesty of 2025 at 10.00, sold fresh for 12.00."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    first = plant(owner, name="Honesty")
    growing.undo_planting(by=owner, planting=first)
    later = growing.plant(by=owner, on=date(2025, 4, 1), variety=first.variety, bed=first.bed, area_m2=Decimal(10), season=2025)
    spend(owner, later, date(2025, 4, 1), 1000)
    lot = growing.cut(by=owner, planting=later, on=date(2025, 6, 1), stage="full", stems=24)
    way = pricing.add_way(by=owner, name="Stall", with_tax=True)
    sales.sell(by=owner, on=date(2025, 6, 1), way=way, lines=[sales.Sold(lot=lot, quantity=24, price=50)])
    growing.clear(by=owner, planting=later, on=date(2025, 7, 1))
    return thread, later


def test_several_seasons_stand_on_one_page_and_add_up(owner, client_as):
    """80.00 dried and 12.00 fresh are 92.00; 124.00 and 10.00 are 134.00; 42.00 short."""
    two_seasons(owner)
    page = client_as(owner).get(reverse(EARNINGS), {"season": 2024, "until": 2025})
    total = page.context["total"]

    assert (total["kinds"], total["income"], total["cost"], total["earned"]) == ([1200, 8000, 0, 0], 9200, 13400, -4200)
    assert sorted(row.of.name for row in page.context["rows"]) == ["Honesty Copper", "Strawflower Copper"]


def test_what_is_too_early_to_say_prints_the_amounts_that_are_in_the_total(owner, client_as, monkeypatch):
    """On 1 December, beside -44.00, a planting that still stands without an expectation at 50.00: -50.00, -94.00 together."""
    monkeypatch.setattr("ledger.books.views.earnings.today", lambda: date(2024, 12, 1))
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    bed = growing.add_bed(by=owner, plot=thread.planting.bed.plot, name="2", area_m2=Decimal(5))
    standing = growing.plant(
        by=owner, on=date(2024, 4, 1), variety=thread.planting.variety, bed=bed, area_m2=Decimal(5), season=2024
    )
    spend(owner, standing, date(2024, 4, 1), 5000)
    page = client_as(owner).get(reverse(EARNINGS), {"season": 2024})
    (row,) = [row for row in page.context["rows"] if not row.of.judged]
    cells = f'<a href="{row.figure_url}">-50.00</a></td>\n            <td colspan="3">so far; too early to say</td>'

    assert "too early to say" in row.under
    assert " ".join(cells.split()) in " ".join(page.content.decode().split())
    assert page.context["total"]["earned"] == sum(one.earned for one in page.context["rows"]) == -9400


@pytest.mark.parametrize("by", ["planting", "variety", "species", "bed", "plot"])
def test_however_gathered_the_total_is_the_same(owner, client_as, by):
    """Two rows of any kind, the same total in every column."""
    two_seasons(owner)
    asked = {"season": 2024, "until": 2025, "by": by}
    page = client_as(owner).get(reverse(EARNINGS), asked)

    assert len(page.context["rows"]) == 2
    assert (page.context["total"]["income"], page.context["total"]["contribution"]) == (9200, -4200)


def test_every_column_is_rounded_to_its_total(owner, client_as):
    """A planting of 100.00 and 90.00 in two beds: the beds' rows add up to it though thirds are rounded."""
    in_two_beds(owner)
    rows = client_as(owner).get(reverse(EARNINGS), {"season": 2024, "by": "bed"}).context["rows"]

    assert sorted((row.income, row.cost, sum(row.kinds)) for row in rows) == [(3333, 3000, 3333), (6667, 6000, 6667)]


def test_a_planting_of_two_seasons_is_one_planting(owner, client_as):
    """Yarrow of 2024 and 2025 in one bed: one planting on the page and in the command, though it has two seasons."""
    planting = perennial(owner)
    growing.cut(by=owner, planting=planting, on=date(2024, 8, 1), stage="full", stems=20)
    rows = client_as(owner).get(reverse(EARNINGS), {"season": 2024, "until": 2025, "by": "bed"}).context["rows"]
    answer = command("--by", "species", "--from", "2024", "--to", "2025", "--on", "2025-12-31")

    assert [(row.of.name, row.under.split(":")[0]) for row in rows] == [(str(planting.bed), "1 planting")]
    assert len(rows[0].of.parts) == 2
    assert [(row["plantings"], row["season"]) for row in answer["rows"]] == [(1, "2024-2025")]


@pytest.mark.parametrize(
    ("by", "says", "a_m2"),
    [("bed", "10.00 m2 of bed", -200), ("plot", "30.00 m2 of beds", -67), ("species", "20.00 m2 planted, all seasons", -100)],
)
def test_ground_is_counted_once_however_many_seasons(owner, client_as, by, says, a_m2):
    """Yarrow on a bed of 10 m2, 10.00 in 2024 and 30.00 spent for 2025: -20.00 on 10 m2, the plot's 30 or 20 planted."""
    planting = perennial(owner)
    growing.add_bed(by=owner, plot=planting.bed.plot, name="2", area_m2=Decimal(20))
    lot = growing.cut(by=owner, planting=planting, on=date(2024, 8, 1), stage="full", stems=20)
    gate_sale(owner, date(2024, 8, 1), lot=lot, quantity=20, price=50)
    growing.cut(by=owner, planting=planting, on=date(2025, 8, 1), stage="full", stems=20)
    asked = {"season": 2024, "until": 2025, "by": by}
    (row,) = client_as(owner).get(reverse(EARNINGS), asked).context["rows"]

    assert (row.under.partition(": ")[2].partition(";")[0], row.earned, row.per_m2) == (says, -2000, a_m2)
    assert command("--by", by, "--from", "2024", "--to", "2025", "--on", "2025-12-31")["rows"][0]["m2"] == says.split()[0]


def test_a_group_opens_to_its_plantings(owner, client_as):
    """From a species to its plantings, without verdicts or bridge; the planting leads to its own page."""
    _thread, later = two_seasons(owner)
    client = client_as(owner)
    rows = client.get(reverse(EARNINGS), {"season": 2024, "until": 2025, "by": "species"}).context["rows"]
    (honesty,) = [row for row in rows if row.of.name == "Honesty"]
    page = client.get(reverse(EARNINGS) + honesty.url)

    assert [row.url for row in page.context["rows"]] == [later.get_absolute_url()]
    assert page.context["rows"][0].earned == honesty.earned == 200
    assert "bridges" not in page.context and page.context["verdicts"] == []


def test_a_group_that_is_not_there_shows_all(owner, client_as):
    """Somebody's old link to a bed without a planting that season leads to the whole."""
    two_seasons(owner)
    page = client_as(owner).get(reverse(EARNINGS), {"season": 2025, "within": "species:999999"})

    assert len(page.context["rows"]) == 1 and page.context["report"].within is None


@pytest.mark.parametrize(
    ("asked", "field", "code"),
    [
        ({"season": 2025, "until": 2024}, "until", "seasons"), ({"until": 2024}, "season", "no_first"),
        ({"season": 1990, "until": 2200}, "until", "seasons"), ({"month": 13}, "month", "invalid_choice"),
    ],
)
def test_what_is_no_question_is_said_at_its_field(owner, client_as, asked, field, code):
    """Seasons back to front, too many, or a thirteenth month: said, on screen and instead of the paper."""
    for name in (EARNINGS, "books:earnings_paper"):
        page = client_as(owner).get(reverse(name), asked)
        assert page.status_code == 422
        assert page.context["form"].errors.as_data()[field][0].code == code


def test_it_is_paper_too(bookkeeper, owner, client_as):
    """The same figures as PDF."""
    two_seasons(owner)
    paper = client_as(bookkeeper).get(reverse("books:earnings_paper"), {"season": 2024, "by": "species"})

    assert paper.status_code == 200
    assert paper["Content-Type"] in {"application/pdf", "text/html; charset=utf-8"}


def test_verdicts_say_what_was_paid_and_how_sure_it_is(owner, client_as):
    """Strawflower: 80.00 of 124.00, 44.00 short, 17 of 27 unsold (62.96 in a hundred); honesty's hours were never entered."""
    two_seasons(owner)
    page = client_as(owner).get(reverse(EARNINGS), {"season": 2024, "until": 2025})
    said = {one.of.of.name: one for one in page.context["verdicts"]}

    assert [str(said[name].head) for name in ("Strawflower", "Honesty")] == ["neither", "cannot say yet"]
    assert "brought in 80.00" in said["Strawflower"].reason and "44.00 short" in said["Strawflower"].reason
    assert said["Strawflower"].sure == "1 season, 1 planting, final, 63 % of its cost unsold"
    assert said["Honesty"].reason == "cannot say yet: no hours are entered"


def test_a_verdict_says_what_the_unsold_would_change(owner):
    """17 bunches priced at 8.00 fetch 136.00: 80.00 and 136.00 would pay the 124.00."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    (found,) = report(Question(2024), ON).verdicts

    assert (found.paid.value, found.once_sold.value) == ("neither", "bed_and_work")
    assert (to_minor(found.account.fetches), found.left_out, found.few) == (13600, 0, False)


def test_nothing_sold_yet_is_not_judged(owner):
    """All 27 bunches are unsold: not that it earned nothing, but that nothing can be said."""
    spin_thread(owner)
    found = report(Question(2024), ON)

    assert [one.paid.value for one in found.verdicts] == ["unsaid"]
    assert [why for _group, why in found.ranking.apart] == ["sales"]


def test_a_species_is_judged_by_the_plantings_it_can_be(owner):
    """One of two plantings lacks its hours: it is left out and said so, and the other judged by itself."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    bed = growing.add_bed(by=owner, plot=thread.planting.bed.plot, name="2", area_m2=Decimal(5))
    other = growing.plant(
        by=owner, on=date(2024, 4, 1), variety=thread.planting.variety, bed=bed, area_m2=Decimal(5), season=2024
    )
    growing.clear(by=owner, planting=other, on=date(2024, 9, 1))
    (found,) = report(Question(2024), ON).verdicts

    assert (found.of.plantings, found.left_out) == (1, 1)
    assert to_minor(found.account.cost) == 12400


def test_no_rows_no_verdicts():
    """Nothing grown, nothing said."""
    assert verdicts([], None) == []


def command(*asked):
    """What the command answers."""
    out = io.StringIO()
    call_command("bed_earnings", *asked, "--json", stdout=out)
    return json.loads(out.getvalue())


def test_command_gathers_seasons_by_species(owner):
    """Both seasons by species, income by kind, and the bridge with nothing unexplained."""
    two_seasons(owner)
    answer = command("--by", "species", "--from", "2024", "--to", "2025", "--on", "2025-12-31", "--bridge")
    rows = {row["species"]: row for row in answer["rows"]}

    assert (rows["Strawflower"]["dried"], rows["Honesty"]["fresh"]) == ("80.00", "12.00")
    assert rows["Honesty"]["earned"] == "2.00"
    for name in ("bridge_income", "bridge_cost", "bridge_places"):
        assert {"what": "left unexplained", "amount": "0.00"} in answer[name]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--from", "2025", "--to", "2024"), "do not run"), (("--to", "2024"), "from which"),
        (("--season", "2024", "--from", "2024"), "Ask for"), (("--from", "20240"), "is no season"),
    ],
)
def test_command_refuses_what_is_no_question(owner, asked, says):
    """In one sentence."""
    with pytest.raises(CommandError, match=says):
        command(*asked)
