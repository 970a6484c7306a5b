"""Reading request bodies: JSON that has a canonical form, or a reason why not."""

from collections.abc import Mapping
from typing import IO, Any

import rfc8785
from django.utils.translation import gettext as _
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


class CanonicalJSONParser(JSONParser):
    """JSON whose digest can be taken (RFC 8785): it is what makes a repeated creation harmless.

    Refuses half characters, whole numbers beyond 2^53 and nesting without end. Numbers beyond all
    bounds are left to the field they were meant for, which can name itself.
    """

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        try:
            body = super().parse(stream, media_type, parser_context)
            rfc8785.dumps(body)
        except RecursionError:
            raise ParseError(_("The body is nested too deeply.")) from None
        except UnicodeEncodeError:
            message = _("A text has half a character (a lone surrogate).")
            raise ParseError(message) from None
        except rfc8785.FloatDomainError:
            pass
        except rfc8785.CanonicalizationError as error:
            message = _("The body cannot be stored exactly: {reason}.").format(reason=error)
            raise ParseError(message) from error
        return body
