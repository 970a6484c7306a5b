"""Everything that is recorded on site: the operations of the fitting, and those of surveys.

From a declaration follow its endpoint and who may use it (`api/operation_views.py`), what a phone
may queue (`api/operation_handler.py`), its label in the queue (`templatetags/offline.py`) and
the fields of its form (`views/operation_form.py`).
"""

from collections.abc import Mapping

from installs.api import closing_serializers as closing
from installs.api import register_serializers as register
from installs.api import serializers as site
from installs.services import already_recorded as already
from installs.services import beads, defects, fitting
from installs.services.handing_over import hand_over
from installs.services.inspecting import inspect_step
from installs.services.installing import plan_installation
from installs.services.packing import change_packers
from installs.services.running_gear import record_lift
from installs.services.still_to_come import leave_to_come
from installs.verdicts import verdict_of_gap, verdict_of_inspection
from jobs.journal_types import JournalType
from jobs.operations import Operation
from surveys.operations import RECORD_SURVEY

# The fields of a body that name the opening, or the place on the doorset, that it is about.
# What was queued for the same record or place is done in order; all else goes on without it.
PLACE_FIELDS = ("installation", "opening", "step", "junction", "leaf", "side", "member", "position")
# What the register of a step consists of: the step is recorded after it, since it is judged by it.
KINDS_OF_REGISTER: Mapping[str, tuple[str, ...]] = {"fixings": ("record_fixing",)}


PLAN_FITTING = Operation(
    "plan_fitting",
    JournalType.INSTALLATION_PLANNED,
    body=site.InstallationCreateSerializer,
    service=plan_installation,
    record=site.InstallationSerializer,
    same=already.same_installation,
    follows=("record_survey",),
)
INSPECT_STEP = Operation(
    "inspect_step",
    JournalType.STEP_INSPECTED,
    body=site.InspectionCreateSerializer,
    service=inspect_step,
    record=site.InspectionSerializer,
    same=already.same_inspection,
    verdict=verdict_of_inspection,
)
RECORD_FIXING = Operation(
    "record_fixing",
    JournalType.FIXING_RECORDED,
    body=site.FixingCreateSerializer,
    service=fitting.record_fixing,
    record=site.FixingSerializer,
    same=already.same_fixing,
)
RECORD_GAP = Operation(
    "record_gap",
    JournalType.GAP_RECORDED,
    body=site.JunctionGapCreateSerializer,
    service=fitting.record_gap,
    record=site.JunctionGapSerializer,
    same=already.same_gap,
    follows=("record_sash", "change_sash"),
    verdict=verdict_of_gap,
)
RECORD_SASH = Operation(
    "record_sash",
    JournalType.SASH_RECORDED,
    body=site.SashRecordCreateSerializer,
    service=fitting.record_sash,
    record=site.SashRecordSerializer,
    same=already.same_sash,
)
CHANGE_SASH = Operation(
    "change_sash",
    JournalType.SASH_CHANGED,
    body=site.SashRecordUpdateSerializer,
    service=fitting.change_sash,
    record=site.SashRecordSerializer,
    action="partial_update",
    changes="sash",
    is_done=already.is_sash_as_changed,
)
TAKE_BEAD_OFF = Operation(
    "take_bead_off",
    JournalType.BEAD_TAKEN_OFF,
    body=register.BeadCreateSerializer,
    service=beads.take_bead_off,
    record=register.BeadSerializer,
    same=already.same_bead,
)
PUT_BEAD_BACK = Operation(
    "put_bead_back",
    JournalType.BEAD_PUT_BACK,
    body=register.BeadPlaceSerializer,
    service=beads.put_bead_back,
    record=register.BeadSerializer,
    action="put_back",
    changes="bead",
    help="Say where it was put back; in another sash or out of turn it is refused.",
    is_done=already.is_bead_back,
)
RECORD_LIFT = Operation(
    "record_lift",
    JournalType.CARRIER_LIFTED,
    body=register.CarrierLiftCreateSerializer,
    service=record_lift,
    record=register.CarrierLiftSerializer,
)
CHANGE_PACKERS = Operation(
    "change_packers",
    JournalType.PACKERS_CHANGED,
    body=register.PackerChangeCreateSerializer,
    service=change_packers,
    record=register.PackerChangeSerializer,
)
REPORT_DEFECT = Operation(
    "report_defect",
    JournalType.DEFECT_FOUND,
    body=closing.DefectCreateSerializer,
    service=defects.record_defect,
    record=closing.DefectSerializer,
)
PUT_DEFECT_RIGHT = Operation(
    "put_defect_right",
    JournalType.DEFECT_PUT_RIGHT,
    body=closing.PutDefectRightSerializer,
    service=defects.put_right,
    record=closing.DefectSerializer,
    action="put_right",
    changes="defect",
    help="Say how the defect was put right; it stays open until it was looked at again.",
    is_done=already.is_put_right_so,
)
REINSPECT_DEFECT = Operation(
    "reinspect_defect",
    JournalType.DEFECT_REINSPECTED,
    body=closing.ReinspectionSerializer,
    service=defects.reinspect,
    record=closing.DefectSerializer,
    action="reinspect",
    changes="defect",
    help="Look at it again: accept and close it, or send it back with a note.",
    is_done=already.is_reinspected_so,
)
LEAVE_DEFECT_TO_COME = Operation(
    "leave_defect_to_come",
    JournalType.DEFECT_LEFT_TO_COME,
    body=closing.LeaveToComeSerializer,
    service=leave_to_come,
    record=closing.DefectSerializer,
    action="leave_to_come",
    changes="defect",
    help="Leave a minor defect to come after the handover; the customer signs for it there.",
    is_done=already.is_left_to_come_so,
)
HAND_OVER = Operation(
    "hand_over",
    JournalType.JOB_HANDED_OVER,
    body=closing.HandoverCreateSerializer,
    service=hand_over,
    record=closing.HandoverSerializer,
    same=already.same_handover,
)

OF_THE_FITTING = [declared for declared in list(vars().values()) if isinstance(declared, Operation)]
OPERATIONS: Mapping[str, Operation] = {
    declared.name: declared for declared in dict.fromkeys((RECORD_SURVEY, *OF_THE_FITTING))
}
