import django.db.models.deletion
import secrets
import uuid
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0002_catalogue'),
    ]

    operations = [
        migrations.CreateModel(
            name='YearCounter',
            fields=[
                ('year', models.PositiveSmallIntegerField(primary_key=True, serialize=False)),
                ('last_number', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='Customer',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('name', models.CharField(max_length=120)),
                ('email', models.EmailField(max_length=254)),
                ('telephone', models.CharField(blank=True, max_length=20)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_customer_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='customer_has_a_name')],
            },
        ),
        migrations.CreateModel(
            name='Job',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('reference', models.CharField(editable=False, max_length=12, unique=True)),
                ('title', models.CharField(max_length=120)),
                ('customer', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='jobs.customer')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Opening',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('number', models.PositiveSmallIntegerField()),
                ('name', models.CharField(max_length=80)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='openings', to='jobs.job')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='job',
            name='rule_set',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='jobs.ruleset'),
        ),
        migrations.CreateModel(
            name='Site',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('address_line_1', models.CharField(max_length=120)),
                ('address_line_2', models.CharField(blank=True, max_length=120)),
                ('town', models.CharField(max_length=80)),
                ('postcode', models.CharField(max_length=12)),
                ('access_notes', models.CharField(blank=True, max_length=500)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_site_made')],
            },
        ),
        migrations.AddField(
            model_name='job',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='jobs.site'),
        ),
        migrations.AddIndex(
            model_name='opening',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_opening_made'),
        ),
        migrations.AddConstraint(
            model_name='opening',
            constraint=models.UniqueConstraint(fields=('job', 'number'), name='opening_number_once_per_job'),
        ),
        migrations.AddConstraint(
            model_name='opening',
            constraint=models.CheckConstraint(condition=models.Q(('number__gte', 1)), name='opening_numbers_start_at_1'),
        ),
        migrations.AddIndex(
            model_name='job',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_job_made'),
        ),
    ]
