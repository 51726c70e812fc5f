"""Makes the project's own virtual environment and steps into it. Standard library only; read by any Python 3.

Used by `python3 backend` and `python3 tests`, so that both need nothing but Python.
"""

import hashlib
import json
import os
import subprocess
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.path.join(ROOT, ".venv")
NEEDED = (3, 11)


def say(text):
    print("evenwater: " + text, file=sys.stderr, flush=True)


def stop(text):
    say(text)
    raise SystemExit(1)


def venv_python():
    inside = ("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")
    return os.path.join(VENV, *inside)


def wanted(extras):
    with open(os.path.join(ROOT, "pyproject.toml"), "rb") as file:
        digest = hashlib.sha256(file.read()).hexdigest()
    return {"pyproject": digest, "python": list(sys.version_info[:2]), "extras": sorted(extras)}


def installed():
    try:
        with open(os.path.join(VENV, "installed.json"), encoding="utf-8") as file:
            return json.load(file)
    except (OSError, ValueError):
        return None


def enough(have, want):
    """Whether what is installed serves: the same pyproject.toml, and at least the extras asked for."""
    return (
        have is not None
        and os.path.exists(venv_python())
        and have.get("pyproject") == want["pyproject"]
        and set(want["extras"]) <= set(have.get("extras", []))
    )


def ensure(extras=()):
    """Make .venv and install the project with these extras, unless that is done. Returns the Python to run."""
    if sys.version_info < NEEDED:
        stop("this needs Python 3.11 or newer, and this is %d.%d: install a newer python3." % sys.version_info[:2])
    want, have = wanted(extras), installed()
    if not enough(have, want):
        if have is not None and have.get("pyproject") == want["pyproject"]:
            want["extras"] = sorted(set(want["extras"]) | set(have.get("extras", [])))
        _make_venv()
        _install(want["extras"])
        with open(os.path.join(VENV, "installed.json"), "w", encoding="utf-8") as file:
            json.dump(want, file)
    return venv_python()


def _make_venv():
    if os.path.exists(venv_python()):
        return
    say("making a virtual environment in .venv …")
    try:
        import ensurepip  # noqa: F401  (Debian ships it apart, in python3-venv)
        import venv

        venv.create(VENV, with_pip=True, clear=True)
    except ImportError:
        stop("Python's venv module is missing: install it (Debian, Ubuntu: apt install python3-venv) and try again.")
    except (OSError, subprocess.CalledProcessError) as error:
        stop("cannot make .venv in %s (%s): make the folder writable and try again." % (ROOT, error))


def _install(extras):
    say("installing what is needed; the first time this takes a minute or two …")
    what = ROOT + ("[%s]" % ",".join(extras) if extras else "")
    command = [venv_python(), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--editable", what]
    if subprocess.call(command) != 0:
        stop("pip could not install the packages (see above): check the network and try again.")


def step_into(arguments):
    """Become this command: same process, so that whoever ends it ends all of it."""
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":
        raise SystemExit(subprocess.call(arguments))
    os.execv(arguments[0], arguments)
