"""bothends service-unit: what makes the app start with the PC, on Linux, macOS and Windows, for this very machine.

Owns the three texts. They are printed, never put in place: that is the system's and its user's business.
"""

import plistlib
import sys
from pathlib import Path
from xml.sax.saxutils import escape

__all__ = ["SYSTEMS", "unit"]

SYSTEMS = ("linux", "macos", "windows")
NAME = "bothends"


def unit(system: str, options: list[str], python: str = sys.executable) -> str:
    """The text for a system of SYSTEMS, which serves with these options.

    Parameters
    ----------
    options : what ``bothends serve`` is told
    python : the interpreter that has the package
    """
    words = [python, "-m", "bothends.service.command", "serve", "--no-browser", *options]
    return {"linux": _systemd, "macos": _launchd, "windows": _task}[system](words)


def _systemd(words: list[str]) -> str:
    command = " ".join(_quoted(word) for word in words)
    return f"""\
# Save as ~/.config/systemd/user/{NAME}.service, then run
#   systemctl --user enable --now {NAME}
#   loginctl enable-linger    (so that it runs without anybody logged in)
# What it says, pairing codes too: journalctl --user -u {NAME}
[Unit]
Description=Bothends, the shop database

[Service]
ExecStart={command}
Restart=on-failure
RestartSec=5
TimeoutStopSec=15
NoNewPrivileges=yes

[Install]
WantedBy=default.target
"""


def _quoted(word: str) -> str:
    """A word as systemd reads it: in quotes, with its own signs kept from it."""
    inside = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{inside}"'


def _launchd(words: list[str]) -> str:
    log = str(Path.home() / "Library" / "Logs" / f"{NAME}.log")
    label = f"local.{NAME}"
    about = {
        "Label": label,
        "ProgramArguments": words,
        "RunAtLoad": True,
        "KeepAlive": {"SuccessfulExit": False},
        "StandardOutPath": log,
        "StandardErrorPath": log,
    }
    head, _, rest = plistlib.dumps(about, sort_keys=False).decode().partition("\n")
    note = f"""\
<!-- Save as ~/Library/LaunchAgents/{label}.plist, then run
     launchctl bootstrap gui/$(id -u) ~/Library/LaunchAgents/{label}.plist
     What it says, pairing codes too, goes to {escape(log).replace("--", "- -")} -->"""
    return f"{head}\n{note}\n{rest}"


def _task(words: list[str]) -> str:
    program, *arguments = words
    line = escape(" ".join(f'"{word}"' if " " in word else word for word in arguments))
    return f"""\
<?xml version="1.0" encoding="UTF-16"?>
<!-- Save as {NAME}.xml, in PowerShell: bothends service-unit windows | Out-File {NAME}.xml -Encoding Unicode
     then run
     schtasks /Create /TN {NAME} /XML {NAME}.xml
     and allow Python through the firewall on private networks when Windows asks. -->
<Task version="1.2" xmlns="http://schemas.microsoft.com/windows/2004/02/mit/task">
  <Triggers><LogonTrigger><Enabled>true</Enabled></LogonTrigger></Triggers>
  <Principals><Principal id="Author"><LogonType>InteractiveToken</LogonType></Principal></Principals>
  <Settings>
    <MultipleInstancesPolicy>IgnoreNew</MultipleInstancesPolicy>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <StopIfGoingOnBatteries>false</StopIfGoingOnBatteries>
    <ExecutionTimeLimit>PT0S</ExecutionTimeLimit>
    <RestartOnFailure><Interval>PT1M</Interval><Count>10</Count></RestartOnFailure>
  </Settings>
  <Actions Context="Author">
    <Exec><Command>{escape(program)}</Command><Arguments>{line}</Arguments></Exec>
  </Actions>
</Task>
"""
