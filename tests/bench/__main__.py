"""`python3 tests/bench [gate …] [--rounds N]`: measures the gates for speed and size against named peers, in one run.

Makes .venv with the test extra first. The peers come from the npm registry into a cache folder outside the project;
one that cannot be installed is named, and its gate counts as not measured. Gates are numbered 1 to 9; without a number
all are measured. Figures move from machine to machine: only the ratios, and the limits in time, are judged.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "backend"))

import bootstrap

if __name__ == "__main__":
    here = os.path.dirname(os.path.abspath(__file__))
    run = os.path.join(here, "run.py")
    os.environ["PYTHONPATH"] = os.path.dirname(here)  # what benches and tests share
    bootstrap.step_into([bootstrap.ensure(["test"]), run, *sys.argv[1:]])
