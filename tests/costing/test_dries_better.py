"""Where and when the same stem dries better, and how sure that is."""

from datetime import date, timedelta

from django.urls import reverse

from ledger.costing.queries.better import every_variety, how_dried
from ledger.drying import actions as drying
from tests.factories.drying import LotFactory, PlaceFactory, PlantingFactory

END = date(2024, 12, 31)
LOFT, SHED = (2, 4, 3, 5, 1), (12, 14, 13, 15, 11)


def hang_out(owner, planting, place, lost, *, first=date(2024, 7, 2), days=18, stage="full", **given):
    """Hangings of a hundred stems, a day apart, each losing so many; all down after so many days."""
    found = []
    for number, gone in enumerate(lost):
        on = first + timedelta(days=number)
        lot = LotFactory(planting=planting, on=on, stems=100, stage=stage)
        hanging = drying.hang(by=owner, lot=lot, on=on, place=place, stems=100, **given)
        drying.take_down(
            by=owner, hanging=hanging, on=on + timedelta(days=days), stems=100, losses={"mould": gone} if gone else {}
        )
        found.append(hanging)
    return found


def loft_and_shed(owner, loft=LOFT, shed=SHED, **given):
    """One variety hung in a loft and a shed."""
    planting = PlantingFactory(perennial=True, productive_seasons=3)
    hang_out(owner, planting, PlaceFactory(name="Loft"), loft)
    hang_out(owner, planting, PlaceFactory(name="Shed"), shed, **given)
    return planting.variety


def by_place(variety, on=END):
    """What was judged by place."""
    return how_dried(variety, on).judged[0]


def test_loft_is_surely_better_on_five_and_five(owner):
    """Every hanging in the loft lost less: 3 % beside 13 %, surely by 7 to 13 in a hundred."""
    told = by_place(loft_and_shed(owner)).by_loss

    assert [(one.better.label, one.worse.label) for one in told] == [("Loft", "Shed")]
    assert (told[0].better.hangings, told[0].worse.hangings) == (5, 5)
    assert (told[0].better.lost.middle, told[0].worse.lost.middle) == (300, 1300)
    assert (told[0].by.least, told[0].by.likely, told[0].by.most) == (700, 1000, 1300)


def test_few_hangings_are_too_few_to_tell(owner):
    """Three and five compare nothing; five have a middle and no range."""
    judged = by_place(loft_and_shed(owner, loft=LOFT[:3]))

    assert not judged.enough
    assert [kind.hangings for kind in judged.kinds] == [3, 5]
    assert judged.kinds[1].lost.between is None


def test_six_hangings_have_a_range(owner):
    """Of six the middle surely lies between the least and the most."""
    kind = by_place(loft_and_shed(owner, loft=(*LOFT, 6))).kinds[0]

    assert (kind.lost.middle, kind.lost.between, kind.days.middle) == (350, (100, 600), 18)


def test_days_are_judged_as_loss_is(owner):
    """The shed took six days longer, and surely so."""
    told = by_place(loft_and_shed(owner, days=24)).by_days

    assert (told[0].better.label, told[0].by.least, told[0].by.most) == ("Loft", 6, 6)


def test_early_and_late_weeks_stand_against_each_other(owner):
    """Hung in weeks 27 and 35: the halves are compared, each week has its row."""
    judged = how_dried(loft_and_shed(owner, first=date(2024, 8, 26)), END).judged[1]

    assert [str(kind.label) for kind in judged.kinds] == ["week 27", "week 35"]
    assert [str(kind.label) for kind in judged.compared] == ["weeks up to 27", "weeks after 27"]
    assert judged.by_loss[0].by.told_apart


def test_stems_moved_and_hung_together_count_once(owner):
    """A hanging in three parts, one place: one hanging, not three."""
    loft, planting = PlaceFactory(name="Loft"), PlantingFactory()
    lot = LotFactory(planting=planting, on=date(2024, 7, 2), stems=90)
    first = drying.hang(by=owner, lot=lot, on=date(2024, 7, 2), place=PlaceFactory(name="Shed"), stems=90)
    for stems in (40, 50):
        part = drying.move_hanging(by=owner, hanging=first, on=date(2024, 7, 5), place=loft, stems=stems)
        drying.take_down(by=owner, hanging=part, on=date(2024, 7, 20), stems=stems, losses={"mould": 9})
    (kind,) = by_place(planting.variety).kinds

    assert (kind.label, kind.hangings, kind.stems, kind.lost.middle, kind.days.middle) == ("Loft", 1, 90, 2000, 18)


def test_trials_and_disasters_are_left_out(owner):
    """A trial is judged apart, a disaster not at all; what is still up waits."""
    planting = PlantingFactory()
    place = PlaceFactory(name="Loft")
    hang_out(owner, planting, place, (5,), trial=True)
    marked = hang_out(owner, planting, place, (90,), first=date(2024, 7, 9))[0]
    drying.mark_disaster(by=owner, hanging=marked, on=date(2024, 8, 1), why="rain", norm_bp=500)
    found = how_dried(planting.variety, END)

    assert (found.whole, found.judged, found.disasters) == (None, [], 1)
    assert [(kind.label, kind.hangings, kind.lost.middle) for kind in found.trials] == [("Loft", 1, 500)]


def test_what_is_still_up_is_not_judged(owner):
    """The day before the last of ten came down nine are judged."""
    variety = loft_and_shed(owner)
    found = how_dried(variety, date(2024, 7, 23))

    assert (found.whole.hangings, found.still_up) == (8, 2)
    assert [one.whole.hangings for one in every_variety(END)] == [10]


def test_page_says_it_plainly(owner, client_as):
    """The sentence names both places, the difference and the hangings."""
    variety = loft_and_shed(owner)
    page = client_as(owner).get(reverse("costing:dries_better"), {"variety": variety.pk, "on": "2024-12-31"}).content.decode()

    assert "Loss, Loft beside Shed: surely less, by 7 to 13 in a hundred stems (5 and 5 hangings)." in page
    assert "Days to dry, Loft beside Shed: not sure, from 0 days fewer to 0 more (5 and 5 hangings)." in page
    assert "Too few to tell" in page


def test_every_role_may_read_it_and_print_it(hand, owner, client_as):
    """It holds no money; without a variety each has one line, with one it prints too."""
    variety = loft_and_shed(owner)
    client = client_as(hand)

    assert str(variety) in client.get(reverse("costing:dries_better")).content.decode()
    for asked in ({}, {"variety": variety.pk}):
        paper = client.get(reverse("costing:dries_better_paper"), asked)
        assert paper.headers["Content-Type"] == "application/pdf"
