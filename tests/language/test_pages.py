"""Every page, read in an invented language: no text is left out, and none is glued from pieces."""

from collections.abc import Iterator

import pytest

from tests.language.catalogue import LANGUAGE
from tests.language.visible import left_out, texts_left_out
from tests.permissions import who_may
from tests.permissions.routes import VERSION_OF_NOTHING
from tests.permissions.test_every_route import ROWS

pytestmark = pytest.mark.django_db

ASKING = (who_may.OFFICE, who_may.FITTER, who_may.SURVEYOR, who_may.NOBODY)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_no_text_is_left_out(finished, data, invented_language, row):
    address = row.address.format_map(finished.parts)
    left = {text for who in ASKING for text in _left_out(finished.browser(who), row, address, data)}
    assert not left, "\n".join(sorted(left))


def _left_out(browser, row, address: str, data: set[str]) -> Iterator[str]:
    body = {"data": {}, "content_type": "application/json"} if "/api/" in address else {}
    ask = getattr(browser, row.method.lower())
    answer = ask(address, headers={"If-Match": VERSION_OF_NOTHING}, **body)
    kind = answer.headers.get("Content-Type", "").partition(";")[0]
    if kind == "text/html":
        html = answer.content.decode()
        # Parts of pages have no such element; the page of the API is a library's.
        assert "/api/" in address or "<html" not in html or f'<html lang="{LANGUAGE}">' in html
        return texts_left_out(html, data)
    if kind == "application/problem+json":
        return left_out(_texts(answer.json()), data)
    return iter(())


def _texts(problem: dict) -> Iterator[str]:
    """The texts of a problem document that are for people."""
    yield problem["title"]
    for complaint in problem.get("errors", []):
        yield complaint["detail"]
    for blocker in problem.get("blockers", []):
        yield blocker["what"]
        yield blocker["why"]
    if "errors" not in problem:
        yield problem["detail"]
