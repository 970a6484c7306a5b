"""What the API's description says of every record alike, and what a refusal looks like."""

import json
from unittest.mock import patch

import pytest
import yaml
from django.test import Client

from tests.api_description.description import description

pytestmark = pytest.mark.django_db

PATHS = description().raw_schema["paths"]
MADE = [
    path for path in PATHS if "post" in PATHS[path] and "get" in PATHS.get(f"{path}{{id}}/", {})
]
CHANGED = [path for path in PATHS if "patch" in PATHS[path]]


def answered(path: str, method: str, code: str) -> str:
    [media_type] = PATHS[path][method]["responses"][code]["content"].values()
    return media_type["schema"]["$ref"]


@pytest.mark.parametrize("path", MADE)
def test_what_is_made_is_answered_as_it_is_read_the_second_time_too(path):
    read = answered(f"{path}{{id}}/", "get", "200")
    assert answered(path, "post", "201") == answered(path, "post", "200") == read


@pytest.mark.parametrize("path", CHANGED)
def test_what_is_changed_is_answered_as_it_is_read(path):
    assert answered(path, "patch", "200") == answered(path, "get", "200")


def test_the_description_is_given_as_json_too():
    description_sent = Client().get("/api/v1/schema/?format=json").json()
    assert description_sent["openapi"] == "3.1.0"
    assert description_sent["paths"].keys() == PATHS.keys()


def test_it_is_the_same_in_yaml_which_is_written_once():
    sent = Client().get("/api/v1/schema/").content
    assert yaml.safe_load(sent) == Client().get("/api/v1/schema/?format=json").json()
    with patch("drf_spectacular.renderers.dump", side_effect=AssertionError("written again")):
        assert Client().get("/api/v1/schema/").content == sent


def test_a_refusal_is_json_in_whatever_form_the_answer_would_have_been():
    refused = Client().get("/api/v1/schema/?format=nothing")
    assert refused.status_code == 404
    assert refused["Content-Type"] == "application/problem+json"
    assert json.loads(refused.content)["status"] == 404


@pytest.mark.parametrize("name", ["jobs", "visits", "surveys", "inspections", "fixings", "defects"])
def test_a_list_that_is_a_table_too_says_so_and_a_single_record_is_none(name):
    listed = PATHS[f"/api/v1/{name}/"]["get"]
    assert "text/csv" in listed["responses"]["200"]["content"]
    assert "More than 10,000 rows are refused" in listed["description"]
    single = next(path for path in PATHS if path.startswith(f"/api/v1/{name}/{{"))
    assert list(PATHS[single]["get"]["responses"]["200"]["content"]) == ["application/json"]


def test_the_end_of_a_calendar_is_answered_with_the_crew():
    ended = PATHS["/api/v1/crews/{id}/calendar/"]["delete"]["responses"]
    assert "204" not in ended
    assert answered("/api/v1/crews/{id}/calendar/", "delete", "200").endswith("/Crew")
