"""The fields of an operation's body by their dotted names, such as `readings.0.value`."""

from typing import Any, cast

from rest_framework import serializers

from jobs.api.fields import IntegerQuantityField, QuantityField

# What the queue's script sends a field as, where that is no text.
SENT_AS: tuple[tuple[type[serializers.Field], str], ...] = (
    (IntegerQuantityField, "integer"),
    (QuantityField, "number"),
    (serializers.BooleanField, "boolean"),
    (serializers.ListField, "json"),
)


def body_field(body: type[serializers.Serializer], name: str) -> serializers.Field:
    """A number in a name counts the entries of a list, a key is any name in a mapping."""
    field: Any = body()
    for part in name.split("."):
        field = field.fields[part] if isinstance(field, serializers.Serializer) else field.child
    return cast(serializers.Field, field)


def sent_as(field: serializers.Field) -> str:
    """Its `data-as`."""
    return next((name for kind, name in SENT_AS if isinstance(field, kind)), "")


def nested(flat: dict[str, Any]) -> dict[str, Any]:
    """The body that names with dots stand for: `{"readings.0.value": 2}` is
    `{"readings": [{"value": 2}]}`."""
    tree: dict[str, Any] = {}
    for name, value in flat.items():
        *way, last = name.split(".")
        branch = tree
        for part in way:
            branch = branch.setdefault(part, {})
        branch[last] = value
    return cast(dict[str, Any], _with_lists(tree))


def _with_lists(tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    if tree and all(name.isdecimal() for name in tree):
        return [_with_lists(tree[name]) for name in sorted(tree, key=int)]
    return {name: _with_lists(inner) for name, inner in tree.items()}
