"""Which gaps belong to the round that is being read: those since the newest work on what hangs."""

from collections.abc import Iterator
from datetime import datetime

from installs.models import JunctionGap
from installs.state import InstallationState


def gaps_of_this_round(state: InstallationState) -> dict[int, JunctionGap]:
    """By junction; none for one that is to be read again, since a carrier was turned, a sash worked
    on or a bead put back after its newest gaps."""
    since = max(_work(state), default=None)
    return {
        junction: gap
        for junction, gap in state.newest_gaps.items()
        if since is None or gap.created_at > since
    }


def _work(state: InstallationState) -> Iterator[datetime]:
    yield from (lift.created_at for lift in state.installation.lifts.all())
    yield from (sash.updated_at for sash in state.sashes.values())
    yield from (bead.put_back_at for bead in state.beads if bead.put_back_at)
