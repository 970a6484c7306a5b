"""What the scripts of the queue call the operations in it, for every page that works offline."""

from django import template
from django.utils.html import json_script
from django.utils.safestring import SafeString

from installs.operations import OPERATIONS

register = template.Library()


@register.simple_tag
def operation_labels() -> SafeString:
    """The labels by kind, as JSON that `queue_words.js` reads."""
    labels = {name: operation.label for name, operation in OPERATIONS.items()}
    return json_script(labels, "operation-labels")
