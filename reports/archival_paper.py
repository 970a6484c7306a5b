"""Adding to a paper that is archival, behind what is there."""

from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter


class ArchivalPaper(IncrementalPdfFileWriter):
    """Leaves what makes the paper archival as it is: its metadata say that it is PDF/A
    (ISO 19005-3) and when it was made, and its version is the one that this standard stands on."""

    def ensure_output_version(self, version: tuple[int, int]) -> None:
        """The kind of signature is of PDF 2.0, the paper is not; readers take it nonetheless."""

    def _update_meta(self) -> None:
        """The library would write metadata of its own instead."""
