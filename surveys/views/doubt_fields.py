"""What sizes are doubted by, said beside their fields before anything is saved."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from jobs.figures import figure
from surveys.arithmetic.plausibility import Doubt, Thresholds, doubts
from surveys.reading_kinds import SIZES
from surveys.reading_slots import Slot

# What a page says of each; `{about}` is what it should be, mm.
DOUBT_WORDS = {
    "metres": gettext_lazy("this looks like metres; in mm it is {about}"),
    "centimetres": gettext_lazy("this looks like centimetres; in mm it is {about}"),
    "impossible": gettext_lazy("no opening is of this size; give mm"),
    "missing": gettext_lazy("read this diagonal, too: both together show a lean"),
    "few": gettext_lazy("read at least two of these"),
    "off": gettext_lazy("look again: by the others it is about {about}"),
}


class DoubtFields(forms.Form):
    """`sure` is ticked by whoever looked again and read the same."""

    sure = forms.BooleanField(
        label=gettext_lazy("I looked again: they are as I read them"),
        required=False,
        widget=forms.CheckboxInput(attrs={"data-not-sent": True}),
    )

    slots: list[Slot]
    is_doubted = False

    def check_sizes(self) -> None:
        """Complains beside each size that is doubted; what may be right is left to who is sure."""
        sure = self.cleaned_data.get("sure")
        for doubt in doubts(*sizes_of(self.slots, self.cleaned_data), Thresholds()):
            field = doubt.reading.replace(".", "_")
            if field in self.errors or (sure and doubt.may_be_right):
                continue
            self.is_doubted = self.is_doubted or doubt.may_be_right
            if doubt.kind not in ("few", "missing"):
                self.add_error(field, _words(doubt))

    @property
    def sure_is_asked(self) -> bool:
        """Once something is doubted that may be right."""
        return self.is_bound and (bool(self.cleaned_data.get("sure")) or self.is_doubted)

    @property
    def checks(self) -> dict[str, Any]:
        """What a script on the page checks by, and says."""
        words = {kind: str(text) for kind, text in DOUBT_WORDS.items()}
        names = Thresholds.__dataclass_fields__
        return {"thresholds": {n: getattr(Thresholds(), n) for n in names}, "words": words}


def sizes_of(
    slots: list[Slot], values: dict[str, Any]
) -> tuple[dict[str, list[float | None]], dict[str, float | None]]:
    """As `doubts` takes them, by the order of the fields' names."""
    sizes = {
        kind.name: [
            values.get(slot.field)
            for slot in sorted(
                (slot for slot in slots if slot.kind == kind.name),
                key=lambda slot: int(slot.name.rpartition(".")[2]),
            )
        ]
        for kind in SIZES
    }
    return sizes, {name: values.get(f"diagonals_{name}") for name in ("rising", "falling")}


def _words(doubt: Doubt) -> str:
    return str(DOUBT_WORDS[doubt.kind]).format(about=figure(doubt.about))
