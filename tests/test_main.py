"""The command line: one line that says what to do when something is in the way; a kill ends everything."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from evenwater.main import FRONTEND, SEED_SCENARIO, run


def refused(capsys, *arguments: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(list(arguments))
    assert ended.value.code == 1
    (line,) = capsys.readouterr().err.splitlines()
    return line


def test_a_port_taken_is_told_in_one_line(capsys, tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        line = refused(capsys, "serve", "--port", str(port), "--data", str(tmp_path))
    assert line == f"evenwater: port {port} is taken: stop what uses it, or choose another with --port."
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_told_in_one_line(capsys, tmp_path):
    (tmp_path / "file").write_text("not a folder")
    line = refused(capsys, "serve", "--port", "0", "--data", str(tmp_path / "file"))
    assert "choose another with --data" in line


def test_a_file_that_is_no_database_is_left_as_it_is(capsys, tmp_path):
    spoilt = tmp_path / "evenwater.sqlite"
    spoilt.write_text("no database at all, but somebody's only copy of something" * 20)
    before = spoilt.read_bytes()
    assert "not a database" in refused(capsys, "serve", "--port", "0", "--data", str(tmp_path))
    assert spoilt.read_bytes() == before


def test_fresh_without_example_is_refused_since_it_would_throw_away_a_real_log(capsys, tmp_path):
    assert "--example" in refused(capsys, "serve", "--fresh", "--data", str(tmp_path))


def test_the_folders_it_serves_are_there():
    assert (FRONTEND / "index.html").is_file()
    assert (SEED_SCENARIO / "load.py").is_file()


@contextmanager
def serving(data: Path, port: int) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", "evenwater.main", "serve", "--port", str(port), "--data", str(data)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, start_new_session=True)
    try:
        _wait_for(port)
        yield server
    finally:
        if server.poll() is None:
            os.killpg(server.pid, signal.SIGKILL)
        server.wait()


def _wait_for(port: int) -> None:
    until = time.monotonic() + 60
    while True:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/health", timeout=1):
                return
        except OSError:
            assert time.monotonic() < until, "the server does not answer"
            time.sleep(0.05)  # nothing to wait on but the port itself


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        return found.getsockname()[1]


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_told_to_stop_it_ends_and_frees_the_port_and_the_data_stays(how, tmp_path):
    port = free_port()
    with serving(tmp_path, port) as server:
        server.send_signal(how)
        assert server.wait(timeout=20) in (0, 130, -how)
    with serving(tmp_path, port):
        assert (tmp_path / "evenwater.sqlite").is_file()
