"""What papers' records hold.

A paper may be asked for under one version of the service and drawn under a later one, or compared
with a later edition. So its record has a format number like every other frozen record: an upgrade
brings an older one to what the drafts of papers expect.
"""

from collections.abc import Mapping
from typing import Any

from jobs.frozen import FrozenKind
from reports.papers.frozen.defects import without_evidence_and_words, without_places_of_defects
from reports.papers.frozen.doorset import with_requirements
from reports.papers.frozen.fitting import (
    gaps_judged_by_difference_alone,
    without_packer_changes,
)
from reports.papers.frozen.papers import (
    CertificateRecord,
    DefectReportRecord,
    FittingPackRecord,
    SurveySheetRecord,
    by_eight_points,
    without_places_conceded,
    without_plan_view,
    without_reason_unsigned,
    without_stage_planned_from,
    without_what_is_to_come,
    without_wide_joints,
)

# By `Document.Kind`. The JSON of a record is attached to its paper as it is stored.
PAPERS: Mapping[str, FrozenKind[Any]] = {
    "survey_sheet": FrozenKind(
        "record of a survey sheet", SurveySheetRecord, (by_eight_points, without_wide_joints)
    ),
    "fitting_pack": FrozenKind(
        "record of a fitting pack",
        FittingPackRecord,
        (without_stage_planned_from, without_plan_view),
    ),
    "defect_report": FrozenKind(
        "record of a defect report",
        DefectReportRecord,
        (without_places_conceded, without_places_of_defects, without_evidence_and_words),
    ),
    "completion_certificate": FrozenKind(
        "record of a completion certificate",
        CertificateRecord,
        (
            gaps_judged_by_difference_alone,
            with_requirements,
            without_packer_changes,
            without_reason_unsigned,
            without_places_of_defects,
            without_what_is_to_come,
        ),
    ),
}
