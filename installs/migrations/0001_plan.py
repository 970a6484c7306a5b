import django.db.models.deletion
import uuid
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('jobs', '0006_journal'),
        ('jobs', '__first__'),
        ('surveys', '0001_first_records'),
    ]

    operations = [
        migrations.CreateModel(
            name='Installation',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('plan', models.JSONField(editable=False)),
                ('doorset', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='installation', to='jobs.doorset')),
                ('rule_set', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to='jobs.ruleset')),
                ('visit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='installations', to='jobs.visit')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='PlanStep',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('number', models.PositiveSmallIntegerField()),
                ('code', models.CharField(max_length=40)),
                ('title', models.CharField(max_length=160)),
                ('phase', models.CharField(choices=[('prepare', 'Prepare'), ('removal', 'Removal'), ('setting', 'Setting'), ('fixing', 'Fixing'), ('glazing', 'Glazing'), ('finishing', 'Finishing'), ('handover', 'Handover')], max_length=9)),
                ('hold_point', models.BooleanField()),
                ('evidence', models.JSONField(help_text='Any of reading, count, acknowledgement.')),
                ('criteria', models.JSONField(default=dict)),
                ('caution', models.CharField(blank=True, max_length=400)),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='steps', to='installs.installation')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='installation',
            index=models.Index(fields=['-created_at', '-id'], name='installs_installation_made'),
        ),
        migrations.AddIndex(
            model_name='planstep',
            index=models.Index(fields=['-created_at', '-id'], name='installs_planstep_made'),
        ),
        migrations.AddConstraint(
            model_name='planstep',
            constraint=models.UniqueConstraint(fields=('installation', 'number'), name='step_number_once'),
        ),
        migrations.AddConstraint(
            model_name='planstep',
            constraint=models.UniqueConstraint(fields=('installation', 'code'), name='step_code_once'),
        ),
        migrations.AddConstraint(
            model_name='planstep',
            constraint=models.CheckConstraint(condition=models.Q(('phase__in', ('prepare', 'removal', 'setting', 'fixing', 'glazing', 'finishing', 'handover'))), name='step_phase_is_known'),
        ),
    ]
