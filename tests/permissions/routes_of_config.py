"""Who may at what belongs to no app; the admin has a test of its own."""

from tests.permissions.who_may import SENT_TO_SIGN_IN, WHOEVER_COMES

ROUTES = {
    "GET /api/v1/schema/": WHOEVER_COMES,
    "GET /api/v1/docs/": WHOEVER_COMES,
    "GET /admin/login/": SENT_TO_SIGN_IN,
}
