"""Labels of the instruments that a step can be read with."""

from django.utils.translation import gettext as _

from installs.arithmetic.criteria import UsableInstrument
from jobs.code_labels import code_label
from jobs.figures import figure


def usable_label(usable: UsableInstrument) -> str:
    """Such as `tape`, or `laser good to ± 0.5 mm`: rounded down, so that what is named fits."""
    if usable.greatest_uncertainty is None:
        return code_label(usable.kind)
    return _("{kind} good to ± {uncertainty} mm").format(
        kind=code_label(usable.kind), uncertainty=figure(int(usable.greatest_uncertainty * 10) / 10)
    )
