"""The typeface of all papers. It comes with a dependency, so that every machine draws alike."""

from pathlib import Path

import fontpkg_source_sans_3

_FILES = Path(fontpkg_source_sans_3.ROOT) / "files"
# Name under which a paper's style sheet asks for each file.
FONT_FILES = {
    "typeface": _FILES / "SourceSans3[wght].ttf",
    "typeface-italic": _FILES / "SourceSans3-Italic[wght].ttf",
}
