"""Every operation answers as the API's description says, whatever is sent to it."""

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from config.wsgi import application
from jobs.services.people import issue_token
from tests.api_description.description import cases, operations
from tests.lengths import short_or_long
from tests.permissions import who_may
from tests.permissions.finished_job import FinishedJob

pytestmark = pytest.mark.django_db

# The description itself takes a second to write each time; it is asked for in `test_description`.
OPERATIONS = {name: one for name, one in operations().items() if name != "GET /api/v1/schema/"}
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
FEW = settings(
    max_examples=short_or_long(4, 60),
    suppress_health_check=list(HealthCheck),
)


@pytest.mark.parametrize("name", OPERATIONS)
def test_an_operation_answers_as_it_is_described(finished, name):
    operation = OPERATIONS[name]
    signed = [signed_in(finished, who) for who in (who_may.OFFICE, who_may.FITTER)]

    @FEW
    @given(case=cases(operation, finished.parts))
    def ask(case):
        # Drawing a case takes longer than asking; each person is asked from the same records.
        for headers in signed:
            with transaction.atomic():
                answer = case.call(app=application, headers=headers)
                case.validate_response(answer, checks=CHECKS)
                transaction.set_rollback(True)

    ask()


def signed_in(finished: FinishedJob, who: str) -> dict[str, str]:
    secret, _ = issue_token(person=finished.people[who], role=who.split(" ", maxsplit=1)[0])
    return {"Authorization": f"Token {secret}"}
