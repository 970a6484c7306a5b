import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0004_doorsets'),
    ]

    operations = [
        migrations.CreateModel(
            name='Crew',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=80, unique=True)),
                ('members', models.ManyToManyField(related_name='crews', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Visit',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('kind', models.CharField(choices=[('survey', 'Survey'), ('fitting', 'Fitting'), ('return', 'Return')], max_length=7)),
                ('start', models.DateTimeField()),
                ('end', models.DateTimeField()),
                ('cancelled_at', models.DateTimeField(editable=False, null=True)),
                ('crew', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='jobs.crew')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='jobs.job')),
                ('people', models.ManyToManyField(related_name='visits', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='crew',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_crew_made'),
        ),
        migrations.AddIndex(
            model_name='visit',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_visit_made'),
        ),
        migrations.AddConstraint(
            model_name='visit',
            constraint=models.CheckConstraint(condition=models.Q(('end__gt', models.F('start'))), name='visit_ends_after_start'),
        ),
        migrations.AddConstraint(
            model_name='visit',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ('survey', 'fitting', 'return'))), name='visit_kind_is_known'),
        ),
    ]
