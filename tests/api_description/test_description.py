"""What the API's description says of every record alike, and what a refusal looks like."""

import json

import pytest
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
    told = Client().get("/api/v1/schema/?format=json").json()
    assert told["openapi"] == "3.1.0"
    assert told["paths"].keys() == PATHS.keys()


def test_a_refusal_is_json_in_whatever_form_the_answer_would_have_been():
    refused = Client().get("/api/v1/schema/?format=nothing")
    assert refused.status_code == 404
    assert refused["Content-Type"] == "application/problem+json"
    assert json.loads(refused.content)["status"] == 404
