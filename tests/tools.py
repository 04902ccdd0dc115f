"""Programs of the machine that tests use, each with the Debian package that brings it.

One that is missing is no failure of ours: what needs it is skipped and the end of the run says what to install.
Where ``CI`` is set it fails instead, so that nothing is ever left out unseen there. ``python3 tests/tools.py``
prints the packages that are missing, for ``.ci/run``; it needs nothing but Python.
"""

import os
import re
import shutil
from pathlib import Path

__all__ = ["CHROMIUM", "NGINX", "WHOLE", "forbidden", "missing", "need", "need_script", "remedy", "summary"]

WHOLE = "/usr/bin/chromium"
"""Debian's chromium whole: for what hangs on the browser around the page (certificates, installed apps)."""
SHELL = "/usr/bin/chromium-headless-shell"
"""The same engine without a window, where it is installed: pages cost a fifth less."""
CHROMIUM = SHELL if os.access(SHELL, os.X_OK) else WHOLE
NGINX = "/usr/sbin/nginx"
"""A proxy as others run it; the folder is on the path of few users."""
PACKAGES = {
    WHOLE: ("chromium", "fonts-dejavu-core"),
    "WebKitWebDriver": ("webkit2gtk-driver",),
    "Xvfb": ("xvfb",),
    "certtool": ("gnutls-bin",),
    "certutil": ("libnss3-tools",),
    "openssl": ("openssl",),
    "strace": ("strace",),
    NGINX: ("nginx-light",),
}


SCRIPTS = Path(__file__).resolve().parents[1] / ".ci" / "js" / "node_modules"
"""The JavaScript tools, which npm brings."""
BRING = "uv run npm --prefix .ci/js install"


CANNOT = re.compile(r"\S+ cannot be used on this machine: [^'\n]*[^'\n)]")


def missing() -> tuple[str, ...]:
    """The programs that are not here."""
    return tuple(program for program in PACKAGES if shutil.which(program) is None)


def remedy(*programs: str) -> str:
    """What brings these programs, as a command."""
    return "apt install " + " ".join(package for program in programs for package in PACKAGES[program])


def summary(reasons: list[str]) -> str:
    """One line of what was left out for want of a program, from the reasons of all skipped tests; or ""."""
    parts = []
    if count := sum("is missing: apt" in why for why in reasons):
        # All that is missing, so that one installation is enough: a test is left out for the first it needs.
        without = missing()
        names = ", ".join(without)
        parts.append(
            f"{count} left out, for {names} missing on this machine. To run them: {remedy(*without)}"
        )
    if count := sum(f"is missing: {BRING}" in why for why in reasons):
        parts.append(f"{count} left out, for the JavaScript tools are missing. To run them: {BRING}")
    cannot = [found[0] for why in reasons if (found := CANNOT.search(why))]
    parts += [f"{cannot.count(why)} left out, for {why}" for why in dict.fromkeys(cannot)]
    return "; ".join(parts)


def need(program: str) -> str:
    """The program, for a test or fixture that needs it; skips where it is missing, fails where ``CI`` is set."""
    if program in missing():
        _without(f"{program} is missing: {remedy(program)}")
    return program


def need_script(name: str) -> Path:
    """The folder of a JavaScript tool; skips or fails as ``need`` does."""
    if not (SCRIPTS / name / "package.json").is_file():
        _without(f"{name} is missing: {BRING}")
    return SCRIPTS / name


def forbidden(program: str, why: str) -> None:
    """Skip, since a program that is here may not be used: nothing that could be installed changes that."""
    import pytest

    pytest.skip(f"{program} cannot be used on this machine: {why}")


def _without(why: str) -> None:
    import pytest

    if os.environ.get("CI", "").lower() not in ("", "0", "false"):
        pytest.fail(f"{why} (CI is set, so nothing is skipped)", pytrace=False)
    pytest.skip(why)


if __name__ == "__main__":
    print(*(package for program in missing() for package in PACKAGES[program]))
