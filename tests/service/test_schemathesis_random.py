"""The live application under attack by its examples, by values at random, and by operations that follow another."""

import pytest
from service.attack import attack

pytestmark = pytest.mark.slow(seconds=8)

EXAMPLES, MANY = 3, 50
"""Of each operation, and with ``--long``."""


def test_the_live_application_keeps_to_its_schema_whatever_comes_in_whatever_order(serve, tmp_path, long):
    attack(serve, tmp_path, "examples", "fuzzing", "stateful", examples=MANY if long else EXAMPLES)
