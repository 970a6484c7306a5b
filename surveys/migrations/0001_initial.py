
import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('jobs', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Instrument',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=80)),
                ('kind', models.CharField(choices=[('tape', 'Tape'), ('laser', 'Laser'), ('level', 'Level'), ('gauge', 'Gauge')], max_length=5)),
                ('serial', models.CharField(max_length=60, unique=True)),
                ('accuracy_class', models.CharField(blank=True, help_text='Of a tape: I, II, III.', max_length=3)),
                ('from_end_hook', models.BooleanField(default=False)),
                ('expanded_uncertainty', models.FloatField(help_text='mm', null=True)),
                ('coverage_factor', models.FloatField(null=True)),
                ('greatest_reading', models.FloatField(help_text='mm; of a gauge or a tape, where it ends.', null=True)),
                ('calibration_due', models.DateField()),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='surveys_instrument_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('accuracy_class__in', ('I', 'II', 'III')), ('kind', 'tape')), models.Q(('accuracy_class', ''), ('coverage_factor__gt', 0), ('coverage_factor__isnull', False), ('expanded_uncertainty__gt', 0), ('expanded_uncertainty__isnull', False), ('kind__in', ('laser', 'level', 'gauge'))), _connector='OR'), name='instrument_says_how_good_it_is')],
            },
        ),
        migrations.CreateModel(
            name='Survey',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('stage', models.CharField(choices=[('first', 'First'), ('before_removal', 'Before Removal'), ('after_removal', 'After Removal')], max_length=14)),
                ('taken_at', models.DateTimeField()),
                ('surfaces', models.JSONField(default=dict)),
                ('higher_end', models.JSONField(default=dict)),
                ('conditions', models.JSONField()),
                ('assessment', models.JSONField(editable=False)),
                ('accepted_at', models.DateTimeField(editable=False, null=True)),
                ('instrument', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='surveys.instrument')),
                ('level_instrument', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='surveys.instrument')),
                ('check_instrument', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='surveys.instrument')),
                ('gap_instrument', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='surveys.instrument')),
                ('opening', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='surveys', to='jobs.opening')),
                ('surveyor', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='surveys', to=settings.AUTH_USER_MODEL)),
                ('visit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='surveys', to='jobs.visit')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='surveys_survey_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('stage__in', ('first', 'before_removal', 'after_removal'))), name='survey_stage_is_known')],
            },
        ),
        migrations.CreateModel(
            name='Reading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.CharField(choices=[('width', 'Width'), ('height', 'Height'), ('diagonal_rising', 'Diagonal Rising'), ('diagonal_falling', 'Diagonal Falling'), ('sill_level', 'Sill Level'), ('head_level', 'Head Level'), ('plumb_left', 'Plumb Left'), ('plumb_right', 'Plumb Right'), ('straightedge_left', 'Straightedge Left'), ('straightedge_right', 'Straightedge Right'), ('straightedge_head', 'Straightedge Head'), ('straightedge_sill', 'Straightedge Sill'), ('splay_left', 'Splay Left'), ('splay_right', 'Splay Right'), ('splay_head', 'Splay Head'), ('splay_sill', 'Splay Sill'), ('check_width', 'Width, second instrument'), ('check_height', 'Height, second instrument'), ('known_length', 'Rule of known length')], max_length=18)),
                ('at', models.FloatField(null=True)),
                ('value', models.FloatField()),
                ('survey', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='readings', to='surveys.survey')),
            ],
            options={
                'ordering': ('id',),
                'constraints': [models.UniqueConstraint(fields=('survey', 'quantity', 'at'), name='survey_reading_once_per_place'), models.UniqueConstraint(condition=models.Q(('at', None), ('quantity__in', ('diagonal_rising', 'diagonal_falling'))), fields=('survey', 'quantity'), name='survey_diagonal_once'), models.CheckConstraint(condition=models.Q(models.Q(('quantity__in', ('width', 'height', 'diagonal_rising', 'diagonal_falling', 'check_width', 'check_height', 'known_length')), _negated=True), ('value__gt', 0), _connector='OR'), name='survey_sizes_are_positive'), models.CheckConstraint(condition=models.Q(models.Q(('at', None), ('quantity__in', ('diagonal_rising', 'diagonal_falling', 'straightedge_left', 'straightedge_right', 'straightedge_head', 'straightedge_sill'))), models.Q(models.Q(('quantity__in', ('diagonal_rising', 'diagonal_falling', 'straightedge_left', 'straightedge_right', 'straightedge_head', 'straightedge_sill')), _negated=True), ('at__gte', 0), ('at__isnull', False)), _connector='OR'), name='survey_reading_has_a_place'), models.CheckConstraint(condition=models.Q(models.Q(('quantity__in', ('straightedge_left', 'straightedge_right', 'straightedge_head', 'straightedge_sill')), _negated=True), ('value__gte', 0), _connector='OR'), name='survey_hump_is_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='Photo',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('image', models.FileField(upload_to='photos/%Y/%m')),
                ('thumbnail', models.FileField(blank=True, upload_to='photos/%Y/%m')),
                ('width', models.PositiveIntegerField(editable=False)),
                ('height', models.PositiveIntegerField(editable=False)),
                ('sha256', models.CharField(editable=False, max_length=64)),
                ('caption', models.CharField(blank=True, max_length=160)),
                ('one_colour', models.BooleanField(default=False, editable=False, help_text='It shows next to nothing.')),
                ('survey', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='photos', to='surveys.survey')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='surveys_photo_made')],
            },
        ),
        migrations.CreateModel(
            name='FitDecision',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('frame_width', models.IntegerField(help_text='mm')),
                ('frame_height', models.IntegerField(help_text='mm')),
                ('inputs', models.JSONField()),
                ('answer', models.JSONField()),
                ('verdict', models.CharField(choices=[('fits', 'Fits'), ('does_not_fit', 'does not fit'), ('inconclusive', 'Inconclusive')], max_length=12)),
                ('probability_fits', models.FloatField()),
                ('doorset', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fit_decisions', to='jobs.doorset')),
                ('rule_set', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to='jobs.ruleset')),
                ('survey', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fit_decisions', to='surveys.survey')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='surveys_fitdecision_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('verdict__in', ('fits', 'does_not_fit', 'inconclusive'))), name='fit_verdict_is_known'), models.CheckConstraint(condition=models.Q(('probability_fits__gte', 0), ('probability_fits__lte', 1)), name='fit_probability_is_one'), models.CheckConstraint(condition=models.Q(('frame_height__gt', 0), ('frame_width__gt', 0)), name='decided_frame_is_positive')],
            },
        ),
    ]
