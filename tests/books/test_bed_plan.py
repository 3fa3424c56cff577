"""The plan of the beds: what each earned a m2, what stood in it when, and how much of it lay bare."""

from datetime import date
from decimal import Decimal

from django.urls import reverse

from ledger.books.queries.bed_plan import bed_plan
from ledger.growing import actions as growing
from ledger.growing.models import Bed
from tests.books.test_closing import spend
from tests.books.test_pages import sell_ten
from tests.thread import spin_thread

ASKED = date(2024, 12, 31)


def laid_out(owner):
    """A bed of 10 m2 that earned 80.00 and cost 124.00 from 1 April to 1 October, beside a bare one of 20 m2."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    plot, bed = thread.planting.bed.plot, thread.planting.bed
    bare = growing.add_bed(by=owner, plot=plot, name="2", area_m2=Decimal(20))
    place = growing.BedPlace(Decimal(0), Decimal(0), Decimal(5))
    growing.lay_out_beds(by=owner, plot=plot, wide_m=Decimal(10), places={bed.pk: place})
    return thread, bed, bare


def test_each_bed_says_what_its_m2_earned_and_how_long_it_lay_bare(owner):
    """-44.00 on 10 m2 is -4.40 a m2; it stood 183 of 366 days. The other lay bare and has no figure."""
    _thread, bed, bare = laid_out(owner)
    plan = bed_plan(2024, ASKED)
    first, second = plan.beds[bed.pk], plan.beds[bare.pk]

    assert (first.earned, first.per_m2, first.bare_bp, first.laid_out) == (-4400, -440, 5000, True)
    assert (second.earned, second.per_m2, second.bare_bp, second.laid_out) == (None, None, 10_000, False)
    assert (plan.earned, plan.first, plan.last, len(plan.months)) == (-4400, date(2024, 1, 1), ASKED, 12)


def test_a_bed_without_a_planting_is_not_among_those_told(owner, client_as):
    """The one told bed is best and worst; the bare one has a dash and no shade, and no colour stands for its nothing."""
    _thread, _bed, bare = laid_out(owner)
    page = client_as(owner).get(reverse("books:bed_plan"), {"season": 2024})
    (shade,) = [shade for bed, shade, _why, _months in page.context["beds"] if bed.bed == bare]

    assert (shade, page.context["plan"].amounts) == (None, [-440, -440])
    assert str(page.context["whole"].describes).endswith("0 of the 1 that can be told earned more than they cost.")
    assert '<td class="number">100 %</td>\n        <td class="number">–</td><td class="number">–</td>' in page.content.decode()


def test_a_planting_stands_from_its_first_day_up_to_the_day_it_was_cleared(owner):
    """In the bed on 1 April and on 30 September, not on the day before nor on 1 October."""
    thread, bed, _bare = laid_out(owner)
    there = bed_plan(2024, ASKED).beds[bed.pk]
    (stood,) = there.stood

    assert (stood.planting, stood.area, stood.per_m2) == (thread.planting, Decimal(10), -440)
    days = (date(2024, 3, 31), date(2024, 4, 1), date(2024, 9, 30), date(2024, 10, 1))
    assert [len(there.on(day)) for day in days] == [0, 1, 1, 0]


def test_a_bed_is_divided_by_its_own_m2_and_a_planting_by_those_it_stood_on(owner, client_as):
    """-44.00 on 10 m2 of a bed that is measured again at 20 m2: -2.20 by bed, -4.40 by planting; the page says which."""
    _thread, bed, _bare = laid_out(owner)
    Bed.objects.filter(pk=bed.pk).update(area_m2=Decimal(20))
    there = bed_plan(2024, ASKED).beds[bed.pk]
    page = client_as(owner).get(reverse("books:bed_plan"), {"season": 2024}).content.decode()

    assert (there.per_m2, there.stood[0].per_m2) == (-220, -440)
    assert "By bed: for each m2 of the bed; by planting: for each m2 it stood on." in page


def test_a_part_given_up_leaves_the_bed_from_that_day(owner):
    """Four of twenty m2 from June on: 16 stand, then 12."""
    thread, _bed, bare = laid_out(owner)
    planting = growing.plant(
        by=owner, on=date(2024, 5, 1), variety=thread.planting.variety, bed=bare, area_m2=Decimal(16), season=2024,
    )
    growing.clear_part(by=owner, planting=planting, on=date(2024, 6, 1), bed=bare, area_m2=Decimal(4))
    stood = bed_plan(2024, ASKED).beds[bare.pk].stood

    assert [(one.area, one.first, one.end) for one in stood] == [
        (Decimal(16), date(2024, 5, 1), date(2024, 6, 1)), (Decimal(12), date(2024, 6, 1), date(2025, 1, 1)),
    ]


def test_what_cannot_be_said_yet_is_no_figure_of_its_bed(owner):
    """A planting that nobody worked on an hour: its bed is not told, and not in the total."""
    thread, _bed, bare = laid_out(owner)
    planting = growing.plant(
        by=owner, on=date(2024, 5, 1), variety=thread.planting.variety, bed=bare, area_m2=Decimal(20), season=2024,
    )
    spend(owner, planting, date(2024, 5, 1), 5000)
    plan = bed_plan(2024, ASKED)

    assert (plan.beds[bare.pk].earned, plan.beds[bare.pk].missing, plan.earned) == (None, "hours", -4400)


def test_an_annual_of_another_season_is_drawn_and_has_no_figure(owner):
    """Sown in November for 2025: in its bed in 2024's picture, which begins earlier in 2025's."""
    thread, _bed, bare = laid_out(owner)
    growing.plant(
        by=owner, on=date(2024, 11, 1), variety=thread.planting.variety, bed=bare, area_m2=Decimal(20), season=2025,
        expected_stems=100,
    )
    (stood,) = bed_plan(2024, ASKED).beds[bare.pk].stood

    assert (stood.of_season, stood.per_m2) == (False, None)
    assert bed_plan(2025, date(2025, 3, 1)).first == date(2024, 11, 1)


def test_the_page_draws_the_plan_the_day_the_months_and_the_season(owner, client_as):
    """With its figures in words and as tables; the same on paper."""
    _thread, bed, _bare = laid_out(owner)
    client, asked = client_as(owner), {"season": 2024, "on": "2024-07-01"}
    page = client.get(reverse("books:bed_plan"), asked)
    whole, that_day = page.context["whole"], page.context["that_day"]

    assert "1: -4.40 −" in [word.text for word in whole.words]
    assert (page.context["day"], len(page.context["strip"])) == (date(2024, 7, 1), 12)
    assert "1 planting stood on 10.00 m2" in str(that_day.describes)
    assert client.get(reverse("books:bed_plan_paper"), asked).status_code == 200
    assert Bed.objects.get(pk=bed.pk).left_m == 0


def test_a_holding_without_beds_or_seasons_has_an_empty_plan(owner, client_as):
    """Nothing to be drawn is said."""
    assert "No bed yet." in client_as(owner).get(reverse("books:bed_plan")).content.decode()
