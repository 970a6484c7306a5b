"""What is recorded at a sash: its blocks, brace and glass, and its beads off and back."""

from uuid import UUID

from django.http import HttpRequest
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.models import Bead, Installation, SashRecord
from installs.operations import CHANGE_SASH, PUT_BEAD_BACK, RECORD_SASH, TAKE_BEAD_OFF
from installs.views.operation_form import Fixed, OperationForm
from jobs.code_labels import code_label


class SashFields(OperationForm):
    """The fields of both kinds."""

    button = gettext_lazy("Save the record of this sash")

    def add_fields(self) -> None:
        self.add("rising_diagonal", _("Diagonal from bottom left to top right"))
        self.add("falling_diagonal", _("Diagonal from top left to bottom right"))
        self.add("blocks_set", _("Setting and location blocks are in"))
        self.add("brace_set", _("Braced from heel to toe"))
        exactly = _(
            "As it is printed in the corner of each pane that can be touched, the outside one "
            "first, such as EN 12150-1 1C2 / EN 14449 2B2."
        )
        self.add("glass_marking", _("Marking on the glass"), help_text=exactly)


class SashForm(SashFields):
    """The first record of a sash."""

    operation = RECORD_SASH

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "leaf": leaf}
        title = _("Sash {number}").format(number=leaf)
        super().__init__(request, about=f"{fitting.pk}-{leaf}", title=title, fixed=fixed)
        self.add_fields()


class SashChangeForm(SashFields):
    """What was done to it since."""

    operation = CHANGE_SASH

    def __init__(self, request: HttpRequest, sash: SashRecord) -> None:
        names = ("blocks_set", "brace_set", "glass_marking", "rising_diagonal", "falling_diagonal")
        initial = {name: getattr(sash, name) for name in names}
        title = _("Sash {number}").format(number=sash.leaf)
        super().__init__(request, about=str(sash.pk), title=title, changes=sash, initial=initial)
        self.add_fields()


class BeadOffForm(OperationForm):
    operation = TAKE_BEAD_OFF
    button = gettext_lazy("It is off")

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int, side: str) -> None:
        self.side = side
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "leaf": leaf, "side": side}
        super().__init__(
            request,
            about=f"{fitting.pk}-{leaf}-{side}",
            title=_("Sash {number}, bead off: {side}").format(number=leaf, side=code_label(side)),
            fixed=fixed,
        )
        label = _("Number written on the bead: {side}").format(side=code_label(side))
        self.add("number", label)


class BeadBackForm(OperationForm):
    """Back where it came from: there is nothing to type."""

    operation = PUT_BEAD_BACK

    def __init__(self, request: HttpRequest, bead: Bead) -> None:
        self.bead = bead
        side = code_label(bead.side)
        self.button = _("Bead {number} is back: {side}").format(number=bead.number, side=side)
        fixed: dict[str, Fixed] = {"leaf": bead.leaf, "side": bead.side}
        title = _("Sash {number}, bead back: {side}").format(number=bead.leaf, side=side)
        super().__init__(request, about=str(bead.pk), title=title, changes=bead, fixed=fixed)


class BeadOffRow(BeadOffForm):
    """On a sheet of many beads. A number is suggested, to be written on the bead."""

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int, side: str) -> None:
        super().__init__(request, fitting, leaf, side)
        number = self.fields["number"]
        number.label = _("{side}, sash {number}").format(
            side=capfirst(code_label(side)), number=leaf
        )
        place = list(Bead.Side.values).index(side) + 1
        number.widget.attrs |= {"data-suggested": f"{leaf}{place}", "autocomplete": "off"}


class BeadBackRow(BeadBackForm):
    """On a sheet of many beads: a box says which of them are back."""

    def __init__(self, request: HttpRequest, bead: Bead) -> None:
        super().__init__(request, bead)
        self.add_box(
            _("Bead {number} is back: {side}, sash {leaf}").format(
                number=bead.number, side=code_label(bead.side), leaf=bead.leaf
            )
        )


class BeadBackLater(OperationForm):
    """On a page that was saved before the bead came off: a phone shows it once `off`, the form
    beside it, has recorded that. It changes the record that `off` makes."""

    operation = PUT_BEAD_BACK

    def __init__(self, request: HttpRequest, off: BeadOffRow, leaf: int, side: str) -> None:
        fixed: dict[str, Fixed] = {"leaf": leaf, "side": side}
        names = {"side": code_label(side), "number": leaf}
        title = _("Sash {number}, bead back: {side}").format(**names)
        super().__init__(request, about=f"later-{off.record}", title=title, fixed=fixed)
        self.off = off
        self.add_box(_("The bead is back: {side}, sash {number}").format(**names))

    @property
    def record(self) -> UUID | str:
        return self.off.record

    @property
    def base_version(self) -> int:
        """None yet; the queue counts on from there."""
        return 0
