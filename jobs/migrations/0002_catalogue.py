import uuid
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0001_people'),
    ]

    operations = [
        migrations.CreateModel(
            name='ProfileSystem',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('name', models.CharField(max_length=80, unique=True)),
                ('frame_face', models.FloatField()),
                ('sash_face', models.FloatField()),
                ('leaf_gap', models.FloatField()),
                ('glass_edge_cover', models.FloatField()),
                ('frame_mass_per_metre', models.FloatField()),
                ('sash_mass_per_metre', models.FloatField()),
                ('hardware_mass_per_leaf', models.FloatField()),
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
                'constraints': [models.CheckConstraint(condition=models.Q(('frame_face__gt', 0), ('glass_edge_cover__gte', 0), ('largest_leaf_height__gt', 0), ('largest_leaf_mass__gt', 0), ('largest_leaf_width__gt', 0), ('leaf_gap__gte', 0), ('sash_face__gt', 0)), name='profile_sizes_are_positive'), models.CheckConstraint(condition=models.Q(('carrier_adjustment_range__gte', 0), ('frame_u__gt', 0), ('lift_per_turn__gt', 0), ('psi__gte', 0), ('removable_track_end__gte', 0)), name='profile_running_gear_is_sound'), models.CheckConstraint(condition=models.Q(('frame_mass_per_metre__gt', 0), ('hardware_mass_per_leaf__gte', 0), ('sash_mass_per_metre__gt', 0)), name='profile_masses_are_positive')],
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
                ('title', models.CharField(max_length=160)),
                ('issued_on', models.DateField()),
                ('sha256', models.CharField(max_length=64, unique=True)),
                ('text', models.TextField(help_text='The whole TOML text that was loaded.')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='jobs_ruleset_made')],
            },
        ),
    ]
