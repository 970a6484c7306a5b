"""The list of mutations keeps up with the code; `python -m tests.mutations` applies them."""

import pytest
from django.conf import settings

from tests.mutations.mutation import Mutation, mutations

LEAST = 60


@pytest.mark.parametrize("mutation", mutations(), ids=lambda mutation: mutation.name)
def test_a_mutation_changes_one_line_that_is_there_and_names_tests_that_are(mutation: Mutation):
    text = (settings.PROJECT_DIR / mutation.file).read_text()
    assert mutation.mutated(text) != text
    assert all((settings.PROJECT_DIR / test).exists() for test in mutation.tests)


def test_the_list_is_long_enough_to_say_something_and_names_each_once():
    names = [mutation.name for mutation in mutations()]
    assert len(names) == len(set(names)) >= LEAST
