"""The one row of the ledger's state, and the kinds of cost to begin with."""

import secrets

from django.db import migrations

KINDS = [
    # code, name, in stock cost, in cost to the shelf, money paid
    ("labour", "Paid work", True, True, True),
    ("unpaid", "Unpaid work", False, True, False),
    ("plants", "Seed and young plants", True, True, True),
    ("inputs", "Growing inputs", True, True, True),
    ("packing", "Bands, boxes, packing", True, True, True),
    ("space", "Rent, rates and upkeep of space", True, True, True),
    ("power", "Heat, light and power", True, True, True),
    ("fees", "Fees, pitches and commissions", False, True, True),
    ("carriage", "Carriage", False, True, True),
    ("other", "Other", True, True, True),
]


def first_rows(apps, schema_editor):
    apps.get_model("facts", "LedgerState").objects.get_or_create(pk=1, defaults={"token": secrets.token_hex(16)})
    kind = apps.get_model("facts", "CostKind")
    for code, name, in_stock, in_shelf, paid in KINDS:
        kind.objects.get_or_create(
            code=code, defaults={"name": name, "in_stock": in_stock, "in_shelf": in_shelf, "paid": paid}
        )


class Migration(migrations.Migration):
    dependencies = [("facts", "0001_initial")]
    operations = [migrations.RunPython(first_rows, migrations.RunPython.noop)]
