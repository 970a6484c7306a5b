"""What was added to a paper behind its signature: times, and what it takes to verify them.

A time stamp appends a revision (ISO 32000-2, 7.5.6). Everything that the signed revision holds has
to stay as it was, but for three places that lead to what is new: the catalogue, with its store of
certificates,
the fields of its form and the annotations of a page, and those may only gain fields of time stamps
that take no room.
"""

from io import BytesIO
from typing import Any

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.reader import HistoricalResolver, PdfFileReader

from reports.verification.paper_file import PaperFile

MAY_CHANGE = {"/Catalog": {"/DSS", "/Extensions", "/AcroForm"}, "/Page": {"/Annots"}}
OF_A_FORM = {"/Fields", "/SigFlags"}
OF_TRAILER = ("/Root", "/Info", "/ID", "/Encrypt")
LISTS = {"/Fields", "/Annots"}


def only_times_were_added(paper: PaperFile) -> bool:
    reader, signed = paper.reader, paper.signature.signed_revision
    before = reader.get_historical_resolver(signed)
    if not _same_trailer(before, reader):
        return False
    for revision in range(signed + 1, reader.xrefs.total_revisions):
        if reader.xrefs.refs_freed_in_revision(revision):
            return False
        for reference in reader.xrefs.explicit_refs_in_revision(revision):
            if reader.xrefs.get_introducing_revision(reference) <= signed and not _may_become(
                before.get_object(reference), reader.get_object(reference)
            ):
                return False
    return True


def _same_trailer(before: HistoricalResolver, reader: PdfFileReader) -> bool:
    """The same catalogue and the like; its identifier in the first half, which stays for good."""
    old, new = before.trailer_view, reader.trailer_view
    return all(
        _bytes(old.raw_get(key)[0] if key == "/ID" else old.raw_get(key))
        == _bytes(new.raw_get(key)[0] if key == "/ID" else new.raw_get(key))
        for key in OF_TRAILER
        if key in old or key in new
    )


def _may_become(old: Any, new: Any) -> bool:
    if isinstance(old, generic.ArrayObject) and isinstance(new, generic.ArrayObject):
        return _only_gained_times(old, new)
    if type(old) is not generic.DictionaryObject or type(new) is not generic.DictionaryObject:
        return _bytes(old) == _bytes(new)
    may = OF_A_FORM if "/Fields" in old else MAY_CHANGE.get(str(old.get("/Type", "")), set())
    changed = {key for key in {*old, *new} if _at(old, key) != _at(new, key)}
    return changed <= may and all(_may_change(key, old, new) for key in changed)


def _may_change(key: str, old: generic.DictionaryObject, new: generic.DictionaryObject) -> bool:
    if key in LISTS:
        return _only_gained_times(old.get(key, generic.ArrayObject()), new[key])
    if key == "/AcroForm":
        return _may_become(old[key], new[key])
    return True


def _only_gained_times(old: generic.ArrayObject, new: generic.ArrayObject) -> bool:
    """The list as it was, then fields of time stamps that take no room on the page."""
    before, after = _items(old), _items(new)
    gained = [item.get_object() for item in after[len(before) :]]
    return list(map(_bytes, before)) == list(map(_bytes, after[: len(before)])) and all(
        field["/FT"] == "/Sig"
        and field["/V"]["/Type"] == "/DocTimeStamp"
        and [float(side) for side in field["/Rect"]] == [0, 0, 0, 0]
        for field in gained
    )


def _items(array: generic.ArrayObject) -> list[Any]:
    """As they are written: references where they are references."""
    return [array.raw_get(place) for place in range(len(array))]


def _at(dictionary: generic.DictionaryObject, key: str) -> bytes | None:
    return _bytes(dictionary.raw_get(key)) if key in dictionary else None


def _bytes(value: Any) -> bytes:
    written = BytesIO()
    value.write_to_stream(written, None)
    return written.getvalue()
