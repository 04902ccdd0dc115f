"""The live application under attack by values that a schema's bounds suggest, each operation by itself.

With ``--long`` it is every one, ten thousand; else of each operation, place and kind the first ones and some of the
rest.

The other phases stand in ``test_schemathesis_random``, a file of its own so that two processes share the attack.
"""

import pytest
from service.attack import attack

pytestmark = pytest.mark.slow(seconds=10)


def test_the_live_application_keeps_to_its_schema_at_and_beyond_every_bound(serve, tmp_path, long):
    attack(serve, tmp_path, "coverage", short=not long)
