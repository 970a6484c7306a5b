"""Who may at the routes of surveys, fit decisions and instruments."""

from tests.permissions.who_may import OFFICE_ALONE, THOSE_WITH_A_VISIT, WHOEVER_SIGNED_IN

ROUTES = {
    # The API
    "POST /api/v1/calculations/opening-fit/": WHOEVER_SIGNED_IN,
    "GET /api/v1/instruments/": WHOEVER_SIGNED_IN,
    "POST /api/v1/instruments/": OFFICE_ALONE,
    "GET /api/v1/instruments/{instrument}/": WHOEVER_SIGNED_IN,
    "PATCH /api/v1/instruments/{instrument}/": OFFICE_ALONE,
    "GET /api/v1/surveys/": WHOEVER_SIGNED_IN,
    "GET /api/v1/surveys/?format=csv": WHOEVER_SIGNED_IN,
    "POST /api/v1/surveys/": WHOEVER_SIGNED_IN,
    "GET /api/v1/surveys/{survey}/": THOSE_WITH_A_VISIT,
    "POST /api/v1/surveys/{survey}/accept/": OFFICE_ALONE,
    "POST /api/v1/surveys/{survey}/photos/": THOSE_WITH_A_VISIT,
    "GET /api/v1/photos/": WHOEVER_SIGNED_IN,
    "GET /api/v1/photos/{photo}/": THOSE_WITH_A_VISIT,
    "PATCH /api/v1/photos/{photo}/": THOSE_WITH_A_VISIT,
    "GET /api/v1/photos/{photo}/image/": THOSE_WITH_A_VISIT,
    "GET /api/v1/photos/{photo}/thumbnail/": THOSE_WITH_A_VISIT,
    "GET /api/v1/fit-decisions/": WHOEVER_SIGNED_IN,
    "POST /api/v1/fit-decisions/": WHOEVER_SIGNED_IN,
    "GET /api/v1/fit-decisions/{decision}/": THOSE_WITH_A_VISIT,
    "POST /api/v1/doorsets/{doorset}/order/": OFFICE_ALONE,
    # Pages
    "GET /jobs/{job}/openings/1/survey/": THOSE_WITH_A_VISIT,
    "POST /jobs/{job}/openings/1/survey/": THOSE_WITH_A_VISIT,
    "GET /jobs/{job}/openings/1/surveys/{survey}/": THOSE_WITH_A_VISIT,
    "POST /jobs/{job}/openings/1/surveys/{survey}/accept/": OFFICE_ALONE,
    "POST /jobs/{job}/openings/1/surveys/{survey}/decide/": THOSE_WITH_A_VISIT,
    "GET /jobs/{job}/openings/1/surveys/": THOSE_WITH_A_VISIT,
    "GET /jobs/{job}/openings/1/photos/": THOSE_WITH_A_VISIT,
    "POST /jobs/{job}/openings/1/photos/": THOSE_WITH_A_VISIT,
    "POST /jobs/{job}/openings/1/photos/{photo}/": THOSE_WITH_A_VISIT,
    "GET /jobs/{job}/openings/1/order/": OFFICE_ALONE,
    "POST /jobs/{job}/openings/1/order/": OFFICE_ALONE,
    "GET /instruments/": WHOEVER_SIGNED_IN,
    "GET /instruments/new/": OFFICE_ALONE,
    "POST /instruments/new/": OFFICE_ALONE,
    "GET /instruments/{instrument}/": OFFICE_ALONE,
    "POST /instruments/{instrument}/": OFFICE_ALONE,
}
