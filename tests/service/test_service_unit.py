"""What starts the app with the PC: read by parsers of the systems' own formats, and run where it can be."""

import configparser
import plistlib
import shlex
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from bothends.service.cli.service_unit import SYSTEMS, unit
from bothends.service.command import main

ODD = ["--data", '/home/jo & co/50% $HOME "book"', "--port", "9000"]
TASK = {"t": "http://schemas.microsoft.com/windows/2004/02/mit/task"}


def test_systemd_reads_the_unit_and_starts_with_the_very_options():
    found = configparser.ConfigParser(interpolation=None, comment_prefixes="#")
    found.optionxform = str
    found.read_string(unit("linux", ODD))
    assert found["Install"]["WantedBy"] == "default.target"
    line = found["Service"]["ExecStart"]
    # systemd.service(5): words in double quotes with C escapes; % and $ doubled are themselves.
    words = [word.replace("%%", "%").replace("$$", "$") for word in shlex.split(line)]
    assert words == [sys.executable, "-m", "bothends.service.command", "serve", "--no-browser", *ODD]


def test_launchd_reads_the_list_and_starts_with_the_very_options():
    found = plistlib.loads(unit("macos", ODD).encode())
    assert found["ProgramArguments"][-4:] == ODD
    assert found["RunAtLoad"] is True


def test_windows_reads_the_task_and_starts_with_the_very_options():
    text = unit("windows", ODD)
    root = ElementTree.fromstring(text.replace('encoding="UTF-16"', ""))
    assert root.findtext(".//t:Exec/t:Command", namespaces=TASK) == sys.executable
    arguments = root.findtext(".//t:Exec/t:Arguments", namespaces=TASK)
    assert arguments.startswith("-m bothends.service.command serve --no-browser --data")
    assert arguments.endswith("--port 9000")


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_text_says_how_it_is_put_in_place(system):
    text = unit(system, [])
    assert "Save as" in text
    assert {"linux": "systemctl", "macos": "launchctl", "windows": "schtasks"}[system] in text


def test_an_option_that_serve_does_not_know_is_refused_before_it_is_printed(capsys):
    with pytest.raises(SystemExit):
        main(["service-unit", "linux", "--prot", "9000"])
    assert "--prot" in capsys.readouterr().err


def test_the_command_of_the_unit_is_one_that_this_machine_can_run():
    line = next(x for x in unit("linux", ["--help"]).splitlines() if x.startswith("ExecStart="))
    done = subprocess.run(shlex.split(line.removeprefix("ExecStart=")), capture_output=True, text=True)
    assert done.returncode == 0
    assert "--helper-port" in done.stdout
