import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0005_diary'),
    ]

    operations = [
        migrations.CreateModel(
            name='JournalStream',
            fields=[
                ('name', models.CharField(max_length=60, primary_key=True, serialize=False)),
                ('length', models.PositiveIntegerField(default=0)),
                ('head', models.CharField(blank=True, default='', max_length=64)),
                ('sealed_length', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='JournalEntry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveIntegerField()),
                ('made_at', models.DateTimeField()),
                ('verb', models.CharField(max_length=60)),
                ('record_kind', models.CharField(max_length=60)),
                ('record_id', models.CharField(db_index=True, max_length=64)),
                ('text', models.TextField()),
                ('digest', models.CharField(max_length=64)),
                ('actor', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                ('stream', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='jobs.journalstream')),
            ],
            options={
                'verbose_name_plural': 'journal entries',
                'ordering': ('stream', 'number'),
            },
        ),
        migrations.AddConstraint(
            model_name='journalentry',
            constraint=models.UniqueConstraint(fields=('stream', 'number'), name='journal_number_once'),
        ),
        migrations.AddConstraint(
            model_name='journalentry',
            constraint=models.CheckConstraint(condition=models.Q(('number__gte', 1)), name='journal_starts_at_1'),
        ),
    ]
