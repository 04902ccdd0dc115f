"""Pages that stand: a test marked ``same_page`` goes on with the page of an earlier one, in a job of its own.

A page that is loaded anew costs half a second of work and its model another; a new job in one that stands costs a
twentieth. So tests that look at nothing but jobs of their own share a page. What one leaves to the next is what a
person leaves: other jobs in the log, a model that is warm. Anything else ends the page: a failure, a complaint, a
setting that is kept, another page beside it, a window of another size. A test that takes ``complaints`` provokes
some, and has a page of its own; so has one marked ``fresh_page``: it counts jobs, answers for the server, or
changes what the browser can do.
"""

import inspect
import json
from collections.abc import Callable
from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import Error

__all__ = ["Standing", "shares"]

AS_FOUND = """async ([device, theme]) => {
  const { recall } = await import('/book/base.js');
  const chosen = Object.keys(localStorage).filter((name) => !/^bothends[/](?:draft[/]|been$)/.test(name));
  const paired = (await recall('access'))?.id ?? null;
  const plain = !matchMedia('print').matches && matchMedia(`(prefers-color-scheme: ${theme})`).matches;
  const kept = chosen.length || sessionStorage.length || paired !== device || (await recall('simulated'));
  return plain && !kept && !document.querySelector('dialog[open]');
}"""
"""Whether nothing is kept but jobs, drafts of theirs, that somebody was here, and the access that the page was
given; and nothing stands in the way."""


def shares(request: pytest.FixtureRequest) -> bool:
    """Whether a test may go on with the page of another."""
    if request.node.get_closest_marker("same_page") is None:
        return False
    own = request.node.get_closest_marker("fresh_page") is not None
    return not own and "complaints" not in inspect.signature(request.function).parameters


def as_found(hand: Hand, options: dict[str, Any]) -> bool:
    """Whether a page is as a test may find it."""
    page = hand.page
    if page.is_closed() or len(page.context.pages) != 1 or not page.url.startswith(hand.address):
        return False
    if page.viewport_size != options.get("viewport"):
        return False
    try:
        page.unroute_all()
        return bool(page.evaluate(AS_FOUND, [hand.device, options.get("color_scheme", "light")]))
    except Error:
        # It is on its way to somewhere else.
        return False


class Standing:
    """Pages by the options of their browser profile, each lent to one hand of a test at a time."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Hand, list[str]]] = {}
        self._lent: list[tuple[dict[str, Any], Hand, list[str]]] = []

    def take(
        self, options: dict[str, Any], fresh: Callable[[dict[str, Any], list[str]], Hand], device: str = ""
    ) -> Hand:
        """The page that stands, or a new one; a test that asks twice for the same options has two.

        With ``device`` it is a page that has the access of that device, where one stands.
        """
        told: list[str] = []
        if found := self._kept.pop(_key(options, device), None):
            hand, told = found
            hand.standing = True
        else:
            hand = fresh(options, told)
        hand.shared = True
        self._lent.append((options, hand, told))
        return hand

    def give_back(self, failed: bool) -> list[str]:
        """Take back what was lent and keep what is as it was found; all that the pages complained of."""
        complaints = []
        for options, hand, told in self._lent:
            key = _key(options, hand.device or "")
            if not failed and not told and key not in self._kept and as_found(hand, options):
                self._kept[key] = (hand, told)
            else:
                hand.page.context.close()
            complaints += told
        self._lent.clear()
        return complaints

    def close(self) -> None:
        """Close all that are kept."""
        for hand, _ in self._kept.values():
            hand.page.context.close()
        self._kept.clear()


def _key(options: dict[str, Any], device: str) -> str:
    return json.dumps([options, device], sort_keys=True)
