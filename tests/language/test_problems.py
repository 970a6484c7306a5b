"""Problem documents of every kind of refusal, read in an invented language."""

import pytest

from jobs.api.problem_types import ProblemType
from tests.language.visible import left_out
from tests.permissions import who_may

pytestmark = pytest.mark.django_db

# Each is refused: the method, the address, the body and the headers.
REFUSED = {
    "a field without its value": ("post", "/api/v1/customers/", {}, {}),
    "a field that nobody knows": ("post", "/api/v1/customers/", {"colour": "red"}, {}),
    "a quantity in metres": (
        "post",
        "/api/v1/calculations/thermal-transmittance/",
        {"kind": "glazing", "glazing": {"layers": [{"glass": 0.004}]}},
        {},
    ),
    "input that a calculation cannot use": (
        "post",
        "/api/v1/calculations/lift/",
        {"mass": 0, "people": 2},
        {},
    ),
    "a change of no version": ("patch", "/api/v1/customers/{customer}/", {"name": "A"}, {}),
    "a change of another version": (
        "patch",
        "/api/v1/customers/{customer}/",
        {"name": "A"},
        {"If-Match": '"99"'},
    ),
    "a version that is none": (
        "patch",
        "/api/v1/customers/{customer}/",
        {"name": "A"},
        {"If-Match": "newest"},
    ),
    "a doorset that was ordered": (
        "patch",
        "/api/v1/doorsets/{doorset}/",
        {"handle": "lever"},
        {"If-Match": '"2"'},
    ),
    "a record that there is not": ("get", "/api/v1/jobs/SW-99-0000/", None, {}),
    "an address that there is not": ("get", "/api/v1/nothing/", None, {}),
    "a method that is not allowed": ("delete", "/api/v1/customers/{customer}/", None, {}),
    "a cursor of somebody else": ("get", "/api/v1/jobs/?cursor=x", None, {}),
    "a form that is not answered": ("get", "/api/v1/jobs/?format=pdf", None, {}),
}


@pytest.mark.parametrize("refused", REFUSED)
def test_no_text_of_a_refusal_is_left_out(finished, data, invented_language, refused):
    method, address, body, headers = REFUSED[refused]
    sent = {} if body is None else {"data": body, "content_type": "application/json"}
    office = finished.browser(who_may.OFFICE)
    path = address.format_map(finished.parts)
    answer = getattr(office, method)(path, headers=headers, **sent)
    assert answer.status_code >= 400
    problem = answer.json()
    texts = [problem["title"], *(error["detail"] for error in problem.get("errors", []))]
    texts += [] if "errors" in problem else [problem["detail"]]
    assert not list(left_out(texts, data))


def test_every_type_of_problem_is_marked(invented_language):
    texts = [str(text) for kind in ProblemType for text in (kind.title, kind.meaning)]
    assert not list(left_out(texts, []))
