import django.core.serializers.json
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0005_handover'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='defect',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name='fixing',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name='handover',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name='inspection',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name='junctiongap',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name='sashrecord',
            name='made_at',
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.CreateModel(
            name='SyncOperation',
            fields=[
                ('id', models.UUIDField(editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=40)),
                ('record', models.UUIDField(db_index=True)),
                ('base_version', models.PositiveIntegerField(null=True)),
                ('after', models.UUIDField(null=True)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('digest', models.CharField(max_length=64)),
                ('outcome', models.CharField(choices=[('applied', 'Applied'), ('conflict', 'Conflict')], max_length=8)),
                ('version', models.PositiveIntegerField()),
                ('theirs', models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder, null=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('received_at', 'id'),
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('outcome', 'applied'), ('theirs__isnull', True)), models.Q(('outcome', 'conflict'), ('theirs__isnull', False)), _connector='OR'), name='sync_operation_is_answered')],
            },
        ),
    ]
