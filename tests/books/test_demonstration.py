"""What the demonstration holds: two full seasons, the second always the latest finished one."""

import csv
import io
from datetime import date

import pytest
from django.core.management import call_command
from django.db import transaction
from django.db.models import Sum

from grower.settings import ROOT
from ledger.books.bringing import read_folder
from ledger.books.models import YearClose
from ledger.daybook.models import MaterialUse, Purchase, WorkEntry
from ledger.drying.models import Disaster, Hanging, Oddments, Reading
from ledger.facts.models import User
from ledger.facts.queries import today
from ledger.growing.models import (
    Bed,
    CutValue,
    Division,
    GoneOver,
    Life,
    Lot,
    PartCleared,
    Parting,
    PlantedOut,
    Planting,
    Plot,
    SeedlingsDumped,
    Species,
    Variety,
)
from ledger.pricing.queries.warnings import prices_to_look_at
from ledger.sales.models import (
    CardPayout,
    Deposit,
    HireBack,
    HireItem,
    Invoice,
    Job,
    JobHire,
    JobPiece,
    Order,
    OrderLine,
    OrderTerms,
    PackRule,
    PlacesSold,
    Reported,
    StallDay,
    StandingEnd,
    StandingLeftOut,
    StandingOrder,
    Taken,
    Workshop,
)
from ledger.sales.queries.changed import changed_at
from ledger.sales.queries.tin import card_sales, tin_of
from ledger.stock.models import Box, CountLine, HeldBack, Movement, Recipe, RepackedRow, Repacking, Run, ShelfRoom, TakeEnd

FILES = read_folder(ROOT / "fixtures" / "demo")
SIZE = {
    "beds": (Bed, 20), "species": (Species, 16), "varieties": (Variety, 24), "lots": (Lot, 300), "hangings": (Hanging, 260),
    "runs": (Run, 250), "orders": (Order, 50), "stall_days": (StallDay, 28), "work": (WorkEntry, 1300),
    "purchases": (Purchase, 100), "material_uses": (MaterialUse, 250), "planted_out": (PlantedOut, 30),
    "seedlings_dumped": (SeedlingsDumped, 8), "part_clearings": (PartCleared, 2), "gone_over": (GoneOver, 3), "lives": (Life, 1),
    "cut_values": (CutValue, 10), "oddments": (Oddments, 10), "readings": (Reading, 100), "held_backs": (HeldBack, 2),
    "shelf_rooms": (ShelfRoom, 30),
    "recipes": (Recipe, 2), "standing_orders": (StandingOrder, 2), "standing_ends": (StandingEnd, 1),
    "standing_left_out": (StandingLeftOut, 1), "reports": (Reported, 1), "order_terms": (OrderTerms, 1),
    "pack_rules": (PackRule, 1), "jobs": (Job, 5), "job_pieces": (JobPiece, 13), "job_hires": (JobHire, 5),
    "deposits": (Deposit, 3), "taken_for_work": (Taken, 14), "workshops": (Workshop, 2), "places_sold": (PlacesSold, 4),
    "hires_back": (HireBack, 3), "hire_items": (HireItem, 3),
}


# What other files record too: materials of a run, seconds put down, the purchase of what was bought in and of a card fee,
# a piece changed, the rest of a deposit given back, and stems taken again without those that came back.
BESIDES = {
    "material_uses": lambda: rows_of("run_materials"), "runs": lambda: rows_of("seconds_sold"),
    "purchases": lambda: [row for row in rows_of("runs") if row["kind"] == "bought_in"] + rows_of("card_payouts"),
    "job_pieces": lambda: rows_of("piece_changes"), "deposits": lambda: rows_of("jobs_cancelled"),
    "taken_for_work": lambda: [row for row in rows_of("back_from_work") if row["taken"] == "tk7"],
}


def rows_of(file):
    """The rows of one file, read with nothing of the program's own."""
    return list(csv.DictReader(io.StringIO(FILES[f"{file}.csv"].decode())))


@pytest.fixture(scope="module")
def loaded(django_db_setup, django_db_blocker):
    """What the command said, the demonstration loaded once for this file and taken out again."""
    said = io.StringIO()
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", stdout=said)
        yield said.getvalue()
        transaction.set_rollback(True)


@pytest.mark.django_db
def test_the_demonstration_is_two_full_seasons(loaded):
    """Every row of the files is there, and there are about as many as two full seasons have."""
    there = {file: model.objects.count() for file, (model, _least) in SIZE.items()}

    assert there == {file: len(rows_of(file)) + len(BESIDES.get(file, lambda: ())()) for file in SIZE}
    assert {file: count for file, count in there.items() if count < SIZE[file][1]} == {}


@pytest.mark.django_db
def test_the_demonstration_says_how_far_it_has_come(loaded):
    """Ten steps and a last line with the number of files."""
    lines = loaded.splitlines()

    assert len(lines) == 11
    assert f"{sum(len(rows_of(name[:-4])) for name in FILES)} rows of {len(FILES)} files" in lines[-1]


@pytest.mark.django_db
def test_the_demonstration_has_what_a_holding_has(loaded):
    """Three kinds of plot, boxes apart from parcels, people without passwords, disasters in both seasons."""
    assert set(Plot.objects.values_list("kind", flat=True)) == set(Plot.Kind.values)
    assert Box.objects.filter(parcel=False).count() == len(rows_of("boxes"))
    assert {one.on.year - today().year for one in Disaster.objects.all()} == {-1, -2}
    assert sorted(User.objects.values_list("role", flat=True)) == ["bookkeeper", "hand", "owner", "seller"]
    assert not any(user.has_usable_password() for user in User.objects.all())


@pytest.mark.django_db
def test_the_last_season_is_the_latest_finished_one(loaded):
    """Stems were cut last year and the year before, something grows for this year, and the first year is closed."""
    years = {lot.on.year - today().year for lot in Lot.objects.all()}

    assert years == {-1, -2}
    assert Planting.objects.filter(season=today().year).exists()
    assert [close.on for close in YearClose.objects.standing()] == [date(today().year - 2, 12, 31)]


@pytest.mark.django_db
def test_every_kind_of_run_and_planting_is_shown(loaded):
    """Runs of every kind, plantings begun in every way, one divided, one failed, one perennial cleared before its time."""
    assert set(Run.objects.values_list("kind", flat=True)) == set(Run.Kind.values)
    assert set(Planting.objects.values_list("origin", flat=True)) == set(Planting.Origin.values)
    assert set(Parting.objects.values_list("way", flat=True)) == set(Parting.Way.values)
    assert Division.objects.count() == sum(bool(row["divided_from"]) for row in rows_of("plantings"))
    assert Planting.objects.filter(clearings__failed=True, lots=None).count() == 1
    assert Planting.objects.filter(perennial=True).exclude(clearings=None).count() == 1


@pytest.mark.django_db
def test_hangings_and_lots_of_every_sort_are_shown(loaded):
    """Some hangings were moved, hung as bunches or trials; some lots were weighed or counted about."""
    hangings, lots = rows_of("hangings"), rows_of("lots")

    assert Hanging.objects.exclude(moved_from=None).count() == sum(bool(row["moved_from"]) for row in hangings) >= 3
    assert Hanging.objects.exclude(bunch_stems=None).count() == sum(bool(row["bunch_stems"]) for row in hangings) >= 8
    assert Hanging.objects.filter(trial=True).exists()
    assert Lot.objects.exclude(fresh_g=None).count() == sum(bool(row["fresh_g"]) for row in lots) >= 4
    worked = Movement.objects.filter(kind=Movement.Kind.MADE_UP, run__sale_as_seconds=None)
    assert worked.count() == len(rows_of("run_bunches"))


@pytest.mark.django_db
def test_a_stock_take_and_a_box_split_are_shown(loaded):
    """One bunch missing with a reason, one over, put into the book in one step; seconds in a box of their own."""
    end = TakeEnd.objects.get()

    found = CountLine.objects.filter(count__take_end=end).order_by("movement__bunches")
    assert [(one.counted - one.recorded, one.movement.bunches) for one in found] == [(-1, -1), (1, 1)]
    assert found[0].movement.reason == "broken at the bottom of the box"
    assert (Repacking.objects.get().what, RepackedRow.objects.count()) == ("split", 2)


@pytest.mark.django_db
def test_a_market_day_is_shown_from_loading_to_payout(loaded):
    """Three boxes along and put away, a price changed for a reason, two sold as seconds, tin short, cards paid."""
    day = StallDay.objects.get(name="Marl square", on__month=12, on__year=today().year - 1)
    tin, payout = tin_of(day), CardPayout.objects.order_by("-on")[0]

    assert day.loads.count() == 3 and day.backs.get().rows.count() == 4
    assert [(one.line.why, one.line.price) for one in changed_at(day)] == [("end of the day", 500)]
    assert day.sales.exclude(rework=None).get().lines.get().quantity == 2
    assert (tin.difference, tin.card) == (-50, 23950)
    assert payout.gross == card_sales(day.way, day.on, day.on) and payout.fee == 419


@pytest.mark.django_db
def test_prices_pay_but_for_a_few_that_are_meant_not_to(loaded):
    """Bunny tails marked down by three ways and wreaths for florists are below their cost, nothing else wants looking at."""
    pressing = [row for row in prices_to_look_at(today()) if row.pressing]

    found = sorted((row.below_cost, row.of.line.name or row.of.line.variety.species.name, row.of.way.name) for row in pressing)
    bunny_tails = [(True, "Bunny tails", way) for way in ("Farm gate", "Market stall", "Trade order")]
    assert found == [*bunny_tails, (True, "Winter wreath", "Trade order")]


@pytest.mark.django_db
def test_one_order_of_the_demonstration_is_short(loaded):
    """Twenty-two asked for as last said, six promised, six stood in for, ten lacking and eight of them to come later.

    Its other line went with the carriage of 8.50, which is a line of its invoice.
    """
    order = Order.objects.get(said_anew__isnull=False)
    lines = OrderLine.objects.with_standing().filter(order=order).order_by("pk")
    asked, sent, instead = lines
    assert (asked.wanted, asked.kept, asked.stood_in, asked.lacking, asked.later) == (22, 6, 6, 10, 8)
    assert (instead.instead_of, instead.kept, sent.sent, sent.hold.season) == (asked, 6, 4, order.on.year)
    assert [line.net for line in Invoice.objects.get(order=order).lines.filter(carriage_of__isnull=False)] == [850]


@pytest.mark.django_db
def test_a_wedding_is_shown_from_quote_to_margin(loaded):
    """Four bridesmaids in the end, a jar broken, 200.00 paid ahead and used; another job cancelled, one kept for ahead."""
    done = Job.objects.get(name="Orrin wedding")
    charged = {charge.description: charge.quantity for charge in done.doings.get().charges.all()}
    paper = done.invoices.get()

    assert charged["Bridesmaid's bouquet"] == 4
    assert paper.gross == 65_700 + 1_800 + 2_500 + 400
    assert [one.amount for one in paper.payments.filter(deposit_of=done)] == [20_000]
    assert [kept.hold.changes.standing().aggregate(n=Sum("bunches"))["n"] for kept in done.holds.all()] == [0] * 6
    assert Job.objects.get(cancellings__isnull=False).cancellings.get().kept == 2_500
    ahead = Job.objects.get(name="Farrant wedding")
    assert [kept.hold.changes.aggregate(n=Sum("bunches"))["n"] for kept in ahead.holds.all()] == [5, 4]
    assert ahead.held_on > today()


@pytest.mark.django_db
def test_a_workshop_is_shown_with_its_places(loaded):
    """Six of eight places paid when it was held, half of one given back; another called off."""
    held = Workshop.objects.get(holdings__isnull=False)

    assert sum(sold.places for sold in held.places_sold.all()) == 7
    assert [one.returned for sold in held.places_sold.all() for one in sold.given_back.all()] == [2_400]
    assert Workshop.objects.get(called_off__isnull=False).name == "Posy morning"
