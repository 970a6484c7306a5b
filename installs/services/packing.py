"""Recording what was changed of the packers, so that the next reading is read for what it says."""

from django.db import transaction
from django.utils.translation import gettext as _

from installs.member_labels import MEMBER_LABELS
from installs.models import Installation, PackerChange
from installs.packer_stacks import MemberRecord, member_record, nearest_place
from installs.services.recording import lock_installation
from installs.state import InstallationState
from jobs.errors import InvalidField
from jobs.figures import number
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_new
from jobs.translation import translated


@transaction.atomic
def change_packers(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    member: str,
    position: float,
    added: list[float],
    taken: list[float],
) -> PackerChange:
    """Record which packers were added and taken out beside one fixing, mm.

    Raises `InvalidField` where nothing is packed there, where nothing was changed, and for a piece
    that was taken out though the fixing is on record without it.
    """
    installation = lock_installation(installation.pk)
    if not added and not taken:
        raise InvalidField("/added", _("say which packers were added, or taken out"))
    record = member_record(InstallationState(installation), member)
    place = _place(record, member, position)
    _check_taken(record, place, taken)
    change = PackerChange(
        **idempotency_key.columns,
        installation=installation,
        member=member,
        position=position,
        added=added,
        taken=taken,
        fitter=actor,
    )
    return store_new(change, actor=actor, entry_type=JournalType.PACKERS_CHANGED)


def _place(record: MemberRecord, member: str, position: float) -> float:
    places = record.places
    place = nearest_place(position, places, record.within)
    if place is None:
        raise InvalidField(
            "/position",
            _("nothing is packed there; the {member} is packed at: {places} mm").format(
                member=translated(MEMBER_LABELS[member]),
                places=", ".join(number(known) for known in places) or _("no place yet"),
            ),
        )
    return place


def _check_taken(record: MemberRecord, place: float, taken: list[float]) -> None:
    """Against the fixing on record alone: what a plan packs is often packed otherwise."""
    if not any(nearest_place(f.position, [place], record.within) for f in record.fixings):
        return
    left = list(record.packers_at(place) or taken)
    for index, piece in enumerate(taken):
        if piece not in left:
            pieces = ", ".join(number(known) for known in left) or _("none")
            raise InvalidField(
                f"/taken/{index}",
                _("no packer of {piece} mm is left there; there are: {pieces}").format(
                    piece=number(piece), pieces=pieces
                ),
            )
        left.remove(piece)
