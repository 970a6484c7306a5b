"""What is recorded at a sash: its blocks, brace and glass, and its beads off and back."""

from django import forms
from django.http import HttpRequest

from installs.api.serializers import SashRecordCreateSerializer
from installs.models import Bead, Installation, SashRecord
from installs.views import fields
from installs.views.operation_form import Fixed, OperationForm

LONGEST_MARKING = 80
LONGEST_NUMBER = 12


class SashFields(OperationForm):
    """The fields of both kinds."""

    button = "Keep the record of this sash"

    def add_fields(self) -> None:
        self.fields |= {
            "rising_diagonal": fields.figure(
                SashRecordCreateSerializer,
                "rising_diagonal",
                label="Diagonal from bottom left to top right",
                required=False,
            ),
            "falling_diagonal": fields.figure(
                SashRecordCreateSerializer,
                "falling_diagonal",
                label="Diagonal from top left to bottom right",
                required=False,
            ),
            "blocks_set": fields.tick("Setting and location blocks are in"),
            "brace_set": fields.tick("Braced from heel to toe"),
            "glass_marking": forms.CharField(
                label="Marking on the glass",
                max_length=LONGEST_MARKING,
                required=False,
                help_text="As it stands in the corner of the pane, word for word.",
            ),
        }


class SashForm(SashFields):
    """The first record of a sash."""

    operation = "record_sash"

    def __init__(self, request: HttpRequest, fitting: Installation, leaf: int) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "leaf": leaf}
        super().__init__(request, about=f"{fitting.pk}-{leaf}", title=f"Sash {leaf}", fixed=fixed)
        self.add_fields()


class SashChangeForm(SashFields):
    """What was done to it since."""

    operation = "change_sash"

    def __init__(self, request: HttpRequest, sash: SashRecord) -> None:
        names = ("blocks_set", "brace_set", "glass_marking", "rising_diagonal", "falling_diagonal")
        initial = {name: getattr(sash, name) for name in names}
        title = f"Sash {sash.leaf}"
        super().__init__(request, about=str(sash.pk), title=title, changes=sash, initial=initial)
        self.add_fields()


class BeadOffForm(OperationForm):
    operation = "take_bead_off"
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
        self.fields["number"] = forms.CharField(
            label=f"Number written on the {side} bead", max_length=LONGEST_NUMBER
        )


class BeadBackForm(OperationForm):
    """Back where it came from: there is nothing to type."""

    operation = "put_bead_back"

    def __init__(self, request: HttpRequest, bead: Bead) -> None:
        self.bead = bead
        self.button = f"Bead {bead.number} is back at the {bead.side}"
        fixed: dict[str, Fixed] = {"leaf": bead.leaf, "side": bead.side}
        title = f"Sash {bead.leaf}, {bead.side} bead back"
        super().__init__(request, about=str(bead.pk), title=title, changes=bead, fixed=fixed)
