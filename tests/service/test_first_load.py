"""The first load stays within its budgets. Bytes and requests, not seconds: the same on every machine."""

import pytest
from shop.first_load import ALL_KB, MODULES, PAGE_KB, modules, sizes


@pytest.mark.slow(seconds=3)
def test_the_first_load_stays_within_its_bytes():
    found = sizes()
    assert found["page"] <= PAGE_KB, found
    assert sum(found.values()) <= ALL_KB, found


def test_the_list_of_jobs_waits_for_few_modules():
    found = modules()
    assert {"app.js", "screens/jobs-cards.js", "vendor/idb.mjs"} <= set(found)
    assert len(found) <= MODULES, found
