from django.db import migrations, models


def print_deposits(apps, schema_editor):
    """What was paid ahead and used on an invoice as it was issued: its first such payment, of its own day."""
    used = apps.get_model("sales", "Payment").objects.filter(deposit_of__isnull=False, on=models.F("invoice__on")).order_by("pk")
    first = {}
    for invoice, amount in used.values_list("invoice", "amount"):
        first.setdefault(invoice, amount)
    for invoice, amount in first.items():
        apps.get_model("sales", "Invoice").objects.filter(pk=invoice).update(deposit=amount)


class Migration(migrations.Migration):

    dependencies = [
        ('sales', '0009_money_given_back'),
    ]

    operations = [
        migrations.RunPython(print_deposits, migrations.RunPython.noop, elidable=True),
    ]
