"""`python -m reports.verification.build FILE.pyz`: the verification of papers as one file.

It needs Python and the libraries that it names when one is missing, and nothing else of the
service: give it to whoever shall be able to verify papers when the firm is gone.
"""

import shutil
import sys
import tempfile
import zipapp
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
MODULES = (
    "jobs/__init__.py",
    "jobs/arithmetic/__init__.py",
    "jobs/arithmetic/merkle.py",
    "jobs/arithmetic/seal_leaf.py",
    "jobs/checkpoints.py",
    "jobs/keyed_digests.py",
    "jobs/sentences.py",
    "reports/__init__.py",
    *(f"reports/verification/{path.name}" for path in sorted(Path(__file__).parent.glob("*.py"))),
)
START = """\
import sys

try:
    from reports.verification.__main__ import main
except ImportError as missing:
    sys.exit(f"{missing}; install what is needed: {sys.executable} -m pip install "
             "cryptography msgspec pyhanko pypdf rfc8785")
sys.exit(main())
"""


def build(target: Path) -> None:
    """Write the one file, which Python runs as it is."""
    with tempfile.TemporaryDirectory() as folder:
        for name in MODULES:
            copy = Path(folder) / name
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(PROJECT / name, copy)
        (Path(folder) / "__main__.py").write_text(START)
        zipapp.create_archive(folder, target, interpreter="/usr/bin/env python3", compressed=True)


if __name__ == "__main__":
    if len(sys.argv) != 2:  # noqa: PLR2004  the command and the file
        sys.exit(__doc__)
    build(Path(sys.argv[1]))
    print(sys.argv[1])
