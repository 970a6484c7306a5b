"""Tags of all pages: fields with their errors, states as word and sign, stored sentences."""

from typing import Any

from django import forms, template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from jobs.code_labels import code_label
from jobs.translation import translated

register = template.Library()

# Tone and sign of each state. The word is always beside the sign; colour only repeats it.
STATES = {
    "done": ("good", "✓"),
    "open": ("good", "✓"),
    "pass": ("good", "✓"),
    "fits": ("good", "✓"),
    "next": ("next", "▸"),
    "waiting": ("rest", "…"),
    "inconclusive": ("look", "?"),
    "question": ("look", "?"),
    "attention": ("look", "!"),
    "closed": ("look", "✗"),
    "fail": ("look", "✗"),
    "does_not_fit": ("look", "✗"),
}


@register.inclusion_tag("jobs/field.html")
def field(bound: forms.BoundField, unit: str = "", optional: bool | None = None) -> dict[str, Any]:
    """A field with its label, help, unit and errors, tied together for those who hear the page.

    `optional` marks a field that is not required, unless it is given.
    """
    described = [f"{bound.auto_id}_help"] if bound.help_text else []
    described += [f"{bound.auto_id}_error"] if bound.errors else []
    attributes: dict[str, str | bool] = {}
    if described:
        attributes["aria-describedby"] = " ".join(described)
    if bound.errors:
        attributes["aria-invalid"] = "true"
    widget = bound.as_widget(attrs=attributes)
    box = isinstance(bound.field.widget, forms.CheckboxInput)
    optional = not bound.field.required if optional is None else optional
    return {"bound": bound, "widget": widget, "unit": unit, "box": box, "optional": optional}


register.filter(translated)


@register.simple_tag
def state(name: str, words: str = "") -> SafeString:
    """A state as word and shape, such as `✓ open`; `words` in place of its name."""
    tone, sign = STATES.get(name, ("rest", "·"))
    return format_html(
        '<span class="state-mark {}"><span class="sign" aria-hidden="true">{}</span> {}</span>',
        tone,
        sign,
        words or code_label(name),
    )
