"""Pages that stand: a test marked ``same_page`` goes on with the page of an earlier one, in a job of its own.

A page that is loaded anew costs half a second of work and its model another; a new job in one that stands costs a
twentieth. So tests that look at nothing but jobs of their own share a page. What one leaves to the next is what a
person leaves: other jobs in the log, a model that is warm. Window, theme, size of the text, unit and hand are those
that the next one asks for. Anything else ends the page: a failure, a complaint that nobody expected, a setting that
is kept, another page beside it, a script that was put before the page's own. One marked ``empty_page`` counts jobs:
it finds the page that stands with nothing in its log. One marked ``fresh_page`` has a page of its own: it changes
what the browser can do. A module finds the pages that another one of the process has left, with nothing in their
logs; a page that is paired ends with its module.
"""

import inspect
import json
from collections.abc import Callable
from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import Error, Page

__all__ = ["Ear", "Standing", "shares"]

TIDIED = """async () => {
  for (const [name, module, set, usual] of [
    ['bothends/lengths', '/book/lengths.js', 'setLengths', 'mm'],
    ['bothends/hand', '/parts/hand.js', 'setHand', 'right'],
  ]) {
    if (localStorage.getItem(name) === null) continue;
    (await import(module))[set](usual);
    localStorage.removeItem(name);
  }
}"""
"""Puts back the unit and the hand, which a page has in force as it has them kept."""
AS_FOUND = """async (device) => {
  const { recall } = await import('/book/base.js');
  const chosen = Object.keys(localStorage).filter((name) => !/^bothends[/](?:draft[/]|(?:been|start)$)/.test(name));
  const paired = (await recall('access'))?.id ?? null;
  const kept = chosen.length || sessionStorage.length || paired !== device || (await recall('simulated'));
  const able = navigator.onLine && !('__pwClock' in globalThis);
  return able && !kept && !document.querySelector('dialog[open]');
}"""
"""Whether nothing is kept but jobs, the start page they were drawn on, drafts of theirs, that somebody was here,
and the access that the page was given; and nothing stands in the way."""
EMPTIED = """async () => {
  const db = await new Promise((done, failed) => {
    const asked = indexedDB.open('bothends');
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const all = [...db.objectStoreNames];
  const work = db.transaction(all, 'readwrite');
  for (const name of all) work.objectStore(name).clear();
  await new Promise((done, failed) => {
    work.oncomplete = done;
    work.onabort = () => failed(work.error);
  });
  db.close();
  for (const name of Object.keys(localStorage)) if (name !== 'bothends/been') localStorage.removeItem(name);
}"""
"""Leaves nothing of the phone's log, of its settings and drafts."""


WORN = ("viewport", "color_scheme", "reduced_motion")
"""Options of a profile that a page which stands can change."""


def shares(request: pytest.FixtureRequest) -> bool:
    """Whether a test may go on with the page of another."""
    marked = request.node.get_closest_marker
    return marked("same_page") is not None and marked("fresh_page") is None


def provokes(request: pytest.FixtureRequest) -> bool:
    """Whether a test makes its page complain, and says which complaints it takes."""
    return "complaints" in inspect.signature(request.function).parameters


class Ear:
    """Hears what a page complains of, for the test that has it now."""

    def __init__(self, to: list[str]) -> None:
        self.to = to
        self.changed = False
        """Whether a script was put before the page's own, which nothing takes away again."""

    def append(self, text: str) -> None:
        """One complaint."""
        self.to.append(text)

    def watch(self, page: Page) -> None:
        """Note when the page gets such a script."""
        add = page.add_init_script

        def noted(*given: Any, **named: Any) -> None:
            self.changed = True
            add(*given, **named)

        page.add_init_script = noted  # type: ignore[method-assign]


def dress(hand: Hand, options: dict[str, Any]) -> None:
    """Give a page the window and the wishes of its next test."""
    hand.page.set_viewport_size(options["viewport"])
    hand.page.emulate_media(
        media="null",
        color_scheme=options.get("color_scheme", "light"),
        reduced_motion=options.get("reduced_motion", "no-preference"),
    )


def as_found(hand: Hand) -> bool:
    """Whether a page is as a test may find it; what can be put back is."""
    page = hand.page
    if page.is_closed() or len(page.context.pages) != 1 or not page.url.startswith(hand.address):
        return False
    try:
        page.unroute_all()
        hand.letters(None)
        page.evaluate(TIDIED)
        return bool(page.evaluate(AS_FOUND, hand.device))
    except Error:
        # It is on its way to somewhere else.
        return False


class Standing:
    """Pages by the options of their browser profile, each lent to one hand of a test at a time."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Hand, Ear, bool]] = {}
        self._lent: list[tuple[dict[str, Any], Hand, Ear, str]] = []
        self._module: Any = None
        self._of_others: set[str] = set()
        """Keys of pages that another module has left: their logs are emptied before a test has one."""

    def go_on(self, module: Any) -> None:
        """Say whose tests come now. Pages that have a shop's access end with the module whose shop it was."""
        if module == self._module:
            return
        self._module = module
        for key, (hand, _, _) in list(self._kept.items()):
            if hand.device:
                del self._kept[key]
                hand.page.context.close()
        self._of_others = set(self._kept)

    def take(
        self,
        options: dict[str, Any],
        fresh: Callable[[dict[str, Any], Ear], Hand],
        complaints: list[str],
        device: str = "",
        *,
        browser: Any = None,
        empty: bool = False,
    ) -> Hand:
        """The page that stands, or a new one; a test that asks twice for the same options has two.

        With ``device`` it is a page that has the access of that device, where one stands.
        """
        hand = self._found(_key(options, device, browser), options, complaints, empty)
        if hand is None:
            ear = Ear(complaints)
            hand = fresh(options, ear)
            ear.watch(hand.page)
            self._lent.append((options, hand, ear, hand.address))
        hand.shared = True
        return hand

    def _found(self, key: str, options: dict[str, Any], complaints: list[str], empty: bool) -> Hand | None:
        found = self._kept.pop(key, None)
        if found is None:
            return None
        hand, ear, provoked = found
        late, ear.to = ear.to, complaints
        empty = empty or key in self._of_others
        self._of_others.discard(key)
        if not provoked:
            complaints += late
        if (late and provoked) or (empty and not _emptied(hand)):
            hand.page.context.close()
            return None
        dress(hand, options)
        hand.standing = True
        self._lent.append((options, hand, ear, hand.address))
        return hand

    def give_back(self, request: pytest.FixtureRequest, failed: bool, complaints: list[str]) -> None:
        """Take back what was lent and keep what is as it was found."""
        for options, hand, ear, address in self._lent:
            key = _key(options, hand.device or "", hand.page.context.browser)
            moved = hand.address != address and not hand.device
            good = not (failed or moved or ear.changed or complaints) and key not in self._kept
            if good and as_found(hand) and not complaints:
                ear.to = []
                self._kept[key] = (hand, ear, provokes(request))
            else:
                hand.page.context.close()
        self._lent.clear()

    def close(self) -> None:
        """Close all that are kept."""
        for hand, _, _ in self._kept.values():
            context = hand.page.context
            # A browser that has ended has taken its pages along.
            if context.browser is None or context.browser.is_connected():
                context.close()
        self._kept.clear()


def _emptied(hand: Hand) -> bool:
    """Leave nothing in a page's log, whose next screen is then drawn without it; not with a shop's access."""
    if hand.device:
        return False
    hand.place("new")
    hand.page.evaluate(EMPTIED)
    return True


def _key(options: dict[str, Any], device: str, browser: Any) -> str:
    """What a page is known by: what ``dress`` cannot change."""
    options = {name: value for name, value in options.items() if name not in WORN and value is not False}
    return json.dumps([options, device, id(browser)], sort_keys=True)
