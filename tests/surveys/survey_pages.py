"""What a survey's form sends, and the addresses of an opening's pages."""

from typing import Any
from uuid import uuid4

from django.utils import timezone

from jobs.models import Opening, Visit
from surveys.models import Instrument


def address(opening: Opening, page: str = "survey/") -> str:
    return f"/jobs/{opening.job.reference}/openings/{opening.number}/{page}"


def sound_form(
    on_visit: Visit, tape: Instrument, laser: Instrument, **values: Any
) -> dict[str, Any]:
    """A sound opening, 3612 x 2115, with its sill levels; None takes a field out."""
    typed: dict[str, Any] = {"id": str(uuid4()), "visit": on_visit.pk, "instrument": tape.pk}
    typed |= {"level_instrument": laser.pk, "taken_at": f"{timezone.localtime():%Y-%m-%dT%H:%M}"}
    for number, (up, along) in enumerate([(100, 100), (1050, 1800), (2000, 3500)]):
        typed |= {f"widths_{number}": "3612", f"widths_{number}_at": up}
        typed |= {f"heights_{number}": "2115", f"heights_{number}_at": along}
        typed |= {f"sill_levels_{number}": "0", f"sill_levels_{number}_at": along}
    typed |= {"diagonals_rising": "4186", "diagonals_falling": "4186"}
    typed |= CONDITIONS | values
    return {name: value for name, value in typed.items() if value is not None}


CONDITIONS = {
    "asbestos_suspected": "no",
    "built": "from_2000",
    "lintel_seen": "yes",
    "damp_proof_course": "ok",
    "outside_drop": "150",
    "measured_to": "structural",
    "substrate_left": "brick",
    "substrate_right": "brick",
    "substrate_head": "steel",
    "substrate_sill": "concrete",
}
