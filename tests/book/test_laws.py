"""Laws of strikes, corrections and settlements, on logs that point at one another in every direction."""

import copy
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import JOB, START_MS, an_id
from bothends.book.sheet.chains import Link, chains, corrections
from bothends.book.sheet.fold import fold
from bothends.book.sheet.order import in_order
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request
from bothends.book.sheet.ruling import Ruling
from bothends.book.sheet.unaware import knew_nothing, unaware

NOBODY_HAS = (an_id(997), an_id(998))
SAID = ("readings", "moves", "conflicts", "waiting", "state", "target", "plans")
"""What a sheet says of the job, beside the lists of who wrote what."""


@st.composite
def tangles(draw: st.DrawFn) -> list[dict]:
    """Entries about few others: rings of corrections, branches, strikes that say what they saw or do not."""
    count = draw(st.integers(1, 24))
    ids = [an_id(number, START_MS + draw(st.integers(-3, 3))) for number in range(count)]
    known = st.sampled_from([*ids, *NOBODY_HAS])
    several = st.lists(known, max_size=4)
    kinds = draw(st.sampled_from([("reading", "strike"), ("move", "reading", "strike", "settle", "settle")]))
    out = []
    for name in ids:
        kind = draw(st.sampled_from(kinds))
        body: dict = {"teardown": 1, "left": {"inner": draw(st.integers(0, 1))}}
        if kind == "reading":
            body = {"what": "body-height", "side": "left", "value": draw(st.integers(1, 3))}
        elif kind == "strike":
            body = {"entry": draw(known), **draw(st.just({}) | st.fixed_dictionaries({"saw": several}))}
        elif kind == "settle":
            body = {"keeps": draw(known), "drops": draw(several), "replaces": draw(several)}
        if kind in ("reading", "move") and draw(st.integers(0, 4)):
            body["corrects"] = draw(known)
        device = draw(st.sampled_from(["phone-a", "phone-b", "shop"]))
        at = "2026-09-21T10:00:00Z"
        out.append({"id": name, "job": JOB, "device": device, "at": at, "kind": kind, "body": body})
    return out


def later(number: int, kind: str, body: dict) -> dict:
    """An entry after all of a tangle, by a device of its own."""
    return {
        "id": an_id(500 + number, START_MS + 500 + number),
        "job": JOB,
        "device": "desk",
        "at": "2026-09-21T11:00:00Z",
        "kind": kind,
        "body": body,
    }


def said(entries: list[dict]) -> dict:
    """What the sheet says of the job."""
    sheet = fold(JOB, entries)
    return {name: sheet[name] for name in SAID}


@given(tangles(), st.randoms(use_true_random=False))
def test_a_tangle_folds_to_the_same_in_any_order_and_however_often_it_comes(entries, random):
    again = copy.deepcopy(entries) + copy.deepcopy(random.choices(entries, k=4))
    random.shuffle(again)
    both = []
    for log in (entries, again):
        sheet = fold(JOB, log)
        both.append(json.dumps([sheet, request(sheet), stages(sheet), timeline(sheet)]))
    assert both[0] == both[1]


@pytest.mark.slow(seconds=2)
@given(tangles())
def test_a_settlement_about_entries_that_nobody_has_changes_nothing(entries):
    keeps, *drops = NOBODY_HAS
    clean = [e for e in entries if not set(NOBODY_HAS) & set(json.dumps(e["body"]).split('"'))]
    assert said([*clean, later(1, "settle", {"keeps": keeps, "drops": drops})]) == said(clean)


@given(tangles(), st.data())
def test_a_settlement_that_is_struck_is_as_if_it_had_never_been_made(entries, data):
    names = st.sampled_from([e["id"] for e in entries])
    body = {"keeps": data.draw(names), "drops": data.draw(st.lists(names, max_size=3)), "replaces": []}
    body["replaces"] = [e["id"] for e in entries if e["kind"] == "settle"]
    settlement = later(1, "settle", body)
    strike = later(2, "strike", {"entry": settlement["id"]})
    assert said([*entries, settlement, strike]) == said(entries)


@given(tangles(), st.data())
def test_a_strike_that_is_struck_is_as_if_it_had_never_been_made(entries, data):
    strike = later(1, "strike", {"entry": data.draw(st.sampled_from([e["id"] for e in entries]))})
    assert said([*entries, strike, later(2, "strike", {"entry": strike["id"]})]) == said(entries)


@pytest.mark.slow(seconds=2)
@given(tangles())
@settings(max_examples=tries(300))
def test_who_did_not_know_of_whom_is_found_as_if_every_pair_had_been_looked_at(entries):
    entries = in_order_of_ids(entries)
    ruling = Ruling(entries)
    links = [Link(e, ruling.place[e["id"]]) for e in entries if e["kind"] == "reading"]
    corrects = corrections(links)
    for chain in chains(links, ruling):
        heads, strikes = {}, {}
        for head in chain.standing:
            for name in above(head.id, corrects):
                for strike in ruling.struck_links.get(name, []):
                    if knew_nothing(strike, head):
                        heads[head.place] = head.id
                        strikes[strike.place] = strike.id
        found = unaware(chain, corrects, ruling.struck_links)
        assert [link.id for link in found.heads] == [heads[place] for place in sorted(heads)]
        assert [s.id for s in found.strikes] == [strikes[place] for place in sorted(strikes)]


def in_order_of_ids(entries: list[dict]) -> list[dict]:
    """The entries as a fold orders them where no device counts."""
    return sorted(entries, key=lambda e: e["id"])


def above(name: str, corrects: dict) -> list[str]:
    """All that an entry corrects, directly or through others, without itself."""
    out: list[str] = []
    above = corrects.get(name)
    while above is not None and above != name and above not in out:
        out.append(above)
        above = corrects.get(above)
    return out


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5))))
def test_items_come_out_ascending_as_a_sort_would_have_them(items):
    assert in_order(items) == sorted(items)
