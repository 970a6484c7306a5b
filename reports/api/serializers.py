"""Bodies and answers of documents, dispatches, gates and verification."""

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from installs.models import Installation
from jobs.api.fields import ClientIdField, StrictBooleanField, VisibleRelatedField
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Job
from reports.addresses import verification_address
from reports.issued_papers import STATUSES
from reports.models import Dispatch, DispatchAttempt, Document

LARGEST_PAPER_BYTES = 20 * 1024 * 1024


class DocumentCreateSerializer(StrictSerializer):
    """`kind`: the office asks for any; a surveyor for the survey sheet, a fitter for the fitting
    pack and the defect report, of jobs with a visit of their own."""

    id = ClientIdField()
    job = VisibleRelatedField(Job)
    kind = serializers.ChoiceField(choices=Document.Kind.choices)


class DocumentSerializer(serializers.ModelSerializer):
    """While `standing` is `being_made`, reading it again shows how far it is: how often it was
    tried, why the last try failed, and when the next one is due at the latest."""

    standing = serializers.ChoiceField(source="status", choices=Document.Status.choices)
    made_at = serializers.DateTimeField(source="rendered_at", read_only=True, allow_null=True)
    verification_address = serializers.SerializerMethodField()

    class Meta:
        model = Document
        fields: tuple[str, ...] = (
            *RECORD_FIELDS,
            "job",
            "kind",
            "number",
            "edition",
            "standing",
            "verification_address",
            "made_at",
            "sha256",
            "making_attempts",
            "next_attempt_at",
            "failure",
            "superseded_at",
            "withdrawn_at",
            "withdrawal_reason",
            "withdrawn_for_safety",
            "erased_at",
        )

    def get_verification_address(self, document: Document) -> str:
        return verification_address(document.verification_code)


class DocumentDetailSerializer(DocumentSerializer):
    """With the frozen record that the paper is drawn from; lists leave it out, it is long."""

    record = serializers.JSONField(source="facts")

    class Meta(DocumentSerializer.Meta):
        fields = (*DocumentSerializer.Meta.fields, "record")


class WithdrawalSerializer(StrictSerializer):
    """A certificate withdrawn `for_safety` is not issued again before the matter is closed: its
    reason becomes a critical defect, of the `installation` where the job has several."""

    reason = serializers.CharField(
        max_length=500, help_text="Everybody who verifies the document can read it."
    )
    for_safety = StrictBooleanField(help_text="Whether somebody could be hurt.")
    installation = VisibleRelatedField(Installation, required=False)


class DispatchAttemptSerializer(serializers.ModelSerializer):
    class Meta:
        model = DispatchAttempt
        fields = ("message_id", "started_at", "finished_at", "outcome")


class DispatchSerializer(serializers.ModelSerializer):
    attempt_records = DispatchAttemptSerializer(many=True)

    class Meta:
        model = Dispatch
        fields = (
            *RECORD_FIELDS,
            "document",
            "channel",
            "recipient",
            "endpoint",
            "body",
            "message_id",
            "state",
            "attempts",
            "next_attempt_at",
            "outcome",
            "attempt_records",
        )


class BlockerSerializer(serializers.Serializer):
    """What is to be done, why, and on which record; `concedable` where the office may let it be,
    by a concession of this `code` and `place`."""

    code = serializers.CharField()
    what = serializers.CharField()
    why = serializers.CharField()
    record = serializers.DictField(child=serializers.CharField())
    concedable = serializers.BooleanField()
    place = serializers.CharField()


class GateSerializer(serializers.Serializer):
    gate = serializers.CharField()
    open = serializers.BooleanField()
    blockers = BlockerSerializer(many=True)


class GatesSerializer(serializers.Serializer):
    job = serializers.CharField(help_text="Its reference.")
    gates = GateSerializer(many=True)


class PaperUploadSerializer(StrictSerializer):
    """A PDF to compare with the one that was issued. It is hashed and not kept."""

    file = serializers.FileField(allow_empty_file=False)

    def validate_file(self, file: Any) -> Any:
        if file.size > LARGEST_PAPER_BYTES:
            limit = LARGEST_PAPER_BYTES // (1024 * 1024)
            message = _("larger than {limit} MB; no paper of ours is").format(limit=limit)
            raise serializers.ValidationError(message)
        return file


class SafetyMatterSerializer(serializers.Serializer):
    opening = serializers.IntegerField()
    reported_at = serializers.DateTimeField()


class DefectsSinceSerializer(serializers.Serializer):
    severity = serializers.CharField()
    count = serializers.IntegerField()


class VerificationSerializer(serializers.Serializer):
    """Nothing that the paper itself does not show, and whether a critical defect of what it
    certifies was reported since and is open: the paper is genuine then, and not to be relied on
    (`safety_open`). With lesser ones it is valid and does not know of them (`defects_since`: how
    many of each severity, the gravest first); `not_confirmed` where what the firm has on record
    contradicts its journal."""

    status = serializers.ChoiceField(choices=STATUSES)
    safety_matters = SafetyMatterSerializer(many=True)
    defects_since = DefectsSinceSerializer(many=True)
    number = serializers.CharField()
    edition = serializers.IntegerField()
    kind = serializers.CharField()
    firm = serializers.CharField()
    made_at = serializers.DateTimeField(source="rendered_at")
    sha256 = serializers.CharField()
    superseded_at = serializers.DateTimeField(allow_null=True)
    withdrawn_at = serializers.DateTimeField(allow_null=True)
    withdrawal_reason = serializers.CharField()


class ComparisonSerializer(VerificationSerializer):
    file_is = serializers.ChoiceField(choices=("identical", "different", "not_confirmed"))
    file_sha256 = serializers.CharField()
