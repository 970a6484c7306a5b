"""Every paper and the letter to the customer, read in an invented language."""

import re

import pytest

from reports.kinds import KINDS
from reports.mail import email_of
from reports.models import Dispatch
from tests.language.catalogue import LANGUAGE
from tests.language.visible import left_out, texts_left_out
from tests.reports.papers import paper_of

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("kind", KINDS)
def test_no_text_of_a_paper_is_left_out(finished, data, invented_language, kind):
    html = paper_of(finished.job, kind).html
    left = sorted(set(texts_left_out(html, data)))
    assert not left, "\n".join(left)
    assert f'<html lang="{LANGUAGE}">' in html


@pytest.mark.parametrize("largest", [0, 10**6], ids=["linked", "attached"])
def test_no_text_of_a_letter_is_left_out(finished, data, invented_language, settings, largest):
    settings.EMAIL_LARGEST_ATTACHMENT = largest
    email = email_of(Dispatch.objects.get(pk=finished.parts["letter"]))
    html = str(next(iter(email.alternatives))[0])
    addresses = re.findall(r"https?://\S+", email.body)
    plain = left_out([str(email.subject), *email.body.splitlines()], [*data, *addresses])
    left = [*plain, *texts_left_out(html, [*data, *addresses])]
    assert not left, "\n".join(left)
    assert f'<html lang="{LANGUAGE}">' in html
