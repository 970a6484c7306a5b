"""What is recorded at a sash: its blocks, brace and glass, and its beads off and back."""

from django.http import HttpRequest

from installs.models import Bead, Installation, SashRecord
from installs.operations import CHANGE_SASH, PUT_BEAD_BACK, RECORD_SASH, TAKE_BEAD_OFF
from installs.views.operation_form import Fixed, OperationForm


class SashFields(OperationForm):
    """The fields of both kinds."""

    button = "Keep the record of this sash"

    def add_fields(self) -> None:
        self.add("rising_diagonal", "Diagonal from bottom left to top right")
        self.add("falling_diagonal", "Diagonal from top left to bottom right")
        self.add("blocks_set", "Setting and location blocks are in")
        self.add("brace_set", "Braced from heel to toe")
        word_for_word = "As it stands in the corner of the pane, word for word."
        self.add("glass_marking", "Marking on the glass", help_text=word_for_word)


class SashForm(SashFields):
    """The first record of a sash."""

    operation = RECORD_SASH

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "leaf": leaf}
        super().__init__(request, about=f"{fitting.pk}-{leaf}", title=f"Sash {leaf}", fixed=fixed)
        self.add_fields()


class SashChangeForm(SashFields):
    """What was done to it since."""

    operation = CHANGE_SASH

    def __init__(self, request: HttpRequest, sash: SashRecord) -> None:
        names = ("blocks_set", "brace_set", "glass_marking", "rising_diagonal", "falling_diagonal")
        initial = {name: getattr(sash, name) for name in names}
        title = f"Sash {sash.leaf}"
        super().__init__(request, about=str(sash.pk), title=title, changes=sash, initial=initial)
        self.add_fields()


class BeadOffForm(OperationForm):
    operation = TAKE_BEAD_OFF
    button = "It is off"

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int, side: str) -> None:
        self.side = side
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "leaf": leaf, "side": side}
        super().__init__(
            request,
            about=f"{fitting.pk}-{leaf}-{side}",
            title=f"Sash {leaf}, {side} bead off",
            fixed=fixed,
        )
        self.add("number", f"Number written on the {side} bead")


class BeadBackForm(OperationForm):
    """Back where it came from: there is nothing to type."""

    operation = PUT_BEAD_BACK

    def __init__(self, request: HttpRequest, bead: Bead) -> None:
        self.bead = bead
        self.button = f"Bead {bead.number} is back at the {bead.side}"
        fixed: dict[str, Fixed] = {"leaf": bead.leaf, "side": bead.side}
        title = f"Sash {bead.leaf}, {bead.side} bead back"
        super().__init__(request, about=str(bead.pk), title=title, changes=bead, fixed=fixed)
