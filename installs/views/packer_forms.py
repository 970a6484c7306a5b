"""Packers that were changed: as advised, with nothing to type, or otherwise."""

from uuid import UUID

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.packer_answers import AdvisedChange
from installs.member_labels import MEMBER_LABELS, PLACE_LABELS
from installs.models import Installation
from installs.operations import CHANGE_PACKERS
from installs.views.operation_form import Fixed, OperationForm
from jobs.figures import number
from jobs.translation import translated

MOST_PIECES = 2


class PackersForm(OperationForm):
    """Any change of packers beside a fixing."""

    operation = CHANGE_PACKERS
    button = gettext_lazy("Record this change")

    def __init__(self, request: HttpRequest, fitting: Installation, member: str) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "member": member}
        title = _("Packers changed: {member}").format(member=translated(MEMBER_LABELS[member]))
        super().__init__(request, about=f"{fitting.pk}-{member}", title=title, fixed=fixed)
        self.add("position", translated(PLACE_LABELS[member]))
        for piece in range(MOST_PIECES):
            label = _("Packer added, {number}").format(number=piece + 1)
            self.add(f"added.{piece}", label, required=False)
        for piece in range(MOST_PIECES):
            label = _("Packer taken out, {number}").format(number=piece + 1)
            self.add(f"taken.{piece}", label, required=False)


class AsAdvisedForm(OperationForm):
    """A change exactly as it was advised after an inspection."""

    operation = CHANGE_PACKERS
    button = gettext_lazy("Done as said")

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        member: str,
        advised: AdvisedChange,
        after: UUID,
    ) -> None:
        """`after`: the inspection that it was advised after."""
        fixed: dict[str, Fixed] = {
            "installation": str(fitting.pk),
            "member": member,
            "position": advised.at,
        }
        fixed |= {f"added.{n}": mm for n, mm in enumerate(advised.added)}
        fixed |= {f"taken.{n}": mm for n, mm in enumerate(advised.taken)}
        title = _("Packers at {position} mm, {member}").format(
            position=number(advised.at), member=translated(MEMBER_LABELS[member])
        )
        about = f"{after}-{member}-{advised.at:g}"
        super().__init__(request, about=about, title=title, since=after, fixed=fixed)
