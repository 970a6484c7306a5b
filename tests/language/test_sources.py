"""No text in the sources is left unmarked, also where no page of a test shows it."""

import pytest

from tests.language.folders import FOLDERS
from tests.language.unmarked import unmarked


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_text_is_marked(folder):
    left = list(unmarked(folder))
    assert not left, "\n".join(left)
