import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0002_inspections'),
    ]

    operations = [
        migrations.CreateModel(
            name='Fixing',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('member', models.CharField(choices=[('left', 'Left'), ('right', 'Right'), ('head', 'Head'), ('sill', 'Sill')], max_length=5)),
                ('position', models.FloatField(help_text='mm')),
                ('kind', models.CharField(choices=[('frame_screw', 'frame screw'), ('strap', 'Strap'), ('bracket', 'Bracket'), ('foam_only', 'foam only')], max_length=11)),
                ('packers', models.JSONField(help_text='mm of each packer beside it')),
                ('fitter', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fixings', to='installs.installation')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='JunctionGap',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('junction', models.PositiveSmallIntegerField()),
                ('head_gap', models.FloatField(help_text='mm')),
                ('sill_gap', models.FloatField(help_text='mm')),
                ('measured_with', models.JSONField(editable=False, help_text='The instrument as it was when it was read.', null=True)),
                ('standard_uncertainty', models.FloatField(help_text='mm, of the difference of the two gaps')),
                ('limit', models.FloatField(help_text='mm, greatest difference of the two gaps')),
                ('probability_conforms', models.FloatField()),
                ('decision', models.CharField(max_length=12)),
                ('fitter', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='gaps', to='installs.installation')),
                ('instrument', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to='surveys.instrument')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='SashRecord',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('leaf', models.PositiveSmallIntegerField()),
                ('beads_numbered', models.BooleanField()),
                ('beads_back', models.BooleanField()),
                ('blocks_set', models.BooleanField()),
                ('brace_set', models.BooleanField()),
                ('glass_marking', models.CharField(max_length=80)),
                ('fitter', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('installation', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='sashes', to='installs.installation')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='fixing',
            index=models.Index(fields=['-created_at', '-id'], name='installs_fixing_made'),
        ),
        migrations.AddConstraint(
            model_name='fixing',
            constraint=models.UniqueConstraint(fields=('installation', 'member', 'position', 'kind'), name='fixing_once_per_position'),
        ),
        migrations.AddConstraint(
            model_name='fixing',
            constraint=models.CheckConstraint(condition=models.Q(('position__gte', 0), ('member__in', ('left', 'right', 'head', 'sill')), ('kind__in', ('frame_screw', 'strap', 'bracket', 'foam_only'))), name='fixing_is_known'),
        ),
        migrations.AddIndex(
            model_name='junctiongap',
            index=models.Index(fields=['-created_at', '-id'], name='installs_junctiongap_made'),
        ),
        migrations.AddConstraint(
            model_name='junctiongap',
            constraint=models.CheckConstraint(condition=models.Q(('head_gap__gte', 0), ('sill_gap__gte', 0), ('decision__in', ('pass', 'fail', 'inconclusive'))), name='gap_is_judged'),
        ),
        migrations.AddIndex(
            model_name='sashrecord',
            index=models.Index(fields=['-created_at', '-id'], name='installs_sashrecord_made'),
        ),
        migrations.AddConstraint(
            model_name='sashrecord',
            constraint=models.UniqueConstraint(fields=('installation', 'leaf'), name='sash_record_once'),
        ),
        migrations.AddConstraint(
            model_name='sashrecord',
            constraint=models.CheckConstraint(condition=models.Q(('leaf__gte', 1)), name='sashes_start_at_1'),
        ),
    ]
