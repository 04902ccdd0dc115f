"""The live application under attack by every value that a schema's bounds suggest, each operation by itself.

The other phases stand in ``test_schemathesis_random``, a file of its own so that two processes share the attack.
"""

import pytest
from service.attack import attack

pytestmark = pytest.mark.slow(seconds=40)


def test_the_live_application_keeps_to_its_schema_at_and_beyond_every_bound(serve, tmp_path):
    attack(serve, tmp_path, "coverage")
