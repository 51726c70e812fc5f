"""The bootstraps: what they say when something is missing, and when they have nothing to do."""

import importlib.util
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILE = ROOT / "backend" / "bootstrap.py"


@pytest.fixture
def bootstrap():
    spec = importlib.util.spec_from_file_location("bootstrap", FILE)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def said_by(code: str) -> subprocess.CompletedProcess[str]:
    start = f"import sys; sys.path.insert(0, {str(FILE.parent)!r}); import bootstrap; {code}"
    return subprocess.run([sys.executable, "-c", start], capture_output=True, text=True, check=False)


def test_a_python_too_old_is_told_in_one_line():
    told = said_by(
        "bootstrap.sys = type('Old', (), {'version_info': (3, 9), 'stderr': sys.stderr}); bootstrap.ensure()"
    )
    assert told.returncode == 1
    assert told.stderr == "evenwater: this needs Python 3.11 or newer, and this is 3.9: install a newer python3.\n"


def test_a_missing_venv_module_is_told_in_one_line(tmp_path):
    told = said_by(
        f"bootstrap.VENV = {str(tmp_path / 'none')!r}; sys.modules['ensurepip'] = None; bootstrap._make_venv()"
    )
    assert told.returncode == 1
    assert "apt install python3-venv" in told.stderr.splitlines()[-1]
    assert "Traceback" not in told.stderr


def test_it_reads_as_any_python_3():
    # Python 3.6 must get as far as saying that it is too old: nothing newer than its grammar may stand here.
    import ast

    for file in (FILE, FILE.with_name("__main__.py"), ROOT / "tests" / "__main__.py"):
        ast.parse(file.read_text(encoding="utf-8"), feature_version=(3, 6))


def test_installed_once_it_installs_again_only_when_the_project_changed(bootstrap, tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path))
    monkeypatch.setattr(bootstrap, "venv_python", lambda: sys.executable)
    want = bootstrap.wanted(["test"])
    assert not bootstrap.enough(bootstrap.installed(), want)
    (tmp_path / "installed.json").write_text(json.dumps(want))
    assert bootstrap.enough(bootstrap.installed(), want)
    assert bootstrap.enough(bootstrap.installed(), bootstrap.wanted([]))
    assert not bootstrap.enough({**want, "pyproject": "another"}, want)
    assert not bootstrap.enough({**want, "extras": []}, want)


def test_a_spoilt_note_of_what_is_installed_means_installing_again(bootstrap, tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path))
    (tmp_path / "installed.json").write_text("{")
    assert bootstrap.installed() is None
