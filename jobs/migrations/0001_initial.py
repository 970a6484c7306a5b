
import django.contrib.auth.models
import django.contrib.auth.validators
import django.db.models.deletion
import django.db.models.expressions
import django.utils.timezone
import secrets
import uuid
from django.conf import settings
from django.db import migrations, models


# What lists are searched by is found in PostgreSQL by its trigrams, without reading every row.
# pg_trgm comes with PostgreSQL; whoever owns the database may switch it on.
SEARCHED = {
    "jobs_job": ("reference", "title"),
    "jobs_customer": ("name",),
    "jobs_site": ("town",),
}


def index_trigrams(apps, schema_editor):
    if schema_editor.connection.vendor != "postgresql":
        return
    schema_editor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
    for table, columns in SEARCHED.items():
        for column in columns:
            # As the framework asks for what contains a text, in whatever case.
            schema_editor.execute(
                f"CREATE INDEX {table}_{column}_trigrams ON {table} "
                f'USING gin (UPPER("{column}"::text) gin_trgm_ops)'
            )


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        migrations.CreateModel(
            name='Person',
            fields=[
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ],
            options={
                'verbose_name': 'user',
                'verbose_name_plural': 'users',
                'abstract': False,
            },
            managers=[
                ('objects', django.contrib.auth.models.UserManager()),
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
                ('erased_at', models.DateTimeField(editable=False, null=True)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_customer_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='customer_has_a_name')],
            },
        ),
        migrations.CreateModel(
            name='RuleSet',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=60, unique=True)),
                ('family', models.CharField(max_length=60)),
                ('title', models.CharField(max_length=160)),
                ('issued_on', models.DateField()),
                ('sha256', models.CharField(max_length=64, unique=True)),
                ('text', models.TextField(help_text='The complete TOML text: every rule with its value.')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_ruleset_made')],
            },
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
                ('rule_set', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='jobs.ruleset')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='jobs.site')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_job_made')],
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
                ('nation', models.CharField(blank=True, choices=[('england', 'England'), ('wales', 'Wales'), ('scotland', 'Scotland'), ('northern_ireland', 'Northern Ireland')], max_length=16)),
                ('work', models.CharField(blank=True, choices=[('new_dwelling', 'new dwelling'), ('replacement', 'replacement in an existing dwelling'), ('material_alteration', 'material alteration of a dwelling')], max_length=19)),
                ('existing_upstand', models.FloatField(help_text='mm above the finished floor', null=True)),
                ('left_out_at', models.DateTimeField(editable=False, null=True)),
                ('left_out_because', models.CharField(blank=True, editable=False, max_length=300)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='openings', to='jobs.job')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_opening_made')],
                'constraints': [models.UniqueConstraint(fields=('job', 'number'), name='opening_number_once_per_job'), models.CheckConstraint(condition=models.Q(('number__gte', 1)), name='opening_numbers_start_at_1'), models.CheckConstraint(condition=models.Q(models.Q(('nation', ''), ('nation__in', ('england', 'wales', 'scotland', 'northern_ireland')), _connector='OR'), models.Q(('work', ''), ('work__in', ('new_dwelling', 'replacement', 'material_alteration')), _connector='OR')), name='opening_choices_are_known'), models.CheckConstraint(condition=models.Q(('existing_upstand', None), ('existing_upstand__gte', 0), _connector='OR'), name='opening_existing_upstand_is_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='ProfileSystem',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=80, unique=True)),
                ('material', models.CharField(choices=[('aluminium', 'Aluminium'), ('pvc_u_white', 'PVC-U, white'), ('pvc_u_coloured', 'PVC-U, not white'), ('timber', 'Timber')], default='aluminium', max_length=14)),
                ('reinforced', models.BooleanField(default=False)),
                ('frame_face', models.FloatField()),
                ('frame_depth', models.FloatField(blank=True, null=True)),
                ('sash_face', models.FloatField()),
                ('leaf_gap', models.FloatField()),
                ('glass_edge_cover', models.FloatField()),
                ('frame_mass_per_metre', models.FloatField()),
                ('sash_mass_per_metre', models.FloatField()),
                ('hardware_mass_per_leaf', models.FloatField()),
                ('sashes', models.CharField(choices=[('hung', 'hung in the frame'), ('loose', 'loose, beside the frame')], default='hung', max_length=5)),
                ('glass', models.CharField(choices=[('loose', 'loose, to be glazed on site'), ('fitted', 'fitted in the sashes')], default='loose', max_length=6)),
                ('largest_leaf_width', models.FloatField()),
                ('largest_leaf_height', models.FloatField()),
                ('largest_leaf_mass', models.FloatField()),
                ('carrier_adjustment_range', models.FloatField()),
                ('lift_per_turn', models.FloatField()),
                ('removable_track_end', models.FloatField()),
                ('head_fixing', models.JSONField(help_text='Any of "through_track", "in_channel".')),
                ('toe_and_heel_device', models.BooleanField()),
                ('frame_u', models.FloatField()),
                ('psi', models.FloatField()),
                ('choices', models.JSONField(default=dict, help_text='What may be ordered: lists under colours, handles, thresholds, ventilators.')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_profilesystem_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('material__in', ('aluminium', 'pvc_u_white', 'pvc_u_coloured', 'timber'))), name='profile_material_is_known'), models.CheckConstraint(condition=models.Q(('glass__in', ('loose', 'fitted')), ('sashes__in', ('hung', 'loose'))), name='profile_delivery_is_known'), models.CheckConstraint(condition=models.Q(('frame_face__gt', 0), ('glass_edge_cover__gte', 0), ('largest_leaf_height__gt', 0), ('largest_leaf_mass__gt', 0), ('largest_leaf_width__gt', 0), ('leaf_gap__gte', 0), ('sash_face__gt', 0)), name='profile_sizes_are_positive'), models.CheckConstraint(condition=models.Q(('carrier_adjustment_range__gte', 0), ('frame_u__gt', 0), ('lift_per_turn__gt', 0), ('psi__gte', 0), ('removable_track_end__gte', 0)), name='profile_running_gear_is_sound'), models.CheckConstraint(condition=models.Q(('frame_mass_per_metre__gt', 0), ('hardware_mass_per_leaf__gte', 0), ('sash_mass_per_metre__gt', 0)), name='profile_masses_are_positive')],
            },
        ),
        migrations.CreateModel(
            name='Doorset',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('revision', models.PositiveSmallIntegerField(default=1)),
                ('leaves', models.PositiveSmallIntegerField()),
                ('left_leaves', models.PositiveSmallIntegerField()),
                ('right_leaves', models.PositiveSmallIntegerField()),
                ('opens', models.CharField(choices=[('out', 'Out'), ('in', 'In')], max_length=3)),
                ('frame_width', models.IntegerField(help_text='mm')),
                ('frame_height', models.IntegerField(help_text='mm')),
                ('glazing', models.JSONField()),
                ('head_fixing', models.CharField(choices=[('through_track', 'countersunk through the track'), ('in_channel', 'in the channel behind the removable track')], max_length=13)),
                ('colour_inside', models.CharField(max_length=60)),
                ('colour_outside', models.CharField(max_length=60)),
                ('handle', models.CharField(max_length=60)),
                ('threshold', models.CharField(max_length=60)),
                ('upstand', models.FloatField(help_text='mm above the finished floor')),
                ('ventilator', models.CharField(blank=True, max_length=60)),
                ('keyed_alike', models.BooleanField(default=False)),
                ('energy_band', models.CharField(blank=True, choices=[('A++', 'A++'), ('A+', 'A+'), ('A', 'A'), ('B', 'B'), ('C', 'C'), ('D', 'D'), ('E', 'E'), ('F', 'F'), ('G', 'G')], max_length=3)),
                ('security_evidence', models.CharField(blank=True, max_length=120)),
                ('calculation', models.JSONField(editable=False)),
                ('ordered_at', models.DateTimeField(editable=False, null=True)),
                ('superseded_at', models.DateTimeField(editable=False, null=True)),
                ('opening', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='doorsets', to='jobs.opening')),
                ('profile_system', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to='jobs.profilesystem')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_doorset_made')],
                'constraints': [models.UniqueConstraint(condition=models.Q(('superseded_at', None)), fields=('opening',), name='one_current_doorset_for_an_opening'), models.UniqueConstraint(fields=('opening', 'revision'), name='doorset_revision_once_per_opening'), models.CheckConstraint(condition=models.Q(('leaves', django.db.models.expressions.CombinedExpression(models.F('left_leaves'), '+', models.F('right_leaves'))), ('leaves__gte', 1)), name='fold_adds_up'), models.CheckConstraint(condition=models.Q(('frame_height__gt', 0), ('frame_width__gt', 0)), name='doorset_frame_is_positive'), models.CheckConstraint(condition=models.Q(('opens__in', ('out', 'in')), ('head_fixing__in', ('through_track', 'in_channel')), models.Q(('energy_band', ''), ('energy_band__in', ('A++', 'A+', 'A', 'B', 'C', 'D', 'E', 'F', 'G')), _connector='OR')), name='doorset_choices_are_known'), models.CheckConstraint(condition=models.Q(('upstand__gte', 0)), name='doorset_upstand_is_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='JournalStream',
            fields=[
                ('name', models.CharField(max_length=60, primary_key=True, serialize=False)),
                ('length', models.PositiveIntegerField(default=0)),
                ('head', models.CharField(blank=True, default='', max_length=64)),
                ('sealed_length', models.PositiveIntegerField(default=0)),
                ('last_entry_at', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='YearCounter',
            fields=[
                ('year', models.PositiveSmallIntegerField(primary_key=True, serialize=False)),
                ('last_number', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='Crew',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=80, unique=True)),
                ('calendar_digest', models.CharField(blank=True, editable=False, max_length=64, null=True, unique=True)),
                ('members', models.ManyToManyField(related_name='crews', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_crew_made')],
            },
        ),
        migrations.CreateModel(
            name='Delivery',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('delivered_on', models.DateField()),
                ('frame_width', models.IntegerField(help_text='mm, as measured on the delivered frame')),
                ('frame_height', models.IntegerField(help_text='mm, as measured on the delivered frame')),
                ('leaves_counted', models.PositiveSmallIntegerField()),
                ('accepted', models.BooleanField()),
                ('damage', models.CharField(blank=True, max_length=500)),
                ('declaration', models.CharField(blank=True, help_text='Number of the declaration of performance, and the mark on the label.', max_length=120)),
                ('doorset', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='jobs.doorset')),
            ],
            options={
                'verbose_name_plural': 'deliveries',
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_delivery_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('frame_height__gt', 0), ('frame_width__gt', 0)), name='delivered_frame_is_positive')],
            },
        ),
        migrations.CreateModel(
            name='JournalEntry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveIntegerField()),
                ('created_at', models.DateTimeField()),
                ('type', models.CharField(max_length=60)),
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
                'constraints': [models.UniqueConstraint(fields=('stream', 'number'), name='journal_number_once'), models.CheckConstraint(condition=models.Q(('number__gte', 1)), name='journal_starts_at_1')],
            },
        ),
        migrations.CreateModel(
            name='PersonRole',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(choices=[('office', 'Office'), ('surveyor', 'Surveyor'), ('fitter', 'Fitter'), ('subcontractor', 'Subcontractor')], max_length=20)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='role_records', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('person', 'role'), name='person_holds_a_role_once'), models.CheckConstraint(condition=models.Q(('role__in', ['office', 'surveyor', 'fitter', 'subcontractor'])), name='person_role_is_known')],
            },
        ),
        migrations.CreateModel(
            name='Token',
            fields=[
                ('digest', models.CharField(max_length=128, primary_key=True, serialize=False)),
                ('token_key', models.CharField(db_index=True, max_length=25)),
                ('created', models.DateTimeField(auto_now_add=True)),
                ('expiry', models.DateTimeField(blank=True, null=True)),
                ('role', models.CharField(choices=[('office', 'Office'), ('surveyor', 'Surveyor'), ('fitter', 'Fitter'), ('subcontractor', 'Subcontractor')], max_length=20)),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='auth_token_set', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('role__in', ['office', 'surveyor', 'fitter', 'subcontractor'])), name='token_role_is_known')],
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
                ('end', models.DateTimeField(db_index=True)),
                ('began_at', models.DateTimeField(editable=False, help_text='When the first of its records was made.', null=True)),
                ('ended_at', models.DateTimeField(editable=False, help_text='When somebody said that it was over.', null=True)),
                ('cancelled_at', models.DateTimeField(editable=False, null=True)),
                ('crew', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='jobs.crew')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='jobs.job')),
                ('people', models.ManyToManyField(related_name='visits', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_visit_made')],
                'constraints': [models.CheckConstraint(condition=models.Q(('end__gt', models.F('start'))), name='visit_ends_after_start'), models.CheckConstraint(condition=models.Q(('kind__in', ('survey', 'fitting', 'return'))), name='visit_kind_is_known')],
            },
        ),
        # Backwards the indexes go with their tables; the extension may have been there before.
        migrations.RunPython(index_trigrams, migrations.RunPython.noop),
    ]
