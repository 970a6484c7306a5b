"""The typeface of all papers. It comes with a dependency, so that every machine draws alike."""

from pathlib import Path

import fontpkg_source_sans_3
import uharfbuzz

_FILES = Path(fontpkg_source_sans_3.ROOT) / "files"
_UPRIGHT, _ITALIC = _FILES / "SourceSans3[wght].ttf", _FILES / "SourceSans3-Italic[wght].ttf"
# Name under which a style sheet asks for each weight (CSS Fonts 4: 400 is normal, 700 bold).
_WEIGHTS = {
    "typeface-light": (_UPRIGHT, 300),
    "typeface": (_UPRIGHT, 400),
    "typeface-bold": (_UPRIGHT, 700),
    "typeface-italic": (_ITALIC, 400),
    "typeface-bold-italic": (_ITALIC, 700),
}


def font_files() -> dict[str, bytes]:
    """A TrueType file of every weight, by its name in the style sheet.

    The dependency has one file for all weights. Given that one, every paper cut its weights out of
    it anew, in a fifth of the time that it took to draw; here that takes 10 ms a weight.
    """
    return {name: _at_weight(path, weight) for name, (path, weight) in _WEIGHTS.items()}


def _at_weight(path: Path, weight: int) -> bytes:
    whole = uharfbuzz.SubsetInput()
    whole.keep_everything()
    face = uharfbuzz.Face(path.read_bytes())
    whole.pin_axis_location(face, "wght", weight)
    return bytes(uharfbuzz.subset(face, whole).blob.data)
