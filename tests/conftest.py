from pathlib import Path

import pytest
from django.core.cache import cache


@pytest.fixture(autouse=True)
def _own_folders(settings, tmp_path: Path) -> None:
    """Every test has its own files, its own mail folder, and an empty cache."""
    settings.MEDIA_ROOT = tmp_path / "files"
    # Argon2 is slow on purpose; what the tests check does not depend on it.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.EMAIL_FOLDER = tmp_path / "outbox"
    cache.clear()
