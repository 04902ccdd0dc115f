"""The first load stays within its budgets. Bytes, not seconds: the same on every machine."""

import pytest
from shop.first_load import ALL_KB, PAGE_KB, sizes


@pytest.mark.slow
def test_the_first_load_stays_within_its_bytes():
    found = sizes()
    assert found["page"] <= PAGE_KB, found
    assert sum(found.values()) <= ALL_KB, found
