"""The browser of the shop's PC, opened at a file of the data folder, is let in by what stands there."""

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

from browser.conftest import UNHURRIED
from playwright.sync_api import Browser

NAME = "async () => (await (await import('/book/device.js')).access())?.name ?? null"


def test_the_browser_that_the_pc_opens_is_let_in_without_a_code_in_its_arguments(
    serve: Callable[..., Any], tmp_path: Path, chromium: Browser
) -> None:
    note, script = tmp_path / "opened", tmp_path / "browser"
    os.mkfifo(note)
    script.write_text(f'#!/bin/sh\necho "$@" > {note}\n')
    script.chmod(script.stat().st_mode | stat.S_IXUSR)
    env = {"DISPLAY": ":7", "BROWSER": str(script), "HOME": str(tmp_path)}
    running = serve("--data", str(tmp_path / "book"), env=env)
    arguments = note.read_text().strip()
    assert "here=" not in arguments
    context = chromium.new_context()
    context.add_init_script(UNHURRIED)
    page = context.new_page()
    page.goto(arguments)
    page.wait_for_url(f"{running.address}/**")
    while not (name := page.evaluate(NAME)):
        page.evaluate("() => new Promise(requestAnimationFrame)")
    assert name == "Shop PC"
    # Neither the address nor the way back has the code, and the file is gone once it was used.
    assert "here=" not in page.url
    while list((tmp_path / "book").glob("bothends-open-*.html")):
        assert page.evaluate("async () => (await fetch('/api/health')).ok")
    context.close()
