"""The table of promises says what was seen, and ends with 1 when a promise was broken."""

import sys

import pytest

from benchmarks import promises
from benchmarks.promises import Promise


@pytest.fixture
def told(monkeypatch, capsys):
    """The last line of the table about one promise whose study is this code, and how it ended."""

    def tell(code: str, pattern: str = r"^(\d+ letters)$", bar: float | None = None):
        study = ["-c", code]
        figure = promises._ratios("a list") if bar else promises._lines(pattern)
        one = Promise("A letter a version", study, study, figure, bar, "it is short")
        monkeypatch.setattr(promises, "PROMISES", [one])
        monkeypatch.setattr(sys, "argv", ["promises"])
        with pytest.raises(SystemExit) as ended:
            promises.main()
        return capsys.readouterr().out.splitlines()[-1], int(ended.value.code)

    return tell


def test_a_promise_that_was_kept_is_told_with_its_figure(told):
    assert told("print('99 letters')") == ("kept      A letter a version: 99 letters", 0)


def test_a_study_that_found_something_wrong_breaks_its_promise(told):
    row, ended = told("print('98 letters'); exit(1)")
    assert (row.split()[0], ended) == ("BROKEN", 1)
    assert "98 letters" in row


@pytest.mark.parametrize("code", ["", "print('all is well')", "raise MemoryError"])
def test_a_study_that_tells_nothing_of_what_it_is_run_for_breaks_its_promise(told, code):
    assert told(code) == ("BROKEN    A letter a version: its output has no figure", 1)


def test_a_ratio_is_held_against_its_bar_and_told_with_the_reason_when_it_is_higher(told):
    assert told("print('a list  3.0  1.50')", bar=1.5) == (
        "kept      A letter a version: a list 1.50 (bar 1.5)",
        0,
    )
    row, ended = told("print('a list  3.0  1.51')", bar=1.5)
    assert row.startswith("not kept  A letter a version: a list 1.51 (bar 1.5), since it is short")
    assert ended == 0
