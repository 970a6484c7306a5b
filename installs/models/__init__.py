from installs.models.beads import Bead
from installs.models.carriers import CarrierLift
from installs.models.defects import Concession, Defect
from installs.models.fitted import Fixing, JunctionGap, SashRecord
from installs.models.handover import Handover
from installs.models.inspections import Inspection, Reading
from installs.models.instructions import MakerInstruction
from installs.models.packers import PackerChange
from installs.models.photos import SitePhoto
from installs.models.plan import Installation, PlanStep
from installs.models.set_aside import SetAside
from installs.models.sync import SyncOperation

__all__ = [
    "Bead",
    "CarrierLift",
    "Concession",
    "Defect",
    "Fixing",
    "Handover",
    "Inspection",
    "Installation",
    "JunctionGap",
    "MakerInstruction",
    "PackerChange",
    "PlanStep",
    "Reading",
    "SashRecord",
    "SetAside",
    "SitePhoto",
    "SyncOperation",
]
