"""The file of an instruction, as every download sends it."""

from django.http import FileResponse

from installs.models import MakerInstruction
from jobs.files import kept_file


def instruction_file(instruction: MakerInstruction) -> FileResponse:
    """A PDF is a download, as every paper is: browsers open none inside a sandbox."""
    return kept_file(
        instruction.file,
        name=instruction.filename,
        media_type=instruction.media_type,
        to_keep=instruction.is_pdf,
    )
