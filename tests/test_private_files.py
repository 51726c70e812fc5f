"""What the server writes is for the account it runs as, even in a folder that others may look into."""

import subprocess
import sys
from pathlib import Path

import pytest


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps rights another way (2026-11-25)")
def test_nothing_the_server_writes_is_open_to_other_accounts(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    command = [sys.executable, "-m", "evenwater.main", "serve", "--port", "0", "--data", str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as server:
        assert server.stdout
        try:
            assert b"evenwater: open http://" in server.stdout.readline()
        finally:
            server.terminate()
    written = [one for one in tmp_path.rglob("*") if one.is_file()]
    assert "evenwater.sqlite" in {one.name for one in written}
    assert [one.name for one in written if one.stat().st_mode & 0o077] == []
