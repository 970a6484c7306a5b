"""Drafting, revising and receiving doorsets."""

from copy import copy
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.arithmetic.fold import parse_fold
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Delivery, Doorset, Opening, Person, ProfileSystem
from jobs.services.doorset_rules import work_out
from jobs.services.records import store_change, store_new

CHOSEN_FROM_LISTS = {
    "colour_inside": "colours",
    "colour_outside": "colours",
    "handle": "handles",
    "ventilator": "ventilators",
}


@transaction.atomic
def draft_doorset(
    *, actor: Person, idempotency_key: IdempotencyKey, opening: Opening, **order: Any
) -> Doorset:
    """Draft the doorset of an opening; after an ordered one, as the revision that supersedes it.

    `order` is what `DoorsetOrder` of the API describes: profile_system, fold, opens, frame,
    glazing, head_fixing and choices. Raises `Conflict` while there is another draft, and once the
    ordered doorset was delivered and accepted, `InvalidField` for values that the profile system
    or the arithmetic refuses.
    """
    Opening.objects.select_for_update(no_key=True).get(pk=opening.pk)
    current = opening.doorsets.current().first()
    if current and current.ordered_at is None:
        raise Conflict(_("the opening has a draft already; change that one"), named(current))
    if current and current.deliveries.filter(accepted=True).exists():
        message = _("the doorset was delivered and accepted; it cannot be changed")
        raise Conflict(message, named(current))
    doorset = Doorset(**idempotency_key.columns, opening=opening, **_columns(order))
    doorset.revision = opening.doorsets.count() + 1
    doorset.calculation = work_out(doorset)
    if current:
        store_change(
            current,
            {"superseded_at": timezone.now()},
            expected_version=current.version,
            actor=actor,
            entry_type=JournalType.DOORSET_SUPERSEDED,
        )
    return store_new(doorset, actor=actor, entry_type=JournalType.DOORSET_DRAFTED)


@transaction.atomic
def change_doorset(
    *, actor: Person, doorset: Doorset, expected_version: int, **order: Any
) -> Doorset:
    """Change a draft and work it out again. Raises `Conflict` once it has been ordered."""
    if doorset.ordered_at or doorset.superseded_at:
        raise Conflict(_("an ordered doorset cannot be changed; draft a revision"), named(doorset))
    merged = _order_of(doorset) | order
    columns = _columns(merged)
    for name, value in columns.items():
        setattr(doorset, name, value)
    columns["calculation"] = work_out(doorset)
    return store_change(
        doorset,
        columns,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DOORSET_CHANGED,
    )


def of_today(doorset: Doorset) -> Doorset:
    """A draft, not stored, as its profile system and the rules work it out today: they may have
    been tightened since it was drafted. Raises `InvalidField` for what is no longer offered and
    `UnusableInput`."""
    today = copy(doorset)
    today.upstand = _columns(_order_of(doorset))["upstand"]
    today.calculation = work_out(today)
    return today


@transaction.atomic
def record_delivery(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    doorset: Doorset,
    delivered_on: date,
    frame: dict[str, int],
    leaves_counted: int,
    accepted: bool,
    damage: str = "",
    declaration: str = "",
) -> Delivery:
    """Record what arrived. Raises `InvalidField` when it cannot have arrived, or not like this.

    Order, revision and delivery go through the lock of the opening, one after the other: what
    was accepted is never revised, and what was revised is never accepted.
    """
    Opening.objects.select_for_update(no_key=True).get(pk=doorset.opening_id)
    doorset.refresh_from_db()
    _check_arrival(doorset, delivered_on)
    if not accepted and not damage:
        raise InvalidField("/damage", _("say what is wrong with a delivery that is not accepted"))
    delivery = Delivery(
        **idempotency_key.columns,
        doorset=doorset,
        delivered_on=delivered_on,
        frame_width=frame["width"],
        frame_height=frame["height"],
        leaves_counted=leaves_counted,
        accepted=accepted,
        damage=damage,
        declaration=declaration,
    )
    return store_new(delivery, actor=actor, entry_type=JournalType.DELIVERY_RECORDED)


def _check_arrival(doorset: Doorset, delivered_on: date) -> None:
    if doorset.superseded_at:
        message = _("a revision took this doorset's place; record the delivery of that one")
        raise InvalidField("/doorset", message)
    if doorset.ordered_at is None:
        raise InvalidField("/doorset", _("this doorset has not been ordered"))
    if delivered_on > timezone.localdate():
        raise InvalidField("/delivered_on", _("{date} is in the future").format(date=delivered_on))
    ordered_on = timezone.localdate(doorset.ordered_at)
    if delivered_on < ordered_on:
        message = _("{date} is before the day of the order, {ordered_on}")
        raise InvalidField(
            "/delivered_on", message.format(date=delivered_on, ordered_on=ordered_on)
        )


def _order_of(doorset: Doorset) -> dict[str, Any]:
    names = (
        "profile_system",
        "opens",
        "glazing",
        "head_fixing",
        "threshold",
        "keyed_alike",
        "energy_band",
        "security_evidence",
    )
    order = {name: getattr(doorset, name) for name in (*names, *CHOSEN_FROM_LISTS)}
    order["fold"] = doorset.fold
    order["frame"] = {"width": doorset.frame_width, "height": doorset.frame_height}
    return order


def _columns(order: dict[str, Any]) -> dict[str, Any]:
    """Columns of a doorset from an order, checked against what its profile system offers."""
    columns = dict(order)
    fold, frame = parse_fold(columns.pop("fold")), columns.pop("frame")
    system: ProfileSystem = columns["profile_system"]
    for name, offered in CHOSEN_FROM_LISTS.items():
        _check_choice(f"/{name}", columns.get(name, ""), system.choices.get(offered, []))
    if columns["head_fixing"] not in system.head_fixing:
        raise InvalidField("/head_fixing", _allowed(system))
    return {
        **columns,
        "leaves": fold.leaves,
        "left_leaves": fold.left,
        "right_leaves": fold.right,
        "frame_width": frame["width"],
        "frame_height": frame["height"],
        "upstand": _upstand(columns["threshold"], system),
    }


def _allowed(system: ProfileSystem) -> str:
    text = _("{system} allows {methods}")
    return text.format(system=system, methods=", ".join(system.head_fixing))


def _check_choice(pointer: str, chosen: str, offered: list[str]) -> None:
    optional = pointer == "/ventilator" and chosen == ""
    if not optional and chosen not in offered:
        raise InvalidField(pointer, _not_offered(chosen, offered))


def _upstand(threshold: str, system: ProfileSystem) -> float:
    for choice in system.choices.get("thresholds", []):
        if choice["name"] == threshold:
            return float(choice["upstand"])
    offered = [choice["name"] for choice in system.choices.get("thresholds", [])]
    raise InvalidField("/threshold", _not_offered(threshold, offered))


def _not_offered(chosen: str, offered: list[str]) -> str:
    text = _("{chosen!r} is not offered; choose one of: {names}")
    return text.format(chosen=chosen, names=", ".join(offered))
