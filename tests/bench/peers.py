"""The peers: fetched from the npm registry by the ordinary client, kept in a cache folder outside the project."""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import platformdirs

# express 4, because under express 5 express-pouchdb answers GET _changes with a page of HTML.
# lighthouse 12.8.2 is the last that runs on Node 20.
SYNCING = ("pouchdb@9.0.0", "express-pouchdb@4.2.0", "express@4")
AUDITING = ("lighthouse@12.8.2", "axe-core@4.14.1")
CACHE = Path(platformdirs.user_cache_dir("evenwater", appauthor=False)) / "bench"


class NoPeer(Exception):
    """A peer could not be had; the text says which and why."""


def installed(packages: tuple[str, ...]) -> Path:
    """The folder whose node_modules holds these packages; installed when they are not there yet.

    Raises:
        NoPeer: no node, no npm, or the registry does not give them.
    """
    for command in ("node", "npm"):
        if not shutil.which(command):
            raise NoPeer(f"{' '.join(packages)}: there is no {command} (Debian, Ubuntu: apt install npm)")
    folder = CACHE / "-".join(packages).replace("@", "_")
    if not (folder / "complete").exists():
        folder.mkdir(parents=True, exist_ok=True)
        print(f"bench: installing {' '.join(packages)} into {folder} …", flush=True)
        command = ["npm", "install", "--no-audit", "--no-fund", "--no-save", "--prefix", str(folder), *packages]
        done = subprocess.run(command, capture_output=True, text=True, cwd=folder)
        if done.returncode:
            raise NoPeer(f"{' '.join(packages)}: npm said {(done.stderr.strip().splitlines() or ['nothing'])[-1]}")
        (folder / "complete").touch()
    return folder


@contextmanager
def pouch_serving(data: Path) -> Iterator[int]:
    """The port of express-pouchdb over leveldb, in a process of its own, over a new data folder."""
    folder = installed(SYNCING)
    script = Path(__file__).with_name("pouch_server.js")
    data.mkdir(parents=True)
    process = subprocess.Popen(
        ["node", str(script), str(folder), str(data)], stdout=subprocess.PIPE, text=True, cwd=data
    )
    try:
        assert process.stdout is not None
        yield int(process.stdout.readline())
    finally:
        process.terminate()
        process.wait(20)
