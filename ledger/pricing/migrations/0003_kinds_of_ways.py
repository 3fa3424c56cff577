"""Say of each way already there which kind it is, as far as its records tell."""

from django.db import migrations


def tell_kinds(apps, schema_editor):
    Way = apps.get_model("pricing", "Way")
    Way.objects.filter(trade=True).update(kind="trade")
    Way.objects.filter(trade=False, terms__fixed_day__gt=0).update(kind="stall")


class Migration(migrations.Migration):
    dependencies = [("pricing", "0002_costs_of_ways_and_offers")]

    operations = [migrations.RunPython(tell_kinds, migrations.RunPython.noop)]
