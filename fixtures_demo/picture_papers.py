"""Pictures of the demo's papers for the documentation. Run after `make demo`, with pdftoppm and
pdftotext (Debian: poppler-utils): `python -m fixtures_demo.picture_papers`."""

import os
import subprocess
from pathlib import Path

from fixtures_demo import play, server

PICTURES = Path(__file__).with_name("pictures")
DOTS_PER_INCH = 70
# Name of the picture, letter of the paper's number, and words by which the page is known.
PAGES = (
    ("certificate", "C", "Completion certificate"),
    ("gaps", "C", "Gaps at the junctions"),
    ("survey", "S", "Shape of the opening"),
    ("fixings", "F", "Fixings and packers"),
    ("glazing", "F", "Glazing plan"),
    ("defects", "D", "Defect report"),
)


def main() -> None:
    folder = Path(server.environment(play.scenario()["firm"])["SILLWRIGHT_DATA_DIR"]) / "papers"
    for name, letter, words in PAGES:
        [paper] = folder.glob(f"*-{letter}.pdf")
        page = _page_with(paper, words)
        command = ["pdftoppm", "-png", "-r", str(DOTS_PER_INCH), "-singlefile"]
        command += ["-f", str(page), "-l", str(page), str(paper), str(PICTURES / name)]
        subprocess.run(command, check=True)
        print(f"{name}.png: page {page} of {os.path.basename(paper)}")


def _page_with(paper: Path, words: str) -> int:
    """The first page on which the words stand, from 1."""
    command = ["pdftotext", "-layout", str(paper), "-"]
    text = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return next(n for n, page in enumerate(text.split("\f"), start=1) if words in page)


if __name__ == "__main__":
    main()
