"""A season's losses: what went, what it cost, and who sees it."""

from datetime import date

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.costing.queries import forget_books
from ledger.costing.queries.better import how_dried
from ledger.costing.queries.loss_tables import step_of
from ledger.costing.queries.losses import season_losses
from ledger.costing.queries.season import way_of_stems
from ledger.drying import actions as drying
from ledger.growing import actions as growing
from ledger.growing.actions import undo_expectation
from ledger.stock import actions as stock
from tests.thread import BUNCHED, DOWN, HUNG, spin_thread

END = date(2024, 12, 31)


def by_reason(found):
    """Each reason: stems, borne, written off and kept, in minor units."""
    return {str(row.label): (row.stems, row.borne, row.written_off, row.kept) for row in found.by_reason.rows}


def table(found, name):
    """One of the tables of drying."""
    return next(one for one in found.in_drying if one.name == name)


def test_lost_stems_cost_their_share_and_the_sound_bear_it(owner):
    """Of 112.00 spent: 100 of 400 thrown out are 28.00, 20 of 300 lost 7.47, 10 of 280 lost in bunching 4.00."""
    spin_thread(owner)

    assert by_reason(season_losses(2024, END)) == {
        "shattered": (20, 747, 0, 0), "thrown out at the cut": (100, 2800, 0, 0), "lost in bunching": (10, 400, 0, 0),
    }


def test_disaster_is_written_off_beyond_the_usual(owner):
    """Norm 5 %: 280 sound bear 112.00 / 285 each, 1.96 is written off and the sound bear 5.50 of what was lost."""
    thread = spin_thread(owner)
    drying.mark_disaster(by=owner, hanging=thread.hanging, on=DOWN, why="the roof leaked", norm_bp=500)
    total = season_losses(2024, END).by_reason.total

    assert by_reason(season_losses(2024, END))["shattered"] == (20, 550, 196, 0)
    assert total.cost == sum(row.cost for row in season_losses(2024, END).by_reason.rows)


def test_oddments_kept_are_worth_their_scrap(owner):
    """Of 7.47, two pounds' worth of petals were kept; the sound bear 5.47."""
    thread = spin_thread(owner)
    drying.keep_oddments(by=owner, hanging=thread.hanging, on=DOWN, stems=15, value=200)

    assert by_reason(season_losses(2024, END))["shattered"] == (20, 547, 0, 200)


def test_every_table_of_drying_adds_up_to_the_same(owner):
    """Place, variety, stage, week: 300 came down, 20 lost, 7.47."""
    spin_thread(owner)
    found = season_losses(2024, END)

    assert [one.name for one in found.in_drying] == ["place", "variety", "stage", "week"]
    for one in found.in_drying:
        assert [(row.hangings, row.of, row.stems, row.cost) for row in (*one.rows, one.total)] == [(1, 300, 20, 747)] * 2
    assert [row.label for row in table(found, "week").rows] == ["2024-W27"]
    assert table(found, "stage").rows[0].share_bp == 667


def test_weather_is_the_mean_of_what_was_read_while_it_hung(owner):
    """60 and 71 per cent read while it hung are a mean of 66; a reading after it came down says nothing of it."""
    thread = spin_thread(owner)
    for on, humidity in ((HUNG, 60), (DOWN, 71), (BUNCHED, 20)):
        drying.note_reading(by=owner, place=thread.hanging.place, on=on, humidity_percent=humidity)
    found = season_losses(2024, END)

    assert [str(row.label) for row in table(found, "damp").rows] == ["60 to under 70 %"]
    assert "warmth" not in [one.name for one in found.in_drying]


def test_steps_of_weather_begin_with_their_number():
    """Under 50, 50 to 59, 70 and more; nothing where nothing was read."""
    assert [step_of(number, (50, 60, 70)) for number in (49, 50, 59, 60, 70, 99, None)] == [0, 1, 1, 2, 3, 3, None]


def test_finish_tells_bunching_from_rework(owner):
    """Ten lost in bunching natural ones; of two bunches bleached, three stems more."""
    thread = spin_thread(owner)
    white = stock.add_line(by=owner, variety=thread.planting.variety, colour="copper", finish="bleached", stems=17)
    made = [stock.Output(line=white, made=1)]
    stock.rework(by=owner, on=BUNCHED, bunches=[(thread.batch, thread.box, 2)], outputs=made, lost=3)
    found = season_losses(2024, END)
    rows = [(str(row.label), row.of, row.stems) for row in found.by_finish.rows]

    assert rows == [("natural", 280, 10), ("bleached in the sun", 20, 3)]
    assert by_reason(found)["lost in rework"][0] == 3


def test_trials_are_judged_apart(owner):
    """A trial's losses stand in their own table and in no other."""
    thread = spin_thread(owner)
    drying.mark_trial(by=owner, hanging=thread.hanging, trial=True)
    found = season_losses(2024, END)

    assert "shattered" not in by_reason(found)
    assert [(row.of, row.stems) for row in found.trials.rows] == [(300, 20)]
    assert all(not one.rows for one in found.in_drying)


def test_moved_stems_count_where_they_came_down(owner):
    """Hung in the loft, half moved to the shed: each place answers for what came down there, one hanging in all."""
    thread = spin_thread(owner)
    shed = drying.add_place(by=owner, name="Shed", unit="hooks", room=50)
    lot = growing.cut(by=owner, planting=thread.planting, on=HUNG, stage="full", stems=100)
    first = drying.hang(by=owner, lot=lot, on=HUNG, place=thread.hanging.place, stems=100)
    moved = drying.move_hanging(by=owner, hanging=first, on=DOWN, place=shed, stems=50)
    drying.take_down(by=owner, hanging=first, on=DOWN, stems=50)
    drying.take_down(by=owner, hanging=moved, on=BUNCHED, stems=50, losses={"mould": 5})
    found = season_losses(2024, END)

    assert [(row.label, row.of, row.stems) for row in table(found, "place").rows] == [("Loft", 350, 20), ("Shed", 50, 5)]
    assert table(found, "stage").rows[1].hangings == 1


def test_cost_too_early_to_say_is_said(owner):
    """Without an expectation a growing planting's losses claim no cost."""
    thread = spin_thread(owner, cleared=False)
    for expectation in thread.planting.expectations.standing():
        undo_expectation(by=owner, expectation=expectation)
    row = season_losses(2024, date(2024, 8, 1)).by_reason.rows[0]

    assert (row.stems, row.cost, row.said) == (20, 0, False)


def test_day_and_season_bound_what_is_told(owner):
    """Before it came down nothing was lost in drying; another season lost nothing; unasked, the last cut's season."""
    spin_thread(owner)

    assert list(by_reason(season_losses(2024, date(2024, 7, 19)))) == ["thrown out at the cut"]
    assert by_reason(season_losses(2023, END)) == {}
    assert season_losses(None, date(2025, 3, 1)).season == 2024


def test_every_figure_opens_to_its_hanging_lot_and_run(owner, hand, client_as):
    """One line each, adding up to the whole; who sees no cost is led to the record."""
    thread = spin_thread(owner)
    found = season_losses(2024, END)
    rows = [(row.key[0], row.stems) for row in found.by_source.rows]
    pages = [client_as(one).get(reverse("costing:losses"), {"season": 2024}).content.decode() for one in (owner, hand)]

    assert rows == [("lot", 100), ("hanging", 20), ("run", 10)]
    assert found.by_source.total == found.by_reason.total
    assert reverse("costing:node", args=["hanging", thread.hanging.pk]) in pages[0]
    assert thread.hanging.get_absolute_url() in pages[1]


def test_gone_over_in_the_bed_is_said_beside(owner, client_as):
    """Forty never cut are no row of the tables: what was cut bears their cost."""
    thread = spin_thread(owner)
    growing.note_gone_over(by=owner, planting=thread.planting, on=DOWN, stems=40, why="rain")
    page = client_as(owner).get(reverse("costing:losses"), {"season": 2024}).content.decode()

    assert season_losses(2024, END).by_reason.total.stems == 130
    assert "about 40 stems went over in the bed uncut" in page


def test_more_hangings_ask_no_more_of_the_database(owner):
    """Losses, how it dries and the season's way each take as many questions of three hangings as of one."""
    thread = spin_thread(owner)
    asking = (lambda: season_losses(2024, END), lambda: how_dried(thread.planting.variety, END), lambda: way_of_stems(2024, END))
    before = [asked(one) for one in asking]
    for _number in range(2):
        lot = growing.cut(by=owner, planting=thread.planting, on=HUNG, stage="full", stems=100)
        hanging = drying.hang(by=owner, lot=lot, on=HUNG, place=thread.hanging.place, stems=90)
        drying.take_down(by=owner, hanging=hanging, on=DOWN, stems=90, losses={"mould": 9})
        made = [stock.Output(line=thread.line, made=8)]
        stock.make_run(by=owner, on=BUNCHED, inputs=[(hanging, 81)], outputs=made, lost=1)

    assert [asked(one) for one in asking] == before


def asked(question):
    """How many queries a question takes, nothing kept from before."""
    forget_books()
    with CaptureQueriesContext(connection) as queries:
        question()
    return len(queries)


def test_page_draws_the_weeks_and_its_paper_is_a_pdf(owner, client_as):
    """The picture says what it shows, its figures stand beside it, and paper has the same."""
    spin_thread(owner)
    page = client_as(owner).get(reverse("costing:losses"), {"season": 2024}).content.decode()
    paper = client_as(owner).get(reverse("costing:losses_paper"), {"season": 2024})

    assert "20 stems were lost in drying. Most were hung in 2024-W27: 20. The commonest reason: shattered, 20." in page
    assert "7.47" in page
    assert paper.headers["Content-Type"] == "application/pdf"


def test_roles_without_costs_see_stems_but_no_money(hand, seller, owner, client_as):
    """What went teaches the loft; what it cost is not theirs to see."""
    spin_thread(owner)
    for person in (hand, seller):
        page = client_as(person).get(reverse("costing:losses"), {"season": 2024}).content.decode()
        assert "shattered" in page
        assert "7.47" not in page
        assert "Written off" not in page


def test_a_season_nobody_cut_in_says_so(owner, client_as):
    """No lot, no loss, no picture; nonsense asked is refused beside its field."""
    client = client_as(owner)

    assert "Nothing was lost" in client.get(reverse("costing:losses"), {"season": 2024}).content.decode()
    assert client.get(reverse("costing:losses"), {"season": "x", "variety": 999}).status_code == 200
