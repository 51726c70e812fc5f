"""`python3 backend …`: makes .venv, installs, serves. After a pip install the same is `evenwater serve …`."""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import bootstrap

if __name__ == "__main__":
    bootstrap.step_into([bootstrap.ensure(), "-m", "evenwater.main", "serve", *sys.argv[1:]])
