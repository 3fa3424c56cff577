"""Readings of a drying place, and when it is damp again."""

from datetime import date, time
from decimal import Decimal

import pytest
from django.urls import reverse

from ledger.books.bringing.acting import bring_in
from ledger.drying.actions import note_reading, set_damp_limit, undo_damp_limit, undo_reading
from ledger.drying.models import DampLimit, Reading
from ledger.drying.today import notes
from tests.factories.drying import HangingFactory, PlaceFactory
from tests.filling import fill, read
from tests.refusals import refused

JULY_1, JULY_2, JULY_3 = date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 3)


def test_a_reading_says_temperature_humidity_or_both(hand):
    """21.5 degrees at half past two, or 64 per cent alone; nothing at all is no reading."""
    place = PlaceFactory()
    warm = note_reading(by=hand, place=place, on=JULY_1, at=time(14, 30), temperature_tenths_c=215)
    note_reading(by=hand, place=place, on=JULY_1, humidity_percent=64)

    assert warm.temperature_c == Decimal("21.5")
    assert Reading.objects.latest_first().first() == warm
    with refused("says_nothing"):
        note_reading(by=hand, place=place, on=JULY_1)


@pytest.mark.parametrize(("given", "code"), [
    ({"temperature_tenths_c": -401}, "min_value"), ({"temperature_tenths_c": 701}, "max_value"),
    ({"humidity_percent": 101}, "max_value"), ({"humidity_percent": -1}, "min_value"),
])
def test_an_implausible_reading_is_refused(hand, given, code):
    """Below -40 or above 70 degrees, beyond nil to a hundred per cent."""
    with refused(code):
        note_reading(by=hand, place=PlaceFactory(), on=JULY_1, **given)


def test_without_a_limit_nothing_is_damp(hand):
    """Ninety per cent, and nobody set a limit."""
    note_reading(by=hand, place=PlaceFactory(), on=JULY_1, humidity_percent=90)

    assert not Reading.objects.damp_again(JULY_1).exists()


def test_a_place_is_damp_again_above_the_limit_of_that_day(hand):
    """Limit 60 from 2 July: 61 on the 1st is not damp, 60 on the 2nd neither, 61 on the 3rd is; undone it is not."""
    place, limit = PlaceFactory(), set_damp_limit(by=hand, on=JULY_2, humidity_percent=60)
    for on, humidity in ((JULY_1, 61), (JULY_2, 60), (JULY_3, 61)):
        note_reading(by=hand, place=place, on=on, humidity_percent=humidity)

    assert [bool(Reading.objects.damp_again(on)) for on in (JULY_1, JULY_2, JULY_3)] == [False, False, True]
    undo_damp_limit(by=hand, limit=limit)
    assert not Reading.objects.damp_again(JULY_3).exists()


def test_the_last_humidity_counts(hand):
    """Damp at six, dry again at noon; a thermometer alone changes nothing; the noon reading undone it is damp."""
    place = PlaceFactory()
    set_damp_limit(by=hand, on=JULY_1, humidity_percent=60)
    note_reading(by=hand, place=place, on=JULY_2, at=time(6, 0), humidity_percent=75)
    noon = note_reading(by=hand, place=place, on=JULY_2, at=time(12, 0), humidity_percent=50)
    note_reading(by=hand, place=place, on=JULY_3, temperature_tenths_c=200)
    assert not Reading.objects.damp_again(JULY_3).exists()

    undo_reading(by=hand, reading=noon)
    assert Reading.objects.damp_again(JULY_3).get().humidity_percent == 75


def test_today_names_a_damp_place_where_something_hangs(hand, seller, owner):
    """An empty loft may be damp; a full one is named, to those of the loft."""
    hanging = HangingFactory()
    set_damp_limit(by=owner, on=JULY_1, humidity_percent=60)
    for place in (hanging.place, PlaceFactory()):
        note_reading(by=owner, place=place, on=JULY_3, humidity_percent=75)

    assert list(notes(hand, JULY_3)) == [
        (f"{hanging.place} is damp again: 75 % on 3\xa0Jul\xa02024", hanging.place.get_absolute_url())
    ]
    assert list(notes(seller, JULY_3)) == []


def test_a_reading_is_noted_and_undone_on_its_pages(hand, client_as):
    """From the place, where it stands with its warning; the list undoes it."""
    place, client = PlaceFactory(), client_as(hand)
    fill(client, reverse("drying:set_damp_limit"), humidity_percent=60, on="2024-07-01")
    url = reverse("drying:note_reading", args=[place.pk])
    answer = fill(client, url, humidity_percent=75, temperature_tenths_c="-2.5", at="06:10", on="2024-07-02")

    assert answer.url == place.get_absolute_url()
    for told in ("Damp again: 75 % on 2\xa0Jul\xa02024", "-2.5 °C", "06:10"):
        assert told in read(client, place.get_absolute_url())
    assert "damp again" in read(client, f"{reverse('drying:readings')}?place={place.pk}&since=2024-07-01")
    fill(client, reverse("drying:undo_reading", args=[Reading.objects.get().pk]))
    assert "Damp again" not in read(client, place.get_absolute_url())


def test_a_limit_is_listed_and_undone(hand, client_as):
    """Its list shows it until it is taken back."""
    client = client_as(hand)
    fill(client, reverse("drying:set_damp_limit"), humidity_percent=58, on="2024-07-01")
    assert "58 %" in read(client, reverse("drying:damp_limits"))
    fill(client, reverse("drying:undo_damp_limit", args=[DampLimit.objects.get().pk]))

    assert "58 %" not in read(client, reverse("drying:damp_limits"))


def test_an_empty_reading_is_refused_with_a_sentence(hand, client_as):
    """Neither temperature nor humidity: said on the form."""
    answer = fill(client_as(hand), reverse("drying:note_reading", args=[PlaceFactory().pk]), on="2024-07-02")

    assert answer.status_code == 422
    assert "Enter the temperature, the humidity or both." in answer.content.decode()


def test_readings_are_brought_in(owner):
    """With a time or without, below zero too, beside the limit."""
    files = {
        "places.csv": b"key,name,unit,room\nloft,Loft,hooks,9\n",
        "readings.csv": b"place,on,at,temperature_c,humidity_percent\nloft,2024-01-05,07:15,-2.5,70\nloft,2024-01-06,,,66\n",
        "damp_limits.csv": b"on,humidity_percent\n2024-01-01,65\n",
    }
    bring_in(by=owner, files=files)

    assert list(Reading.objects.order_by("on").values_list("at", "temperature_tenths_c", "humidity_percent")) == [
        (time(7, 15), -25, 70), (None, None, 66),
    ]
    assert DampLimit.objects.get().humidity_percent == 65
