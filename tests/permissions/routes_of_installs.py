"""Who may at the routes of the fitting, of what is left to settle, and of working offline."""

from installs.operations import OPERATIONS
from jobs.capabilities import Capability
from tests.installs.operation_routes import route_of
from tests.permissions.who_may import (
    FITTERS,
    FITTERS_WITH_A_VISIT,
    OFFICE_ALONE,
    SURVEYORS_AND_FITTERS,
    THOSE_WITH_A_VISIT,
    WHOEVER_COMES,
    WHOEVER_SIGNED_IN,
)

# What creates a record says which job in its body; what changes one lies below its address.
CREATING = {Capability.RECORD_FITTING: FITTERS}
CHANGING = {Capability.RECORD_FITTING: FITTERS_WITH_A_VISIT}
OF_OPERATIONS = {
    route_of(operation): (CHANGING if operation.changes else CREATING)[operation.capability]
    for operation in OPERATIONS.values()
}

ROUTES = {
    # The API
    "POST /api/v1/calculations/fixing-layout/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/conformity/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/glazing-plan/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/running-gear/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/packer-advice/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/lift/": WHOEVER_SIGNED_IN,
    "POST /api/v1/calculations/joint/": WHOEVER_SIGNED_IN,
    "GET /api/v1/installations/": WHOEVER_SIGNED_IN,
    "POST /api/v1/installations/": FITTERS,
    "GET /api/v1/installations/{installation}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/installations/{installation}/as-fixed/": THOSE_WITH_A_VISIT,
    "GET /api/v1/installations/{installation}/running-gear/": THOSE_WITH_A_VISIT,
    "POST /api/v1/installations/{installation}/replan/": FITTERS_WITH_A_VISIT,
    "POST /api/v1/installations/{installation}/photos/": FITTERS_WITH_A_VISIT,
    "GET /api/v1/plan-steps/": WHOEVER_SIGNED_IN,
    "GET /api/v1/plan-steps/{step}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/inspections/": WHOEVER_SIGNED_IN,
    "GET /api/v1/inspections/?format=csv": WHOEVER_SIGNED_IN,
    "GET /api/v1/inspections/{inspection}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/fixings/": WHOEVER_SIGNED_IN,
    "GET /api/v1/fixings/?format=csv": WHOEVER_SIGNED_IN,
    "GET /api/v1/fixings/{fixing}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/junction-gaps/": WHOEVER_SIGNED_IN,
    "GET /api/v1/junction-gaps/?format=csv": WHOEVER_SIGNED_IN,
    "GET /api/v1/junction-gaps/{gap}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/carrier-lifts/": WHOEVER_SIGNED_IN,
    "GET /api/v1/carrier-lifts/{lift}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/packer-changes/": WHOEVER_SIGNED_IN,
    "GET /api/v1/packer-changes/{packer_change}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/beads/": WHOEVER_SIGNED_IN,
    "GET /api/v1/beads/{bead}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/sash-records/": WHOEVER_SIGNED_IN,
    "GET /api/v1/sash-records/{sash}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/defects/": WHOEVER_SIGNED_IN,
    "GET /api/v1/defects/?format=csv": WHOEVER_SIGNED_IN,
    "GET /api/v1/defects/{defect}/": THOSE_WITH_A_VISIT,
    "POST /api/v1/defects/{defect}/close-on-evidence/": OFFICE_ALONE,
    "GET /api/v1/concessions/": WHOEVER_SIGNED_IN,
    "POST /api/v1/concessions/": OFFICE_ALONE,
    "GET /api/v1/concessions/{concession}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/site-photos/": WHOEVER_SIGNED_IN,
    "GET /api/v1/site-photos/{site_photo}/": THOSE_WITH_A_VISIT,
    "PATCH /api/v1/site-photos/{site_photo}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/site-photos/{site_photo}/image/": THOSE_WITH_A_VISIT,
    "GET /api/v1/site-photos/{site_photo}/thumbnail/": THOSE_WITH_A_VISIT,
    "POST /api/v1/openings/{opening}/leave-out/": OFFICE_ALONE,
    "POST /api/v1/openings/{opening}/take-up/": OFFICE_ALONE,
    "GET /api/v1/handovers/": WHOEVER_SIGNED_IN,
    "GET /api/v1/handovers/{handover}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/set-aside/": WHOEVER_SIGNED_IN,
    "GET /api/v1/set-aside/{set_aside}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/set-aside/{set_aside}/image/": THOSE_WITH_A_VISIT,
    "GET /api/v1/set-aside/{set_aside}/thumbnail/": THOSE_WITH_A_VISIT,
    # A photograph says which job it is of in its body.
    "POST /api/v1/set-aside/photos/": WHOEVER_SIGNED_IN,
    "POST /api/v1/sync/": FITTERS,
    # Pages of a fitting
    "GET /today/": SURVEYORS_AND_FITTERS,
    "GET /visits/{fitting_visit}/plan/{doorset}/": FITTERS_WITH_A_VISIT,
    "POST /visits/{fitting_visit}/plan/{doorset}/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/limits.json": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/steps/1/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/steps/1/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/junctions/1/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/junctions/1/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/sashes/1/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/sashes/1/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/members/left/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/members/left/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/defects/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/defects/": FITTERS_WITH_A_VISIT,
    "GET /fittings/{installation}/defects/{defect}/": FITTERS_WITH_A_VISIT,
    "POST /fittings/{installation}/defects/{defect}/": FITTERS_WITH_A_VISIT,
    "GET /jobs/{job}/openings/1/leave-out/": OFFICE_ALONE,
    "POST /jobs/{job}/openings/1/leave-out/": OFFICE_ALONE,
    "GET /jobs/{job}/handover/": FITTERS_WITH_A_VISIT,
    "POST /jobs/{job}/handover/": FITTERS_WITH_A_VISIT,
    "GET /jobs/{job}/concede/defect/{defect}/minor_defect/": OFFICE_ALONE,
    "POST /jobs/{job}/concede/defect/{defect}/minor_defect/": OFFICE_ALONE,
    "GET /jobs/{job}/defects/{defect}/close/": OFFICE_ALONE,
    "POST /jobs/{job}/defects/{defect}/close/": OFFICE_ALONE,
    # What a device asks for so as to go on without a network
    "GET /service-worker.js": WHOEVER_COMES,
    "GET /app.webmanifest": WHOEVER_COMES,
    "GET /offline/": WHOEVER_COMES,
    "GET /queue/": FITTERS,
    # What is recorded on site
    **OF_OPERATIONS,
}
