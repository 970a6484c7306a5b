"""Who may at the routes of papers, their delivery, the pages of jobs, and what is for everybody."""

from tests.permissions.who_may import (
    ASKED_BY_FITTERS,
    ASKED_BY_SURVEYORS,
    ASKED_BY_THE_OFFICE,
    FITTERS_WITH_A_VISIT,
    OFFICE_ALONE,
    OPENS_NOTHING,
    THOSE_WITH_A_VISIT,
    WHOEVER_COMES,
    WHOEVER_SIGNED_IN,
)

ROUTES = {
    # The API
    "GET /api/v1/jobs/{job}/gates/": THOSE_WITH_A_VISIT,
    "GET /api/v1/verifications/{code}/": WHOEVER_COMES,
    "POST /api/v1/verifications/{code}/": WHOEVER_COMES,
    "GET /api/v1/documents/": WHOEVER_SIGNED_IN,
    "POST /api/v1/documents/": WHOEVER_SIGNED_IN,
    "GET /api/v1/documents/{document}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/documents/{document}/file/": THOSE_WITH_A_VISIT,
    "POST /api/v1/documents/{document}/withdraw/": OFFICE_ALONE,
    "GET /api/v1/customers/{customer}/personal-data/": OFFICE_ALONE,
    "POST /api/v1/customers/{customer}/erase/": OFFICE_ALONE,
    "GET /api/v1/dispatches/": OFFICE_ALONE,
    "GET /api/v1/dispatches/{letter}/": OFFICE_ALONE,
    "POST /api/v1/dispatches/{letter}/resend/": OFFICE_ALONE,
    "GET /api/v1/webhook-endpoints/": OFFICE_ALONE,
    "POST /api/v1/webhook-endpoints/": OFFICE_ALONE,
    "GET /api/v1/webhook-endpoints/{webhook}/": OFFICE_ALONE,
    "PATCH /api/v1/webhook-endpoints/{webhook}/": OFFICE_ALONE,
    "POST /api/v1/returned-letters/": OFFICE_ALONE,
    # Pages of jobs
    "GET /": WHOEVER_SIGNED_IN,
    "GET /diary/": OFFICE_ALONE,
    "GET /jobs/": WHOEVER_SIGNED_IN,
    "GET /jobs/export.csv": WHOEVER_SIGNED_IN,
    "GET /jobs/{job}/": THOSE_WITH_A_VISIT,
    "GET /jobs/{job}/journal/": OFFICE_ALONE,
    "GET /jobs/{job}/handover-link/": FITTERS_WITH_A_VISIT,
    "POST /jobs/{job}/handover-link/": FITTERS_WITH_A_VISIT,
    "POST /jobs/{job}/papers/ask/survey_sheet/": ASKED_BY_SURVEYORS,
    "POST /jobs/{job}/papers/ask/fitting_pack/": ASKED_BY_FITTERS,
    "POST /jobs/{job}/papers/ask/defect_report/": ASKED_BY_FITTERS,
    "POST /jobs/{job}/papers/ask/completion_certificate/": ASKED_BY_THE_OFFICE,
    # As a page of its own it only leads to that of the job.
    "GET /jobs/{job}/papers/{document}/": WHOEVER_SIGNED_IN,
    "GET /jobs/{job}/papers/{document}/withdraw/": OFFICE_ALONE,
    "POST /jobs/{job}/papers/{document}/withdraw/": OFFICE_ALONE,
    "POST /jobs/{job}/letters/{letter}/resend/": OFFICE_ALONE,
    # Links that customers were given, and each link in the place of the other
    "GET /handover/{handover_link}/": WHOEVER_COMES,
    "GET /handover/{handover_link}/certificate/": WHOEVER_COMES,
    "GET /papers/{paper_link}/": WHOEVER_COMES,
    "GET /handover/{paper_link}/": OPENS_NOTHING,
    "GET /handover/{paper_link}/certificate/": OPENS_NOTHING,
    "GET /papers/{handover_link}/": OPENS_NOTHING,
    # What is for everybody
    "GET /verify/{code}/": WHOEVER_COMES,
    "POST /verify/{code}/": WHOEVER_COMES,
}
