import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from ledger.facts.migrating import together


class Migration(migrations.Migration):

    dependencies = [
        ('sales', '0005_standing_left_out'),
        ('stock', '0006_takes_and_repacking'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.CreateModel(
            name='AskedChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('on', models.DateField(db_index=True, verbose_name='day')),
                ('recorded_at', models.DateTimeField(editable=False, verbose_name='recorded at')),
                ('undone_at', models.DateTimeField(blank=True, editable=False, null=True, verbose_name='undone at')),
                ('more', models.IntegerField(verbose_name='more')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='OrderChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('on', models.DateField(db_index=True, verbose_name='day')),
                ('recorded_at', models.DateTimeField(editable=False, verbose_name='recorded at')),
                ('undone_at', models.DateTimeField(blank=True, editable=False, null=True, verbose_name='undone at')),
                ('wanted_on', models.DateField(blank=True, null=True, verbose_name='wanted for')),
                ('reference', models.CharField(blank=True, max_length=60, verbose_name="customer's reference")),
                ('carriage', models.PositiveBigIntegerField(default=0, verbose_name='carriage, net')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.RemoveConstraint(
            model_name='orderline',
            name='order_line_once',
        ),
        migrations.AddField(
            model_name='invoiceline',
            name='carriage_of',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='carriage_lines', to='sales.dispatch'),
        ),
        migrations.AddConstraint(
            model_name='invoiceline',
            constraint=models.UniqueConstraint(condition=models.Q(('carriage_of__isnull', False), ('credits_line__isnull', True)), fields=('carriage_of',), name='dispatch_carriage_invoiced_once'),
        ),
        migrations.AddConstraint(
            model_name='invoiceline',
            constraint=models.CheckConstraint(condition=models.Q(('dispatch_line__isnull', True), ('carriage_of__isnull', True), _connector='OR'), name='invoice_line_goods_or_carriage'),
        ),
        migrations.AddConstraint(
            model_name='orderline',
            constraint=models.UniqueConstraint(condition=models.Q(('instead_of__isnull', True)), fields=('order', 'line'), name='order_line_once'),
        ),
        migrations.AddField(
            model_name='askedchange',
            name='order_line',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='asked_changes', to='sales.orderline'),
        ),
        migrations.AddField(
            model_name='askedchange',
            name='recorded_by',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='askedchange',
            name='released',
            field=models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='asked_change', to='stock.holdchange'),
        ),
        migrations.AddField(
            model_name='askedchange',
            name='replaces',
            field=models.OneToOneField(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='sales.askedchange'),
        ),
        migrations.AddField(
            model_name='askedchange',
            name='undone_by',
            field=models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='orderchange',
            name='order',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='said_anew', to='sales.order'),
        ),
        migrations.AddField(
            model_name='orderchange',
            name='recorded_by',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='orderchange',
            name='replaces',
            field=models.OneToOneField(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='sales.orderchange'),
        ),
        migrations.AddField(
            model_name='orderchange',
            name='undone_by',
            field=models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddConstraint(
            model_name='askedchange',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('undone_at__isnull', True), ('undone_by__isnull', True)), models.Q(('undone_at__isnull', False), ('undone_by__isnull', False)), _connector='OR'), name='sales_askedchange_undone_whole'),
        ),
        migrations.AddConstraint(
            model_name='askedchange',
            constraint=models.CheckConstraint(condition=models.Q(('more', 0), _negated=True), name='asked_change_some'),
        ),
        migrations.AddConstraint(
            model_name='orderchange',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('undone_at__isnull', True), ('undone_by__isnull', True)), models.Q(('undone_at__isnull', False), ('undone_by__isnull', False)), _connector='OR'), name='sales_orderchange_undone_whole'),
        ),
    ])
