"""`rendered_at` is when the file of a document was drawn and stored."""

from django.db import migrations, models
from django.db.models import Q

NAME = "document_is_made_whole_or_not_at_all"


class Migration(migrations.Migration):
    dependencies = [("reports", "0003_document_erasure")]

    operations = [
        migrations.RemoveConstraint("document", NAME),
        migrations.RenameField("document", "made_at", "rendered_at"),
        migrations.AddConstraint(
            "document",
            models.CheckConstraint(
                condition=Q(rendered_at=None, file="", sha256="")
                | Q(rendered_at__isnull=False) & ~Q(sha256="") & ~Q(file="")
                | Q(rendered_at__isnull=False, erased_at__isnull=False, file="") & ~Q(sha256=""),
                name=NAME,
            ),
        ),
    ]
