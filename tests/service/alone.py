"""Coroutines in tests: a browser's own loop may be running in the thread that tests run in."""

import asyncio
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

__all__ = ["alone"]


def alone(work: Callable[[], Coroutine[Any, Any, Any]]) -> Any:
    """Run a coroutine in a thread of its own; what it returns."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(lambda: asyncio.run(work())).result()
