"""The examples in the domain's docstrings come out as they say."""

import doctest
import importlib
import pkgutil

import pytest

from evenwater import domain

MODULES = [one.name for one in pkgutil.walk_packages(domain.__path__, "evenwater.domain.") if not one.ispkg]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_come_out(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples_to_run():
    attempted = (doctest.testmod(importlib.import_module(name)).attempted for name in MODULES)
    assert sum(attempted) >= 10
