"""ISO 8601 weeks against published ones; sources in examples.json."""

from datetime import date

from ledger.reckoning.years import iso_week


def test_dt_01_weeks_at_the_turn_of_the_year(published):
    """Twelve days around New Year fall in the weeks listed."""
    days, weeks = published["DT-01"]["inputs"], published["DT-01"]["expected"]
    assert [iso_week(date.fromisoformat(day)) for day in days] == [week[:8] for week in weeks]
