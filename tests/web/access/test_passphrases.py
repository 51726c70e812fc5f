"""How heavy a passphrase's hash is where people sign in; the tests themselves use a lighter one (tests/conftest.py)."""

import importlib.util

from argon2 import profiles

from evenwater.web.access import passphrases


def test_a_real_server_hashes_as_rfc_9106_recommends():
    # Read anew, beside the one the tests made light.
    spec = importlib.util.spec_from_file_location("passphrases_as_served", passphrases.__file__)
    assert spec is not None and spec.loader is not None
    served = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(served)
    kept = served.hash_passphrase("four small words here")
    told = profiles.RFC_9106_LOW_MEMORY
    costs = f"m={told.memory_cost},t={told.time_cost},p={told.parallelism}"
    assert kept.startswith(f"$argon2id$v=19${costs}$")
    assert passphrases.is_passphrase(kept, "four small words here")
