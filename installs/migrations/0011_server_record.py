from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):

    dependencies = [
        ('installs', '0010_working_order'),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name='syncoperation',
            name='sync_operation_is_answered',
        ),
        migrations.RenameField(
            model_name='syncoperation',
            old_name='theirs',
            new_name='server_record',
        ),
        migrations.AddConstraint(
            model_name='syncoperation',
            constraint=models.CheckConstraint(
                condition=Q(('outcome', 'applied'), ('server_record__isnull', True))
                | Q(('outcome', 'conflict'), ('server_record__isnull', False)),
                name='sync_operation_is_answered',
            ),
        ),
    ]
