"""Kinds of cost for made-up goods and for bunches bought in."""

from django.db import migrations

KINDS = [
    # code, name: in stock cost, in the cost to the shelf, money paid
    ("craft", "Craft materials, dye, preservative"),
    ("bought", "Bunches and stems bought in"),
]


def more_kinds(apps, schema_editor):
    kind = apps.get_model("facts", "CostKind")
    for code, name in KINDS:
        kind.objects.get_or_create(code=code, defaults={"name": name, "in_stock": True, "in_shelf": True, "paid": True})


class Migration(migrations.Migration):
    dependencies = [("facts", "0003_materials_are_spent_on")]
    operations = [migrations.RunPython(more_kinds, migrations.RunPython.noop)]
