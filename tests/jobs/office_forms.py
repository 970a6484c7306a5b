"""What the tests of the office's forms have in common."""

import re

from jobs.pages.doorset_forms import DoorsetForm

NOTHING = ("", None)


def error_beside(page: str, field: str) -> str:
    """What stands beside a field as its error; fails where nothing does."""
    found = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', page, re.DOTALL)
    assert found, f"no error beside {field}"
    return found[1].strip()


def shown(answer, status: int = 200) -> str:
    assert answer.status_code == status, answer.status_code
    return answer.content.decode()


def typed(doorset, **changes) -> dict[str, str]:
    """The fields of the doorset form as somebody would have typed this doorset."""
    values = DoorsetForm.showing(doorset) | changes
    return {name: _as_typed(value) for name, value in values.items() if value not in NOTHING}


def _as_typed(value) -> str:
    if isinstance(value, bool):
        return "on" if value else ""
    return repr(value).removesuffix(".0") if isinstance(value, float) else str(value)
