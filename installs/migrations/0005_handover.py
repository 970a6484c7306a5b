import django.db.models.deletion
import secrets
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0004_defects'),
    ]

    operations = [
        migrations.CreateModel(
            name='Handover',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('customer_name', models.CharField(max_length=120)),
                ('signature', models.JSONField(default=list)),
                ('keys', models.JSONField()),
                ('demonstrated', models.BooleanField()),
                ('care_given', models.BooleanField()),
                ('fitter', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('job', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='handover', to='jobs.job')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='installs_handover_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('care_given', True), ('demonstrated', True)), name='handover_is_complete')],
            },
        ),
    ]
