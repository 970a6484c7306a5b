"""What is written to the log: enough to follow a request, and nothing about a customer."""

import io
import json
import logging

import pytest
from django.contrib.auth.tokens import default_token_generator
from django.test import Client

from config.logs import formatter
from jobs.models import Person
from reports.handover_links import handover_token
from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db
