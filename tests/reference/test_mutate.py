"""A tenth of the water's constants moved by 1 %: some check notices. Which tenth goes by `--seed`.

`--long`: all of them, and the warmth's.
"""

import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("mutate.py")


def test_some_check_notices_each_constant_that_is_moved(request: pytest.FixtureRequest):
    tenth = ["--tenth", str(request.config.getoption("--seed") % 10)]
    for asked in ([], ["--warmth"]) if request.config.getoption("--long") else (tenth,):
        ran = subprocess.run([sys.executable, str(SCRIPT), *asked], capture_output=True, text=True, check=False)
        assert ran.returncode == 0, ran.stdout[-3000:] + ran.stderr[-3000:]
        assert "0 with a source, noticed by nothing" in ran.stdout
        assert ran.stdout.count("noticed  ") >= 8
