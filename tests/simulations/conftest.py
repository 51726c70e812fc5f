"""How long, and from which seed: `--long` for full size, `--seed N` for another run."""

import pytest


@pytest.fixture
def full_size(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--long"))


@pytest.fixture
def seed(request: pytest.FixtureRequest) -> int:
    return int(request.config.getoption("--seed"))


@pytest.fixture
def kills(full_size: bool) -> int:
    return 500 if full_size else 50
