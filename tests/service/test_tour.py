"""The README's tour: every picture is there, said in words, small; none goes to phones or into the wheel."""

import re
import tomllib

import pytest
from browser.tour import FOLDER, MOST_BYTES, PICTURES

from bothends.service import precache
from bothends.service.settings import Settings
from bothends.service.site.front import Files


def test_the_readme_shows_every_picture_in_words_and_no_other(repository):
    readme = (repository / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[([^\]]{20,})\]\((\S+)\)", readme)
    there = {path.relative_to(repository).as_posix() for path in FOLDER.iterdir()}
    assert {path for _, path in shown} == there
    assert {path.rsplit("/", 1)[1].removesuffix(".webp") for path in there} <= set(PICTURES)


def test_pictures_are_small():
    sizes = [path.stat().st_size for path in FOLDER.iterdir()]
    assert 0 < sum(sizes) <= MOST_BYTES
    assert len(sizes) <= 6
    assert all(path.read_bytes()[8:12] == b"WEBP" for path in FOLDER.iterdir())


@pytest.mark.slow
def test_pictures_are_not_served_and_not_in_the_wheel(repository):
    assert not [name for name in Files(Settings()).names() if "tour" in name]
    assert "tour" not in precache.text()
    project = tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))
    shipped = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert not [
        path for path in (*shipped["only-include"], *shipped["force-include"]) if path.startswith("tests")
    ]
