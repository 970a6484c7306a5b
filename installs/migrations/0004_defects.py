import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0003_fitted'),
    ]

    operations = [
        migrations.CreateModel(
            name='Defect',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('severity', models.CharField(choices=[('critical', 'Critical'), ('major', 'Major'), ('minor', 'Minor')], max_length=8)),
                ('description', models.CharField(max_length=500)),
                ('put_right_at', models.DateTimeField(null=True)),
                ('put_right_how', models.CharField(blank=True, max_length=500)),
                ('reinspected_at', models.DateTimeField(null=True)),
                ('reinspection_note', models.CharField(blank=True, max_length=500)),
                ('closed_at', models.DateTimeField(null=True)),
                ('found_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('put_right_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('reinspected_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='defects', to='installs.installation')),
                ('step', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='defects', to='installs.planstep')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Concession',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('code', models.CharField(help_text="Code of the gate's blocker.", max_length=40)),
                ('reason', models.CharField(max_length=500)),
                ('accepted_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('defect', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to='installs.defect')),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='concessions', to='installs.installation')),
                ('step', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to='installs.planstep')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='defect',
            index=models.Index(fields=['-created_at', '-id'], name='installs_defect_made'),
        ),
        migrations.AddConstraint(
            model_name='defect',
            constraint=models.CheckConstraint(condition=models.Q(('severity__in', ('critical', 'major', 'minor'))), name='defect_severity_is_known'),
        ),
        migrations.AddConstraint(
            model_name='defect',
            constraint=models.CheckConstraint(condition=models.Q(('closed_at', None), models.Q(('put_right_at__isnull', False), ('reinspected_at__isnull', False)), _connector='OR'), name='closed_defect_was_put_right'),
        ),
        migrations.AddConstraint(
            model_name='defect',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('severity', 'critical'), _negated=True), ('closed_at', None), models.Q(('reinspected_by', models.F('put_right_by')), _negated=True), _connector='OR'), name='critical_defect_needs_two_people'),
        ),
        migrations.AddIndex(
            model_name='concession',
            index=models.Index(fields=['-created_at', '-id'], name='installs_concession_made'),
        ),
        migrations.AddConstraint(
            model_name='concession',
            constraint=models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='concession_has_a_reason'),
        ),
    ]
