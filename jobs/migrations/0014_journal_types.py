from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("jobs", "0013_family_of_rule_sets")]

    operations = [
        migrations.RenameField("journalentry", "verb", "type"),
        migrations.RenameField("journalentry", "made_at", "created_at"),
        migrations.RenameField("journalstream", "last_made_at", "last_entry_at"),
    ]
