"""What the tests of the office's forms have in common."""

import re

from jobs.views.doorset_forms import DoorsetForm


def error_beside(page: str, field: str) -> str:
    """What stands beside a field as its error; fails where nothing does."""
    error = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', page, re.DOTALL)
    assert error, f"no error beside {field}"
    return error[1].strip()


def html_of(answer, status: int = 200) -> str:
    assert answer.status_code == status, answer.status_code
    return answer.content.decode()


def as_typed(values) -> dict[str, str]:
    """Values of a form as a browser would send them: without boxes that are not ticked."""
    written = {name: _written(value) for name, value in values.items()}
    return {name: text for name, text in written.items() if text is not None}


def typed(doorset, **changes) -> dict[str, str]:
    """The fields of the doorset form as somebody would have typed this doorset."""
    return as_typed(DoorsetForm.showing(doorset) | changes)


def _written(value) -> str | None:
    if value is None or value is False:
        return None
    if value is True:
        return "on"
    return repr(value).removesuffix(".0") if isinstance(value, float) else str(value)
