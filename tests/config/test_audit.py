"""What the audit of the dependencies says of what it was told."""

from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path

import pytest

PATH = Path(__file__).resolve().parents[2] / ".ci" / "audit"
SOUND = {"name": "sound", "version": "1.0", "vulns": []}
FLAWED = {
    "name": "flawed",
    "version": "2.0",
    "vulns": [{"id": "EXAMPLE-1", "fix_versions": ["2.1"]}],
}


def said(monkeypatch, capsys, *output) -> tuple[str, bool]:
    """Its words, and whether it stops the checks."""
    spec = spec_from_loader("audit", SourceFileLoader("audit", str(PATH)))
    audit = module_from_spec(spec)
    spec.loader.exec_module(audit)
    monkeypatch.setattr(audit, "_audited", lambda: list(output))
    with pytest.raises(SystemExit) as ended:
        audit.main()
    return capsys.readouterr().out, bool(ended.value.code)


def test_a_known_flaw_stops_the_checks_and_is_named(monkeypatch, capsys):
    words, stops = said(monkeypatch, capsys, SOUND, FLAWED)
    assert "flawed 2.0: EXAMPLE-1, fixed in 2.1" in words
    assert stops


def test_what_nobody_answered_for_is_never_told_as_audited(monkeypatch, capsys):
    words, stops = said(monkeypatch, capsys, SOUND, {"name": "other", "skip_reason": "away"})
    assert "NOT AUDITED: 1" in words
    assert not stops
    assert "NOT AUDITED: all" in said(monkeypatch, capsys)[0]


def test_a_sound_set_passes(monkeypatch, capsys):
    assert said(monkeypatch, capsys, SOUND) == ("1 packages audited, 0 with known flaws\n", False)
