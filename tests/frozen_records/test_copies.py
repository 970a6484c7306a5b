"""A copy of a frozen record keeps the format that it was stored in."""

import pytest
from django.db import connection

from jobs.frozen import stored_values
from jobs.models import Doorset
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_record_of_an_older_format_is_copied_as_it_is_stored():
    office = factories.person("office")
    doorset = factories.doorset(office, factories.opening(office, factories.job(office)))
    stored = '{"format": 0, "of": "long ago"}'
    with connection.cursor() as cursor:
        cursor.execute("UPDATE jobs_doorset SET calculation = %s", [stored])
    assert list(stored_values(Doorset.objects.all(), "id", "calculation")) == [
        {"id": doorset.pk, "calculation": {"format": 0, "of": "long ago"}}
    ]
