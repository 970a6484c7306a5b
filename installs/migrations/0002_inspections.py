import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0001_plan'),
    ]

    operations = [
        migrations.CreateModel(
            name='Inspection',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('measured_with', models.JSONField(editable=False, help_text='The instrument as it was when it was read.', null=True)),
                ('outcome', models.CharField(choices=[('pass', 'Pass'), ('fail', 'Fail'), ('inconclusive', 'Inconclusive')], max_length=12)),
                ('acknowledged', models.BooleanField(default=False)),
                ('count', models.PositiveSmallIntegerField(null=True)),
                ('note', models.CharField(blank=True, max_length=500)),
                ('inspector', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to=settings.AUTH_USER_MODEL)),
                ('instrument', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to='surveys.instrument')),
                ('step', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to='installs.planstep')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Reading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('place', models.CharField(max_length=60)),
                ('value', models.FloatField()),
                ('measured', models.JSONField(default=dict)),
                ('unit', models.CharField(max_length=12)),
                ('lower', models.FloatField(null=True)),
                ('upper', models.FloatField(null=True)),
                ('standard_uncertainty', models.FloatField()),
                ('probability_conforms', models.FloatField()),
                ('decision', models.CharField(choices=[('pass', 'Pass'), ('fail', 'Fail'), ('inconclusive', 'Inconclusive')], max_length=12)),
                ('inspection', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='readings', to='installs.inspection')),
            ],
            options={
                'ordering': ('inspection', 'id'),
            },
        ),
        migrations.AddIndex(
            model_name='inspection',
            index=models.Index(fields=['-created_at', '-id'], name='installs_inspection_made'),
        ),
        migrations.AddConstraint(
            model_name='inspection',
            constraint=models.CheckConstraint(condition=models.Q(('outcome__in', ('pass', 'fail', 'inconclusive'))), name='inspection_outcome_is_known'),
        ),
        migrations.AddConstraint(
            model_name='reading',
            constraint=models.UniqueConstraint(fields=('inspection', 'place'), name='reading_once_per_place'),
        ),
        migrations.AddConstraint(
            model_name='reading',
            constraint=models.CheckConstraint(condition=models.Q(('standard_uncertainty__gte', 0), models.Q(('lower__isnull', False), ('upper__isnull', False), _connector='OR'), ('decision__in', ('pass', 'fail', 'inconclusive'))), name='reading_is_judged'),
        ),
    ]
