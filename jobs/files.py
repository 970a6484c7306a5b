"""Answers that are files of one person or job: photographs, papers, lists."""

from django.db.models.fields.files import FieldFile
from django.http import FileResponse
from django.http.response import HttpResponseBase


def kept_file(file: FieldFile, *, name: str, media_type: str, to_keep: bool) -> FileResponse:
    """The file under `name`; `to_keep` makes it a download (`Content-Disposition: attachment`)."""
    answer = FileResponse(
        file.open("rb"), as_attachment=to_keep, filename=name, content_type=media_type
    )
    guard(answer)
    return answer


def guard(answer: HttpResponseBase) -> None:
    """Headers for files that somebody uploaded or that are private: browsers do not guess another
    type (`nosniff`), run nothing in them (`sandbox`), and no cache stores them (`no-store`)."""
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Security-Policy"] = "sandbox; default-src 'none'"
    answer["Cache-Control"] = "private, no-store"
