"""No certificate says what the journal does not: its job is compared with the journal before."""

from collections.abc import Iterator

from django.apps import apps
from django.utils.translation import gettext as _

from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.errors import Blocker
from jobs.models import Job
from jobs.services.job_check import check_job
from jobs.services.record_check import Contradiction


def contradicting_the_journal(job: Job) -> list[Blocker]:
    """One for each record that the certificate would rest on and that is not what was journalled.

    Nobody can accept it: who changed it past the service has to be cleared up, and what the journal
    says put back. `manage.py verify_journal` tells what that is.
    """
    by_record: dict[tuple[str, str], list[Contradiction]] = {}
    for contradiction in check_job(job, seals=True).contradictions:
        record = contradiction.kind, contradiction.id
        by_record.setdefault(record, []).append(contradiction)
    return list(_blockers(by_record))


def _blockers(by_record: dict[tuple[str, str], list[Contradiction]]) -> Iterator[Blocker]:
    for (label, key), contradictions in by_record.items():
        kind = label.rpartition(".")[2]
        places = ", ".join(c.place for c in contradictions if c.place)
        what = _(
            "clear up who changed a record past the service, and put back what the journal says"
        )
        why = _("not what the journal says: {kind} {number} ({places})")
        yield Blocker(
            BlockerCode.JOURNAL,
            what,
            why.format(kind=_label(label), number=key, places=places or _("the record itself")),
            {"kind": kind, "id": key, "name": _label(label)},
        )


def _label(label: str) -> str:
    return code_label(str(apps.get_model(label)._meta.verbose_name))
