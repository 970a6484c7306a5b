"""From a doorset record and its job's rule set to the doorset arithmetic and back."""

from typing import Any

from jobs.models import Doorset


def work_out(doorset: Doorset) -> dict[str, Any]:
    """The frozen answer of the doorset arithmetic for these values, as plain JSON."""
    from jobs.arithmetic import doorset as arithmetic

    return arithmetic.__dict__
