import django.db.models.deletion
import django.db.models.expressions
import uuid
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0003_jobs'),
    ]

    operations = [
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
                ('calculation', models.JSONField(editable=False)),
                ('ordered_at', models.DateTimeField(editable=False, null=True)),
                ('superseded_at', models.DateTimeField(editable=False, null=True)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
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
                ('doorset', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='jobs.doorset')),
            ],
            options={
                'verbose_name_plural': 'deliveries',
                'ordering': ('-created_at', '-id'),
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='doorset',
            name='opening',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='doorsets', to='jobs.opening'),
        ),
        migrations.AddField(
            model_name='doorset',
            name='profile_system',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to='jobs.profilesystem'),
        ),
        migrations.AddIndex(
            model_name='delivery',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_delivery_made'),
        ),
        migrations.AddConstraint(
            model_name='delivery',
            constraint=models.CheckConstraint(condition=models.Q(('frame_height__gt', 0), ('frame_width__gt', 0)), name='delivered_frame_is_positive'),
        ),
        migrations.AddIndex(
            model_name='doorset',
            index=models.Index(fields=['-created_at', '-id'], name='jobs_doorset_made'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.UniqueConstraint(condition=models.Q(('superseded_at', None)), fields=('opening',), name='one_current_doorset_for_an_opening'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.UniqueConstraint(fields=('opening', 'revision'), name='doorset_revision_once_per_opening'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.CheckConstraint(condition=models.Q(('leaves', django.db.models.expressions.CombinedExpression(models.F('left_leaves'), '+', models.F('right_leaves'))), ('leaves__gte', 1)), name='fold_adds_up'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.CheckConstraint(condition=models.Q(('frame_height__gt', 0), ('frame_width__gt', 0)), name='doorset_frame_is_positive'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.CheckConstraint(condition=models.Q(('opens__in', ('out', 'in')), ('head_fixing__in', ('through_track', 'in_channel'))), name='doorset_choices_are_known'),
        ),
        migrations.AddConstraint(
            model_name='doorset',
            constraint=models.CheckConstraint(condition=models.Q(('upstand__gte', 0)), name='doorset_upstand_is_not_negative'),
        ),
    ]
