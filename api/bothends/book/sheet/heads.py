"""Which entries still hold: strikes, corrections and settlements, worked out without a clock.

Owns the rules below; knows nothing of what a reading or a move is about. Runs on the phone as well.

- A strike takes out what it names, if the strike itself is not struck. Striking the first of a chain of
  corrections takes out the whole chain; striking a correction brings back what it had corrected.
- A correction holds in place of what it corrects, and of everything that had corrected before.
- Two corrections of one entry that neither corrects the other are both shown; a settlement names the one
  to keep and those to drop. Where settlements contradict each other, nothing is dropped and the question
  stays open.
- A strike and a correction made without knowing of each other are both shown in the same way; until that is
  settled, the strike holds.
"""

from .order import canonical

__all__ = ["alike", "heads", "settled", "spared", "struck"]

LINKS = ("corrects", "plan", "why", "method")
"""Fields that say where an entry comes from rather than what it says."""


def struck(entries: list) -> dict:
    """Ids taken out, each with the list of strikes that do so.

    A strike on a strike works from the end of the chain backwards. Strikes that go round in a circle have no
    end to start from and take out nothing.
    """
    strikes = [e for e in entries if e["kind"] == "strike"]
    holds = {}
    waiting = {}
    for s in strikes:
        waiting[s["id"]] = 0
    for s in strikes:
        target = s["body"]["entry"]
        if target in waiting:
            waiting[target] += 1
    target_of = {}
    ready = []
    for s in strikes:
        target_of[s["id"]] = s["body"]["entry"]
        if waiting[s["id"]] == 0:
            ready.append(s["id"])
            holds[s["id"]] = True
    while ready:
        name = ready.pop()
        target = target_of[name]
        if target not in waiting or target in holds:
            continue
        if holds[name]:
            holds[target] = False
            ready.append(target)
        else:
            waiting[target] -= 1
            if waiting[target] == 0:
                holds[target] = True
                ready.append(target)
    out: dict = {}
    for s in strikes:
        if holds.get(s["id"]):
            target = target_of[s["id"]]
            if target not in out:
                out[target] = []
            out[target].append(s["id"])
    return out


def settled(settlements: list) -> dict:
    """What settlements say of the entries they are about, as far as nothing later stands in its place.

    A settlement speaks of each entry it names by itself: that it is kept, or dropped for another. Its word on
    an entry no longer counts where a later one of the same device speaks of that entry again, or where any
    other one names it in ``replaces`` and speaks of that entry. Where one keeps what another drops, and
    neither knew of the other, the entry is not dropped: the question is open again.

    Parameters
    ----------
    settlements : list of dict
        Those not struck, in order.

    Returns
    -------
    dict
        keeps, drops : ids, each with the settlements that say so; dropped : ids that are out, each with the
        ids they were dropped for.
    """
    last: dict = {}
    named: dict = {}
    spoken = []
    for s in settlements:
        about: dict = {}
        for name in s["body"]["drops"]:
            about[name] = False
        about[s["body"]["keeps"]] = True
        spoken.append((s, about))
        replaces = s["body"].get("replaces")
        for name in about:
            last[(str(s.get("device")), name)] = s["id"]
            for other in replaces if isinstance(replaces, list) else []:
                if isinstance(other, str) and other != s["id"]:
                    named[(other, name)] = True
    keeps: dict = {}
    drops: dict = {}
    kept_by = {}
    for s, about in spoken:
        kept_by[s["id"]] = s["body"]["keeps"]
        for name in sorted(about):
            if (s["id"], name) in named or last[(str(s.get("device")), name)] != s["id"]:
                continue
            said = keeps if about[name] else drops
            if name not in said:
                said[name] = []
            said[name].append(s["id"])
    out = {}
    for name in drops:
        if name not in keeps:
            out[name] = [kept_by[s] for s in drops[name]]
    return {"keeps": keeps, "drops": drops, "dropped": out}


def spared(gone: dict, kinds: dict, dropped: dict) -> dict:
    """What is struck once the strikes that a settlement dropped are left out.

    Parameters
    ----------
    gone : dict
        As from ``struck``.
    kinds : dict
        The kind of each entry; a strike of a strike or of a settlement is never dropped, so that what
        settlements hang on does not hang on them.
    dropped : dict
        As from ``settled``.
    """
    out = {}
    for name in gone:
        by = gone[name]
        if kinds.get(name) not in ("settle", "strike"):
            by = [s for s in by if s not in dropped]
        if by:
            out[name] = by
    return out


def _unseen(strike: dict, entry: dict, place: dict) -> bool:
    """Whether whoever struck did not know of a correction.

    A strike may say in ``saw`` which entries of the chain stood there. Without it, a correction by another
    device that comes later in the order was made by somebody who still saw what was struck.
    """
    saw = strike["body"].get("saw")
    if isinstance(saw, list):
        return entry["id"] not in saw
    return strike.get("device") != entry.get("device") and place[entry["id"]] > place[strike["id"]]


def _roots(entries: list) -> dict:
    """The first entry of each one's chain of corrections; the smallest id of a chain that bites its tail."""
    parent = {}
    for e in entries:
        parent[e["id"]] = e["body"].get("corrects")
    root: dict = {}
    for e in entries:
        path = []
        on_path = {}
        name = e["id"]
        while name not in root and name not in on_path and parent.get(name) is not None:
            on_path[name] = True
            path.append(name)
            name = parent[name]
        if name in root:
            end = root[name]
        elif name in on_path:
            end = min(path[path.index(name) :])
        else:
            end = name
            root[name] = end
        for step in path:
            root[step] = end
    return root


def _ancestors(first: str, parent: dict, into: dict) -> None:
    """Mark everything that ``first`` corrects, directly or through others."""
    name = parent.get(first)
    while name is not None and name not in into and name != first:
        into[name] = True
        name = parent.get(name)


def heads(entries: list, gone: dict, settled: dict, strikes: dict, place: dict) -> list:
    """Chains of corrections, each with what holds now.

    Parameters
    ----------
    entries : list of dict
        Of one kind, struck ones included, in order.
    gone : dict
        As from ``spared``.
    settled : dict
        As from ``settled``.
    strikes : dict
        Every strike by its id.
    place : dict
        Where each entry stands in the order, by id.

    Returns
    -------
    list of dict
        In order of their first member: root (id, whether it has arrived or not), members (ids), heads
        (entries that hold, in order; empty where everything is struck), contested (corrections made where
        another struck what they correct, neither knowing of the other) and against (ids of those strikes).
    """
    out_for = settled["dropped"]
    parent = {}
    for e in entries:
        parent[e["id"]] = e["body"].get("corrects")
    root = _roots(entries)
    groups = {}
    order = []
    for e in entries:
        name = root[e["id"]]
        if name not in groups:
            groups[name] = {"root": name, "members": [], "live": [], "out": []}
            order.append(groups[name])
        group = groups[name]
        group["members"].append(e["id"])
        if e["id"] in out_for:
            group["out"].append(e["id"])
        elif e["id"] not in gone or e["id"] == name:
            group["live"].append(e)
    for group in order:
        out = group.pop("out")
        mine = group["members"] + list(strikes)
        found = _holding(group.pop("live"), out, mine, parent, settled)
        group["contested"] = []
        against = {}
        for e in found:
            above: dict = {}
            _ancestors(e["id"], parent, above)
            by = [s for name in above for s in gone.get(name, []) if _unseen(strikes[s], e, place)]
            if by:
                group["contested"].append(e)
            for s in by:
                against[s] = place[s]
        group["against"] = sorted(against, key=lambda s: place[s])
        group["heads"] = [] if group["root"] in gone else found
    return order


def _holding(live: list, out: list, mine: list, parent: dict, settled: dict) -> list:
    """Entries of a chain that nothing holding supersedes.

    What a settlement dropped does not bring back what it had corrected: that was as little meant. It does
    where the chain would be left with nothing, unless it was dropped for another chain: for an entry that is
    not in ``mine``, the chain's members and the strikes.
    """
    superseded: dict = {}
    for e in live:
        _ancestors(e["id"], parent, superseded)
    # Corrections that go round in a circle supersede one another: the last in order then holds.
    found = [e for e in live if e["id"] not in superseded] or live[-1:]
    behind: dict = {}
    elsewhere = False
    for name in out:
        _ancestors(name, parent, behind)
        elsewhere = elsewhere or [k for k in settled["dropped"][name] if k not in mine] != []
    first = [e for e in found if e["id"] not in behind or e["id"] in settled["keeps"]]
    return first if first or elsewhere else found


def alike(one: dict, other: dict) -> bool:
    """Whether two entries say the same, wherever they come from."""
    texts = []
    for entry in (one, other):
        body = {}
        for name in entry["body"]:
            if name not in LINKS:
                body[name] = entry["body"][name]
        texts.append(canonical(body))
    return texts[0] == texts[1]
