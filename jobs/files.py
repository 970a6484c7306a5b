"""Giving out files that are somebody's own: photographs, papers, lists."""

from django.db.models.fields.files import FieldFile
from django.http import FileResponse
from django.http.response import HttpResponseBase


def kept_file(file: FieldFile, *, name: str, media_type: str, to_keep: bool) -> FileResponse:
    """The file under a name of ours; `to_keep` asks the browser to store it and not to show it."""
    answer = FileResponse(
        file.open("rb"), as_attachment=to_keep, filename=name, content_type=media_type
    )
    guard(answer)
    return answer


def guard(answer: HttpResponseBase) -> None:
    """Nothing in it is run, it is taken for nothing but what it is called, and no cache keeps it:
    what somebody sent stays data, and what is somebody's own stays theirs."""
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Security-Policy"] = "sandbox; default-src 'none'"
    answer["Cache-Control"] = "private, no-store"
