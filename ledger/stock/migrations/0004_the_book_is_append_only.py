"""Let the database itself refuse to remove or change a row of the stock book."""

from django.db import migrations

from ledger.facts.append_only import guard, unguard


def set_guards(apps, schema_editor):
    guard(schema_editor, apps.get_model("stock", "Movement"))


def take_guards_off(apps, schema_editor):
    unguard(schema_editor, apps.get_model("stock", "Movement"))


class Migration(migrations.Migration):
    dependencies = [("stock", "0003_made_up_and_held_back")]

    operations = [migrations.RunPython(set_guards, take_guards_off, elidable=False)]
