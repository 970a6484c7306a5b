"""The pack of a fitting, for pages of the floors below."""

from django import template

from installs.models import Installation
from reports.models import Document

register = template.Library()


@register.simple_tag
def pack_of(fitting: Installation) -> Document | None:
    """The one that is valid and made; None while there is none."""
    return Document.objects.current_pack(fitting.job)
