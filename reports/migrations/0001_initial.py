
import django.db.models.deletion
import reports.models.documents
import secrets
import uuid
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('jobs', '0001_initial'),
    ]

    operations = [
        migrations.CreateModel(
            name='Document',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('kind', models.CharField(choices=[('survey_sheet', 'Survey sheet'), ('fitting_pack', 'Fitting pack'), ('defect_report', 'Defect report'), ('completion_certificate', 'Completion certificate')], max_length=22)),
                ('number', models.CharField(help_text='Alike for all editions.', max_length=16)),
                ('edition', models.PositiveSmallIntegerField()),
                ('record', models.TextField()),
                ('verification_code', models.CharField(default=reports.models.documents.new_verification_code, editable=False, max_length=32, unique=True)),
                ('making_attempts', models.PositiveSmallIntegerField(default=0)),
                ('next_attempt_at', models.DateTimeField(help_text='From then on the sweep makes the paper if nothing else has.')),
                ('failure', models.CharField(blank=True, max_length=500)),
                ('rendered_at', models.DateTimeField(null=True)),
                ('file', models.FileField(blank=True, storage=reports.models.documents.paper_storage, upload_to=reports.models.documents.paper_path)),
                ('sha256', models.CharField(blank=True, max_length=64)),
                ('superseded_at', models.DateTimeField(null=True)),
                ('withdrawn_at', models.DateTimeField(null=True)),
                ('erased_at', models.DateTimeField(null=True)),
                ('withdrawal_reason', models.CharField(blank=True, max_length=500)),
                ('withdrawn_for_safety', models.BooleanField(default=False, help_text='What it certifies could hurt somebody.')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='documents', to='jobs.job')),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='reports_document_made')],
                'constraints': [models.UniqueConstraint(fields=('job', 'kind', 'edition'), name='document_edition_once_per_job'), models.UniqueConstraint(condition=models.Q(('superseded_at', None), ('withdrawn_at', None)), fields=('job', 'kind'), name='one_current_document_of_a_kind_per_job'), models.CheckConstraint(condition=models.Q(('kind__in', ('survey_sheet', 'fitting_pack', 'defect_report', 'completion_certificate'))), name='document_kind_is_known'), models.CheckConstraint(condition=models.Q(('edition__gte', 1)), name='document_editions_start_at_1'), models.CheckConstraint(condition=models.Q(models.Q(('file', ''), ('rendered_at', None), ('sha256', '')), models.Q(('rendered_at__isnull', False), models.Q(('sha256', ''), _negated=True), models.Q(('file', ''), _negated=True)), models.Q(('erased_at__isnull', False), ('file', ''), ('rendered_at__isnull', False), models.Q(('sha256', ''), _negated=True)), _connector='OR'), name='document_is_made_whole_or_not_at_all'), models.CheckConstraint(condition=models.Q(models.Q(('withdrawal_reason', ''), ('withdrawn_at', None)), models.Q(('withdrawn_at__isnull', False), models.Q(('withdrawal_reason', ''), _negated=True)), _connector='OR'), name='document_is_withdrawn_with_a_reason')],
            },
        ),
        migrations.CreateModel(
            name='WebhookEndpoint',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('address', models.URLField(max_length=500)),
                ('secret', models.CharField(editable=False, max_length=80)),
                ('event_types', models.JSONField(default=list)),
                ('active', models.BooleanField(default=True)),
                ('read_to', models.BigIntegerField(default=0, editable=False)),
            ],
            options={
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='reports_webhookendpoint_made')],
            },
        ),
        migrations.CreateModel(
            name='Dispatch',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('creation_digest', models.CharField(blank=True, default='', editable=False, max_length=64)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('updated_at', models.DateTimeField(auto_now=True, db_index=True)),
                ('seal_key', models.CharField(default=secrets.token_hex, editable=False, max_length=64)),
                ('channel', models.CharField(choices=[('email', 'Email'), ('webhook', 'Webhook')], default='email', max_length=7)),
                ('recipient', models.EmailField(blank=True, max_length=254)),
                ('body', models.TextField(blank=True, help_text='Of a webhook, as it is signed and sent.')),
                ('message_id', models.CharField(max_length=120, unique=True)),
                ('state', models.CharField(choices=[('waiting', 'Waiting'), ('sent', 'Sent'), ('failed', 'Failed'), ('bounced', 'Bounced')], default='waiting', max_length=7)),
                ('attempts', models.PositiveSmallIntegerField(default=0)),
                ('next_attempt_at', models.DateTimeField(null=True)),
                ('outcome', models.CharField(blank=True, max_length=300)),
                ('entry', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to='jobs.journalentry')),
                ('document', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='dispatches', to='reports.document')),
                ('endpoint', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='dispatches', to='reports.webhookendpoint')),
            ],
            options={
                'verbose_name_plural': 'dispatches',
                'ordering': ('-created_at', '-id'),
                'abstract': False,
                'indexes': [models.Index(fields=['-created_at', '-id'], name='reports_dispatch_made'), models.Index(condition=models.Q(('state', 'waiting')), fields=['next_attempt_at'], name='dispatch_due')],
                'constraints': [models.UniqueConstraint(fields=('document', 'channel'), name='document_goes_out_once_a_channel'), models.UniqueConstraint(fields=('endpoint', 'entry'), name='webhook_tells_of_an_entry_once'), models.CheckConstraint(condition=models.Q(('state__in', ('waiting', 'sent', 'failed', 'bounced'))), name='dispatch_state_is_known'), models.CheckConstraint(condition=models.Q(models.Q(('channel', 'email'), ('document__isnull', False), ('endpoint', None), ('entry', None), models.Q(('recipient', ''), _negated=True)), models.Q(('channel', 'webhook'), ('document', None), ('endpoint__isnull', False), ('recipient', ''), ('entry__isnull', False), models.Q(('body', ''), _negated=True)), _connector='OR'), name='dispatch_is_a_letter_or_a_webhook'), models.CheckConstraint(condition=models.Q(models.Q(('next_attempt_at__isnull', False), ('state', 'waiting')), models.Q(models.Q(('state', 'waiting'), _negated=True), ('next_attempt_at', None)), _connector='OR'), name='dispatch_is_due_only_while_waiting')],
            },
        ),
        migrations.CreateModel(
            name='DispatchAttempt',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('message_id', models.CharField(max_length=120)),
                ('started_at', models.DateTimeField()),
                ('finished_at', models.DateTimeField(null=True)),
                ('outcome', models.CharField(blank=True, max_length=300)),
                ('dispatch', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='attempt_records', to='reports.dispatch')),
            ],
            options={
                'ordering': ('started_at', 'id'),
            },
        ),
    ]
