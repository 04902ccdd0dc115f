"""What stands of an entry once its customer was erased: the figures, and no words of or about a person.

Owns which texts of each kind are personal and which are not, and which entries an erasure covers. A text that is
not named as kept goes, so what a newer version writes goes too; numbers and flags stay, but for a job's card and a
note, which are nothing but words. Runs on the phone as well: web/book/erased.js does the same in a transaction, a
test holds the two together.
"""

from bothends.model import fields

from .order import canonical

__all__ = [
    "CAR",
    "ERASE",
    "FLAGS",
    "KEPT",
    "NO_PHOTO",
    "PERSONAL",
    "alone",
    "covered",
    "erased",
    "erasure_of",
    "is_number_of_a_car",
    "unnamed",
]

ERASE = "erase"
"""The kind of an entry that erases the customer of its job."""
CAR = "car"
"""Said by an erasure in ``only``: it takes nothing of its job but names that say which car it is, for they may be
those of another job's customer. Said by an entry in ``erased``: it lost nothing else."""

_ID = ("",)
"""Stands for a text of letters, digits and . _ : + - alone: an id, a moment, a name that a program made."""
_FREE = ()
"""Stands for any text."""


def _choices(*parts: str) -> dict:
    """The words of a request below some parts, with those allowed; a spot is a place of the workshop and stays."""
    out: dict = {}
    for w in fields.WORDS:
        if w.path.startswith(fields.OTHER + ".") or w.path.startswith(fields.AIM + "."):
            # The same words as of the job's axle, by the same names.
            continue
        for part in parts:
            if w.path.startswith(part + "."):
                texts = tuple([c for c in w.choices if isinstance(c, str)])
                if texts or not w.choices:
                    out[w.name] = out.get(w.name, ()) + texts
    return out


def _and(texts: dict, **more: tuple) -> dict:
    for name in more:
        texts[name] = more[name]
    return texts


KEPT = {
    "car": _choices("car"),
    "close": {"names": _ID},
    "erase": {"only": (CAR,)},
    "job": {},
    "known": _and(_choices("car"), job=_ID, at=_ID, names=_ID),
    "move": {"axle": fields.OF_CAR, "plan": _ID, "corrects": _ID},
    "note": {"about": _ID, "checked": _ID},
    "photo": {
        "shows": ("gauge", "marks", "other", "spline"),
        "side": fields.SIDES,
        "step": _FREE,
        "what": tuple([k.name for k in fields.KINDS]),
    },
    "plan": _choices("target"),
    "reading": _and(_choices("log"), corrects=_ID),
    "settle": {"keeps": _ID, "drops": _ID, "replaces": _ID},
    "step": {"step": _FREE, "side": fields.SIDES},
    "strike": {"entry": _ID, "saw": _ID},
    "target": _choices("target"),
}
"""By kind, names of texts that stay, wherever they stand in a body: the words allowed, or what they stand for."""

PERSONAL = {
    "close": ("text",),
    "job": ("car", "car_id", "chassis", "odometer", "other_than", "owner", "plate", "title", "wish"),
    "note": ("text",),
    "photo": ("sha256", "words"),
    "plan": ("label",),
    "reading": ("method",),
    "settle": ("why",),
    "strike": ("why",),
}
"""By kind, names of texts that go. With KEPT every text of every kind; a test holds that to the entry's types."""

NO_PHOTO = "0" * 64
"""What the record of a photo that is gone says in place of the name of its bytes."""
_WORDS_ALONE = ("job", "note")
_OF_A_CAR = ("car_id", "other_than")
"""Of a job's card what says which car it is, by numbers or by names."""
_OF_ERASURE = ("by_name", "car", "car_id", "other_than", "title")
"""Of a job's card what is said together with an erasure."""
FLAGS = ("by_name", "hidden")
"""Of a job's card what is neither word nor name: whether lists show it, and how its visits are told."""
_ENVELOPE = ("id", "job", "device", "device_seq", "at", "kind", "schema", "saw", "erasure")


def _is_id(text: str) -> bool:
    """Whether a text is an id, a moment or a name that a program made, by its letters.

    >>> _is_id("01a0c450-6bff-7001-8000-000000000001"), _is_id("2026-09-21T10:00:00+02:00"), _is_id("Maren B.")
    (True, True, False)
    """
    for letter in text:
        if not ("a" <= letter <= "z" or "A" <= letter <= "Z" or "0" <= letter <= "9" or letter in "._:+-"):
            return False
    return 0 < len(text) <= 64


def is_number_of_a_car(text: object) -> bool:
    """Whether the id of a car says nothing of anybody: a UUID, and no name.

    >>> is_number_of_a_car("01a0c450-6bff-7001-8000-000000000001"), is_number_of_a_car("gannet / maren")
    (True, False)
    """
    if not isinstance(text, str) or len(text) != 36:
        return False
    return [
        i for i in range(36) if text[i] not in ("-" if i in (8, 13, 18, 23) else "0123456789abcdef")
    ] == []


def _stays(text: str, allowed: tuple | None) -> bool:
    if allowed is None:
        return False
    if allowed == _FREE:
        return True
    return _is_id(text) if allowed == _ID else text in allowed


def _less(value: dict, kept: dict) -> dict:
    out = {}
    for name in value:
        if not isinstance(value[name], str) or _stays(value[name], kept.get(name)):
            out[name] = _bare(value[name], name, kept)
    return out


def _bare(value: object, name: str, kept: dict) -> object:
    """A value without the texts that do not stay; ``name`` is that of the field it stands in."""
    if isinstance(value, dict):
        return _less(value, kept)
    if isinstance(value, (list, tuple)):
        return [
            _bare(inner, name, kept)
            for inner in value
            if not isinstance(inner, str) or _stays(inner, kept.get(name))
        ]
    return value


def _body(kind: object, body: object) -> dict:
    if not isinstance(body, dict):
        return {}
    kept = KEPT.get(kind, {}) if isinstance(kind, str) else {}
    if kind not in _WORDS_ALONE:
        out = _less(body, kept)
        if kind == "photo":
            out["sha256"] = NO_PHOTO
        return out
    out = {}
    for name in kept:
        if isinstance(body.get(name), str) and _stays(body[name], kept[name]):
            out[name] = body[name]
    if kind == "note":
        # A note without text is no note, and one that says that a reading holds must stay one.
        out["text"] = ""
    else:
        if is_number_of_a_car(body.get("car_id")):
            out["car_id"] = body["car_id"]
        for name in FLAGS:
            if name in body and (body[name] is None or isinstance(body[name], bool)):
                out[name] = body[name]
    return out


def erased(entry: dict) -> dict:
    """What stands of an entry once its customer was erased; the entry itself where it has no words to lose.

    Its id, job, device, kind, moment and figures are as they were; ``erased`` says that words went. A name that
    somebody outside the shop gave with it (``writer``) becomes "": asked, and none given.

    >>> erased({"id": "r", "kind": "reading", "body": {"side": "left", "value": 214.0}})["body"]["side"]
    'left'
    >>> note = erased({"id": "n", "kind": "note", "writer": "Maren", "body": {"text": "Ring!", "about": "r-1"}})
    >>> note["writer"], note["erased"], sorted(note["body"].items())
    ('', True, [('about', 'r-1'), ('text', '')])
    """
    out = {}
    for name in entry:
        if name in _ENVELOPE:
            out[name] = entry[name]
        elif name not in ("body", "writer", "erased") and not isinstance(entry[name], str):
            out[name] = _bare(entry[name], name, {})
    if entry.get("writer") is not None:
        out["writer"] = ""
    out["body"] = _body(entry.get("kind"), entry.get("body"))
    if entry.get("erased") or canonical(out) != canonical(_without(entry, "erased")):
        out["erased"] = True
        return out
    return entry


def unnamed(entry: dict) -> dict:
    """An entry without the names that say which car its job is of; the entry itself where it has none.

    Every other word stays; ``erased`` says that these went.

    >>> card = {"id": "j", "kind": "job", "body": {"owner": "Ben", "car_id": "gannet / maren"}}
    >>> left = unnamed(card)
    >>> left["body"], left["erased"], unnamed(left) is left
    ({'owner': 'Ben'}, 'car', True)
    """
    body = entry.get("body")
    if entry.get("kind") != "job" or not isinstance(body, dict):
        return entry
    left = {}
    gone = False
    for name in body:
        value = body[name]
        if name in _OF_A_CAR and isinstance(value, str) and not is_number_of_a_car(value):
            gone = True
            continue
        if name in _OF_A_CAR and isinstance(value, (list, tuple)):
            kept = [one for one in value if not isinstance(one, str) or is_number_of_a_car(one)]
            gone = gone or len(kept) < len(value)
            value = kept
        left[name] = value
    if not gone:
        return entry
    out = _without(entry, "erased")
    out["body"] = left
    out["erased"] = entry.get("erased") or CAR
    return out


def _without(entry: dict, name: str) -> dict:
    out = {}
    for each in entry:
        if each != name:
            out[each] = entry[each]
    return out


def covered(entry: dict, erasure: str | None) -> bool:
    """Whether an erasure covers an entry of its job: its writer did not know of it, or of a later one.

    ``erasure`` is the id of the job's last one, None where there is none. What was written in the knowledge of it
    says so in its envelope and is a new fact.

    >>> covered({"kind": "note"}, "e-2"), covered({"kind": "note", "erasure": "e-1"}, "e-2")
    (True, True)
    >>> covered({"kind": "note", "erasure": "e-2"}, "e-2"), covered({"kind": "erase"}, "e-2")
    (False, False)
    """
    if erasure is None or entry.get("kind") == ERASE:
        return False
    heard = entry.get("erasure")
    return not (isinstance(heard, str) and heard >= erasure)


def _is_whole(erasure: dict) -> bool:
    body = erasure.get("body")
    return not isinstance(body, dict) or body.get("only") is None


def _said_more(body: object) -> bool:
    return not isinstance(body, dict) or bool([name for name in body if name not in _OF_ERASURE])


def alone(entries: list) -> bool:
    """Whether of a job nothing is here but erasures and the cards that were written with them.

    >>> alone([{"kind": "erase"}, {"kind": "job", "erasure": "e-1", "body": {"car_id": "c-1"}}])
    True
    >>> alone([{"kind": "erase"}, {"kind": "note"}]), alone([{"kind": "job", "body": {}}])
    (False, False)
    """
    found = False
    for e in entries:
        body = e.get("body")
        if e.get("kind") == ERASE:
            found = True
        elif e.get("kind") != "job" or e.get("erasure") is None or _said_more(body):
            return False
    return found


def erasure_of(entries: list) -> dict | None:
    """That a job's customer was erased, for its sheet: the last word of it, ``id``, ``at`` and ``device``.

    Each of these is None where only its entries say so, as in a job that came by a link. ``alone`` says that
    nothing else of the job is here, as in a copy that is older than the job. None where nobody was.

    >>> erasure_of([{"kind": "job", "erased": True}])
    {'id': None, 'at': None, 'device': None, 'alone': False}
    """
    last = None
    marked = False
    for e in entries:
        if e.get("kind") == ERASE and _is_whole(e) and (last is None or e["id"] > last["id"]):
            last = e
        marked = marked or e.get("erased") is True
    if last is None and not marked:
        return None
    out = {name: None if last is None else last.get(name) for name in ("id", "at", "device")}
    out["alone"] = alone(entries)
    return out
