"""The suite itself: what a machine lacks is said, and left out unless that would go unseen."""

import json
import os
import subprocess
import sys
from types import SimpleNamespace

import durations
import pytest
import tools


def run_without_openssl(repository, tmp_path, **more):
    """Run tests of which one needs openssl, on a machine that seems to have no programs at all."""
    env = {
        name: value for name, value in os.environ.items() if not name.startswith("PYTEST_") and name != "CI"
    }
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-n0", "-p", "no:cacheprovider", "tests/service/test_helper_page.py",
         "-k", "openssl or text"],
        cwd=repository, env={**env, "PATH": str(tmp_path), **more}, capture_output=True, text=True,
    )  # fmt: skip


@pytest.mark.slow
def test_without_a_program_what_needs_it_is_left_out_and_the_run_says_how_to_get_it(repository, tmp_path):
    run = run_without_openssl(repository, tmp_path)
    assert run.returncode == 0, run.stdout
    assert "1 passed, 1 skipped" in run.stdout
    assert (
        "1 left out, for WebKitWebDriver, Xvfb, certtool, certutil, openssl, strace missing on this machine."
        in run.stdout
    )
    assert (
        "To run them: apt install webkit2gtk-driver xvfb gnutls-bin libnss3-tools openssl strace\n"
        in run.stdout
    )


@pytest.mark.slow
def test_where_ci_is_set_a_missing_program_fails_the_run(repository, tmp_path):
    run = run_without_openssl(repository, tmp_path, CI="true")
    assert run.returncode == 1
    assert "openssl is missing: apt install openssl (CI is set, so nothing is skipped)" in run.stdout


def test_all_that_is_missing_is_told_in_one_line_with_its_packages(monkeypatch):
    monkeypatch.setattr(tools.shutil, "which", lambda program: None)
    monkeypatch.delenv("CI", raising=False)
    reasons = ["permission bits"]
    for program in (*tools.PACKAGES, tools.WHOLE):
        with pytest.raises(pytest.skip.Exception) as skipped:
            tools.need(program)
        reasons.append(str(skipped.value))
    without = "/usr/bin/chromium, WebKitWebDriver, Xvfb, certtool, certutil, openssl, strace, /usr/sbin/nginx"
    packages = "chromium fonts-dejavu-core webkit2gtk-driver xvfb gnutls-bin libnss3-tools openssl strace"
    packages += " nginx-light"
    count = len(tools.PACKAGES) + 1
    assert tools.summary(reasons) == (
        f"{count} left out, for {without} missing on this machine. To run them: apt install {packages}"
    )
    assert tools.summary(["permission bits"]) == ""


def test_a_program_that_is_here_but_may_not_be_used_is_told_too_and_never_fails_the_run(monkeypatch):
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.skip.Exception) as skipped:
        tools.forbidden("strace", "it may not watch other programs")
    assert tools.summary([str(skipped.value)]) == (
        "1 left out, for strace cannot be used on this machine: it may not watch other programs"
    )


def test_javascript_tools_that_are_missing_are_told_with_what_brings_them(monkeypatch, tmp_path):
    monkeypatch.setattr(tools, "SCRIPTS", tmp_path)
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception) as skipped:
        tools.need_script("tsc")
    assert tools.summary([str(skipped.value)]) == (
        "1 left out, for the JavaScript tools are missing. To run them: uv run npm --prefix .ci/js install"
    )
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="nothing is skipped"):
        tools.need_script("tsc")


@pytest.mark.slow(seconds=2)
def test_every_program_beside_the_tests_can_be_read_in(repository):
    # Benchmarks and pictures are run by hand, and would else be found broken only then.
    tests = repository / "tests"
    names = [
        path.relative_to(tests).with_suffix("").as_posix().replace("/", ".")
        for folder in ("browser", "shop")
        for path in sorted((tests / folder).glob("*.py"))
        if not path.name.startswith(("test_", "conftest", "__"))
    ]
    assert len(names) > 20
    command = f"import importlib\nfor name in {names}: importlib.import_module(name)"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", command],
        env={**os.environ, "PYTHONPATH": str(tests)}, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def test_a_test_is_quick_unless_it_says_slow_or_stands_in_a_slow_folder(request):
    assert request.node.get_closest_marker("quick")
    slow = [one for one in request.session.items if one.get_closest_marker("slow")]
    assert not any(one.get_closest_marker("quick") for one in slow)


def test_what_files_take_is_kept_where_it_is_worth_a_line_and_files_that_are_gone_go(tmp_path):
    table = tmp_path / "durations.json"
    for name in ("short.py", "long.py", "left_out.py"):
        (tmp_path / name).touch()
    before = {"long.py": 90.0, "left_out.py": 5.0, "gone.py": 7.0, "long.py::test_first": 3.0}
    table.write_text(json.dumps({**before, "gone.py::test_it": 7.0}), encoding="utf-8")
    clock = durations.Clock(table, tmp_path)
    took = (
        ("short.py::test_it", 0.4),
        ("short.py::test_quick", 0.07),
        ("long.py::test_it", 10.0),
        ("long.py::test_it", 2.25),
    )
    for name, seconds in took:
        clock.pytest_runtest_logreport(SimpleNamespace(nodeid=name, duration=seconds, when="call"))
    clock.pytest_sessionfinish(1)
    assert json.loads(table.read_text(encoding="utf-8"))["long.py"] == 90.0
    clock.pytest_sessionfinish(0)
    assert list(json.loads(table.read_text(encoding="utf-8")).items()) == [
        ("long.py", 12.2),
        ("left_out.py", 5.0),
        ("long.py::test_first", 3.0),
        ("long.py::test_it", 2.2),
        ("short.py::test_it", 0.4),
    ]


def test_files_go_in_the_order_of_what_they_take(request):
    known = durations.known()
    order = [
        known[path] for path in dict.fromkeys(item.path for item in request.session.items) if path in known
    ]
    assert order == sorted(order, reverse=True)
