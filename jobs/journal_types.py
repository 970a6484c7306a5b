"""Every type of journal entry: what happened to which kind of thing, dotted.

An entry keeps the value for good, so a released one is never renamed. Those in `PUBLIC_TYPES` are
also events for other programs (webhooks, under the same name).
"""

from django.db import models
from django.utils.translation import gettext_lazy as _


class JournalType(models.TextChoices):
    """The label is what the journal page says of an entry."""

    JOB_TAKEN_ON = "job.taken_on", _("job taken on")
    JOB_CHANGED = "job.changed", _("job changed")
    CUSTOMER_ADDED = "customer.added", _("customer added")
    CUSTOMER_CHANGED = "customer.changed", _("customer changed")
    CUSTOMER_ERASURE_DECIDED = "customer.erasure_decided", _("erasure of the customer decided")
    CUSTOMER_ERASED = "customer.erased", _("customer erased")
    SITE_ADDED = "site.added", _("site added")
    SITE_CHANGED = "site.changed", _("site changed")
    OPENING_ADDED = "opening.added", _("opening added")
    OPENING_LEFT_OUT = "opening.left_out", _("opening left out")
    OPENING_TAKEN_UP = "opening.taken_up", _("opening taken up again")
    OPENING_CHANGED = "opening.changed", _("opening changed")
    RULE_SET_LOADED = "rule_set.loaded", _("rule set loaded")
    PROFILE_SYSTEM_ADDED = "profile_system.added", _("profile system added")
    PROFILE_SYSTEM_CHANGED = "profile_system.changed", _("profile system changed")
    INSTRUCTION_ADDED = "instruction.added", _("instruction of the maker added")
    INSTRUCTION_WITHDRAWN = "instruction.withdrawn", _("instruction of the maker withdrawn")
    DOORSET_DRAFTED = "doorset.drafted", _("doorset drafted")
    DOORSET_CHANGED = "doorset.changed", _("doorset changed")
    DOORSET_SUPERSEDED = "doorset.superseded", _("doorset superseded")
    DOORSET_ORDERED = "doorset.ordered", _("doorset ordered")
    DELIVERY_RECORDED = "delivery.recorded", _("delivery recorded")
    CREW_ADDED = "crew.added", _("crew added")
    CREW_CHANGED = "crew.changed", _("crew changed")
    CREW_CALENDAR_ISSUED = "crew_calendar.issued", _("calendar address issued")
    CREW_CALENDAR_REVOKED = "crew_calendar.revoked", _("calendar address revoked")
    VISIT_BOOKED = "visit.booked", _("visit booked")
    VISIT_MOVED = "visit.moved", _("visit moved")
    VISIT_BEGUN = "visit.begun", _("visit begun")
    VISIT_ENDED = "visit.ended", _("visit ended")
    VISIT_CANCELLED = "visit.cancelled", _("visit cancelled")
    PERSON_ADDED = "person.added", _("person added")
    PERSON_CHANGED = "person.changed", _("person changed")
    SECOND_FACTOR_ENROLLED = "second_factor.enrolled", _("second factor enrolled")
    SECOND_FACTOR_REMOVED = "second_factor.removed", _("second factor removed")
    DEVICE_KEY_ENROLLED = "device_key.enrolled", _("phone enrolled to sign records")
    DEVICE_KEY_ENDED = "device_key.ended", _("signatures of a phone ended")
    RECOVERY_CODES_RENEWED = "recovery_codes.renewed", _("recovery codes renewed")
    JOURNAL_SEALED = "journal.sealed", _("journal sealed")
    JOURNAL_VERIFIED = "journal.verified", _("records compared with the journal")
    RECORD_TAKEN_OVER = "record.taken_over", _("record taken over into the journal")
    INSTRUMENT_ADDED = "instrument.added", _("instrument added")
    INSTRUMENT_CHANGED = "instrument.changed", _("instrument changed")
    SURVEY_RECORDED = "survey.recorded", _("survey recorded")
    SURVEY_ACCEPTED = "survey.accepted", _("survey accepted")
    FIT_DECIDED = "fit.decided", _("fit decided")
    PHOTO_CAPTIONED = "photo.captioned", _("caption of a photo changed")
    PHOTO_ADDED = "photo.added", _("photo added")
    INSTALLATION_PLANNED = "installation.planned", _("fitting planned")
    INSTALLATION_REPLANNED = "installation.replanned", _("fitting planned again")
    STEP_INSPECTED = "step.inspected", _("step inspected")
    FIXING_RECORDED = "fixing.recorded", _("fixing recorded")
    GAP_RECORDED = "gap.recorded", _("gaps recorded")
    SASH_RECORDED = "sash.recorded", _("sash recorded")
    SASH_CHANGED = "sash.changed", _("sash record changed")
    BEAD_TAKEN_OFF = "bead.taken_off", _("bead taken off")
    BEAD_PUT_BACK = "bead.put_back", _("bead put back")
    CARRIER_LIFTED = "carrier.lifted", _("carrier adjusted")
    OPERATION_SET_ASIDE = "operation.set_aside", _("record set aside")
    PACKERS_CHANGED = "packers.changed", _("packers changed")
    DEFECT_FOUND = "defect.found", _("defect found")
    DEFECT_PUT_RIGHT = "defect.put_right", _("defect put right")
    DEFECT_REINSPECTED = "defect.reinspected", _("defect inspected again")
    DEFECT_CLOSED_ON_EVIDENCE = "defect.closed_on_evidence", _("defect closed on evidence")
    DEFECT_LEFT_TO_COME = "defect.left_to_come", _("defect left to come")
    CONCESSION_GRANTED = "concession.granted", _("concession granted")
    JOB_HANDED_OVER = "job.handed_over", _("job handed over")
    HANDOVER_LINK_ISSUED = "handover_link.issued", _("customer's link issued")
    DOCUMENT_REQUESTED = "document.requested", _("document requested")
    DOCUMENT_MADE = "document.made", _("document made")
    DOCUMENT_TIME_STAMPED = "document.time_stamped", _("document stamped with the time")
    DOCUMENT_FAILED = "document.failed", _("making the document failed")
    DOCUMENT_SUPERSEDED = "document.superseded", _("document superseded")
    DOCUMENT_WITHDRAWN = "document.withdrawn", _("document withdrawn")
    DISPATCH_QUEUED = "dispatch.queued", _("put into the outbox")
    DISPATCH_STARTED = "dispatch.started", _("sending started")
    DISPATCH_POSTPONED = "dispatch.postponed", _("sending failed, to be tried again")
    DISPATCH_REQUEUED = "dispatch.requeued", _("put into the outbox again")
    LETTER_ACCEPTED = "letter.accepted", _("letter accepted by the mail server")
    LETTER_FAILED = "letter.failed", _("letter given up")
    LETTER_BOUNCED = "letter.bounced", _("letter bounced")
    WITNESS_ADDED = "witness.added", _("witness added")
    WITNESS_ENDED = "witness.ended", _("witness ended")
    WEBHOOK_ACCEPTED = "webhook.accepted", _("webhook accepted")
    WEBHOOK_FAILED = "webhook.failed", _("webhook given up")
    WEBHOOK_ENDPOINT_ADDED = "webhook_endpoint.added", _("webhook endpoint added")
    WEBHOOK_ENDPOINT_CHANGED = "webhook_endpoint.changed", _("webhook endpoint changed")
    WEBHOOK_ENDPOINT_SWITCHED_OFF = (
        "webhook_endpoint.switched_off",
        _("webhook endpoint off"),
    )


PUBLIC_TYPES = frozenset(
    {
        JournalType.JOB_TAKEN_ON,
        JournalType.VISIT_BOOKED,
        JournalType.VISIT_MOVED,
        JournalType.VISIT_BEGUN,
        JournalType.VISIT_ENDED,
        JournalType.VISIT_CANCELLED,
        JournalType.SURVEY_RECORDED,
        JournalType.SURVEY_ACCEPTED,
        JournalType.FIT_DECIDED,
        JournalType.DOORSET_ORDERED,
        JournalType.DELIVERY_RECORDED,
        JournalType.INSTALLATION_PLANNED,
        JournalType.INSTALLATION_REPLANNED,
        JournalType.DEFECT_FOUND,
        JournalType.DEFECT_PUT_RIGHT,
        JournalType.DEFECT_REINSPECTED,
        JournalType.DEFECT_CLOSED_ON_EVIDENCE,
        JournalType.DEFECT_LEFT_TO_COME,
        JournalType.CONCESSION_GRANTED,
        JournalType.JOB_HANDED_OVER,
        JournalType.DOCUMENT_MADE,
        JournalType.DOCUMENT_SUPERSEDED,
        JournalType.DOCUMENT_WITHDRAWN,
        JournalType.LETTER_ACCEPTED,
        JournalType.LETTER_FAILED,
        JournalType.LETTER_BOUNCED,
    }
)
