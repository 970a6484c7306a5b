"""What the OpenAPI document says of every operation alike."""

from functools import cached_property, lru_cache
from typing import Any

from django.utils.translation import get_language
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.plumbing import ResolvedComponent
from drf_spectacular.renderers import OpenApiYamlRenderer
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse

from jobs.api.problem_types import ProblemType
from jobs.table_file import MEDIA_TYPES, MOST_ROWS, Table

PROBLEM: dict[str, Any] = {
    "type": "object",
    "description": "Problem document (RFC 9457).",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    "pointer": {
                        "type": "string",
                        "description": "JSON pointer to the field.",
                    },
                    "detail": {"type": "string"},
                },
            },
        },
        "gate": {"type": "string"},
        "blockers": {"type": "array", "items": {"type": "object"}},
        "record": {"type": "object"},
        "current_version": {"type": "integer"},
    },
}

REPEATED = "This very body made the record before; it is answered as it is now."

AS_A_TABLE = """

As CSV or XLSX (`format`, or `Accept`) it is a table of {title}: all that you may see and the
filters leave, newest first and without pages, with units in the headings and times in the zone of
the firm. More than {most:,} rows are refused; narrow them then."""


class Description(dict[str, Any]):
    """The document, and its text once somebody has asked for it."""

    @cached_property
    def as_yaml(self) -> bytes:
        text: bytes = OpenApiYamlRenderer().render(dict(self))
        return text


class DescriptionGenerator(SchemaGenerator):
    """Describes the API once a process and language: it is the same for everybody, and writing it
    takes a second, and its YAML another half, which nobody has to sign in for."""

    def get_schema(self, request: Any = None, public: bool = False) -> Description:
        return _description(get_language(), public)


@lru_cache(maxsize=8)  # whoever asks may name any language
def _description(language: str | None, public: bool) -> Description:
    """In the active `language`."""
    return Description(SchemaGenerator().get_schema(request=None, public=public))


class SillwrightSchema(AutoSchema):
    """Adds the problem documents that each kind of operation can answer, and `If-Match`; and says
    that a record is answered as it is read, whatever body it was made or changed with."""

    def get_override_parameters(self) -> list[Any]:
        if not self._changes_a_version():
            return []
        return [
            OpenApiParameter(
                "If-Match",
                str,
                OpenApiParameter.HEADER,
                required=True,
                description="The ETag.",
            )
        ]

    def get_response_serializers(self) -> Any:
        answer = getattr(self.view, "serializer_class", None)
        match getattr(self.view, "action", None):
            case "create":
                return {201: answer, 200: OpenApiResponse(answer, REPEATED)}
            case "partial_update":
                return answer
            case "list" if self._table():
                listed = getattr(self.view, "list_serializer", None) or answer
                return {
                    (200, "application/json"): listed,
                    (200, MEDIA_TYPES["csv"]): OpenApiTypes.STR,
                    (200, MEDIA_TYPES["xlsx"]): OpenApiTypes.BINARY,
                }
        return super().get_response_serializers()

    def get_operation(self, *args: Any) -> dict[str, Any] | None:
        operation = super().get_operation(*args)
        if operation is None:
            return None
        if table := self._table():
            description = AS_A_TABLE.format(title=table.title.lower(), most=MOST_ROWS)
            operation["description"] = operation.get("description", "") + description
        for code in self._problem_codes():
            operation["responses"].setdefault(code, self._problem(code))
        return operation

    def _table(self) -> Table | None:
        """What the list of this operation is given as, too."""
        is_list = getattr(self.view, "action", None) == "list"
        return getattr(self.view, "table", None) if is_list else None

    def _problem_codes(self) -> list[str]:
        codes = ["400", "401", "403", "404", "406", "429", "503"]
        if self.method != "GET":
            codes += ["409", "413", "415", "507"]
        if self._changes_a_version():
            codes += ["412", "428"]
        return codes

    def _changes_a_version(self) -> bool:
        changing: frozenset[str] = getattr(self.view, "changes_a_version", frozenset())
        return self.method == "PATCH" or getattr(self.view, "action", None) in changing

    def _problem(self, code: str) -> dict[str, Any]:
        meanings = (str(kind.meaning) for kind in ProblemType if kind.status == int(code))
        return {
            "description": " ".join(meanings),
            "content": {"application/problem+json": {"schema": self._problem_component().ref}},
        }

    def _problem_component(self) -> ResolvedComponent:
        """One component for all, with the list of its types."""
        addresses = {
            "type": "string",
            "format": "uri-reference",
            "enum": [kind.address for kind in ProblemType],
            "description": "\n".join(f"* `{kind.address}`: {kind.meaning}" for kind in ProblemType),
        }
        schema = PROBLEM | {"properties": {"type": addresses, **PROBLEM["properties"]}}
        component = ResolvedComponent(
            name="Problem", type=ResolvedComponent.SCHEMA, schema=schema, object="Problem"
        )
        self.registry.register_on_missing(component)
        return component
