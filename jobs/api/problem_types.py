"""The types of problem documents (RFC 9457), each with its address, title, status and meaning.

One register: what refuses a request names a type from here, the description of the API lists them
all, and the page at their address explains each.
"""

from enum import Enum

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


class ProblemType(Enum):
    """`title` is alike for every problem of the type; `meaning` says when it is answered.

    Where several share a status, the first is meant by a framework that knows the status alone.
    """

    UNREADABLE_REQUEST = (
        "unreadable-request",
        400,
        _("The request cannot be read"),
        _("The body, or a header, does not have the form that is expected."),
    )
    INVALID_FIELD = (
        "invalid-field",
        400,
        _("A field is not valid"),
        _("`errors` names each field by JSON pointer, with what was wrong and what is allowed."),
    )
    NOT_SIGNED_IN = (
        "not-signed-in",
        401,
        _("Sign in first"),
        _("The token or session is missing, has expired, or is somebody else's."),
    )
    NOT_ALLOWED = (
        "not-allowed",
        403,
        _("Not allowed for your role"),
        _("Your role may not do this."),
    )
    SECOND_FACTOR_REQUIRED = (
        "second-factor-required",
        403,
        _("Set up a second factor first"),
        _("The office has to set up a second factor on its page before it can use the API."),
    )
    NOT_FOUND = (
        "not-found",
        404,
        _("Not found"),
        _("There is no such record or address, or you may not see it."),
    )
    METHOD_NOT_ALLOWED = (
        "method-not-allowed",
        405,
        _("Method not allowed"),
        _("This address does not take requests of this method."),
    )
    NOT_ACCEPTABLE = (
        "not-acceptable",
        406,
        _("Format not available"),
        _("`Accept` asks for a media type that this address does not have."),
    )
    CONFLICT = (
        "conflict",
        409,
        _("In conflict with what is saved"),
        _("Another record does not allow this; `record` names it where there is one."),
    )
    CONTRADICTS_JOURNAL = (
        "contradicts-journal",
        409,
        _("Not what the journal says"),
        _("What was asked for was changed past the service, so it is not given out."),
    )
    GATE_CLOSED = (
        "gate-closed",
        409,
        _("The gate is closed"),
        _("`blockers` names everything that has to be done first, with the reason."),
    )
    VERSION_CONFLICT = (
        "version-conflict",
        412,
        _("Changed by somebody else"),
        _("The record is no longer at the version in `If-Match`; see `current_version`."),
    )
    BODY_TOO_LARGE = (
        "body-too-large",
        413,
        _("The request is too large"),
        _("The body is larger than allowed."),
    )
    UNSUPPORTED_MEDIA_TYPE = (
        "unsupported-media-type",
        415,
        _("Format not supported"),
        _("The `Content-Type` of the body is not one that this address takes."),
    )
    VERSION_REQUIRED = (
        "version-required",
        428,
        _("The version is missing"),
        _("A change needs `If-Match` with the ETag of the record (RFC 6585)."),
    )
    TOO_MANY_REQUESTS = (
        "too-many-requests",
        429,
        _("Too many requests"),
        _("Try again after the seconds in `Retry-After`."),
    )
    INTERNAL_ERROR = (
        "internal-error",
        500,
        _("Internal error"),
        _("The service failed. Nothing was saved."),
    )
    UNAVAILABLE = (
        "unavailable",
        503,
        _("Not available at the moment"),
        _("Nothing was saved. Try again after the seconds in `Retry-After`."),
    )
    STORAGE_FULL = (
        "storage-full",
        507,
        _("The storage is full"),
        _("There is no room for the file. Nothing was saved."),
    )

    def __init__(self, slug: str, status: int, title: Promise, meaning: Promise) -> None:
        self.slug = slug
        self.status = status
        self.title = title
        self.meaning = meaning

    @property
    def address(self) -> str:
        """A reference with the full path, as RFC 9457 3.1.1 asks of a relative one."""
        return f"{reverse('problem-types')}#{self.slug}"

    @classmethod
    def of_status(cls, status: int) -> "ProblemType":
        return next(kind for kind in cls if kind.status == status)
