"""`recorded_at` is the time on the device's clock when something was recorded."""

from django.db import migrations

RECORDED_ON_SITE = (
    "bead",
    "carrierlift",
    "defect",
    "fixing",
    "handover",
    "inspection",
    "junctiongap",
    "sashrecord",
    "sitephoto",
    "syncoperation",
)


class Migration(migrations.Migration):
    dependencies = [("installs", "0011_server_record")]

    operations = [
        migrations.RenameField(model, "made_at", "recorded_at") for model in RECORDED_ON_SITE
    ]
