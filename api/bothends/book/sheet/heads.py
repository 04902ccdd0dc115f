"""Which entries still hold: strikes, corrections and settlements, worked out without a clock.

Owns the rules below; knows nothing of what a reading or a move is about. Runs on the phone as well.

- A strike takes out what it names, if the strike itself is not struck. Striking the first of a chain of
  corrections takes out the whole chain; striking a correction brings back what it had corrected.
- A correction holds in place of what it corrects, and of everything that had corrected before.
- Two corrections of one entry that neither corrects the other are both shown; a settlement names the one
  to keep and those to drop. Where settlements contradict each other, nothing is dropped and the question
  stays open.
"""

from .order import canonical

__all__ = ["alike", "dropped", "heads", "struck"]

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


def dropped(settlements: list) -> dict:
    """Ids dropped by the settlements that hold, each with the settlement; none that another settlement keeps.

    A later settlement that names an earlier one in ``replaces``, or that comes from the same device and is
    about the same entries, stands in its place.

    Parameters
    ----------
    settlements : list of dict
        Those not struck, in order.
    """
    replaced = {}
    for i in range(len(settlements)):
        later = settlements[i]
        named = later["body"].get("replaces")
        for name in named if isinstance(named, list) else []:
            replaced[name] = True
        about = [later["body"]["keeps"]] + later["body"]["drops"]
        for earlier in settlements[:i]:
            if earlier.get("device") == later.get("device"):
                for name in [earlier["body"]["keeps"]] + earlier["body"]["drops"]:
                    if name in about:
                        replaced[earlier["id"]] = True
    holding = [s for s in settlements if s["id"] not in replaced]
    kept = {}
    for s in holding:
        kept[s["body"]["keeps"]] = True
    out = {}
    for s in holding:
        for name in s["body"]["drops"]:
            if name not in kept:
                out[name] = s["id"]
    return out


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


def heads(entries: list, gone: dict, drops: dict) -> list:
    """Chains of corrections, each with what holds now.

    Parameters
    ----------
    entries : list of dict
        Of one kind, struck ones included, in order.
    gone : dict
        As from ``struck``.
    drops : dict
        As from ``dropped``.

    Returns
    -------
    list of dict
        In order of their first member: root (id, whether it has arrived or not), members (ids), heads
        (entries that hold, in order; empty where everything is struck).
    """
    parent = {}
    for e in entries:
        parent[e["id"]] = e["body"].get("corrects")
    root = _roots(entries)
    groups = {}
    order = []
    for e in entries:
        name = root[e["id"]]
        if name not in groups:
            groups[name] = {"root": name, "members": [], "live": []}
            order.append(groups[name])
        group = groups[name]
        group["members"].append(e["id"])
        if name not in gone and e["id"] not in gone and e["id"] not in drops:
            group["live"].append(e)
    for group in order:
        live = group.pop("live")
        superseded: dict = {}
        for e in live:
            _ancestors(e["id"], parent, superseded)
        found = [e for e in live if e["id"] not in superseded]
        # Corrections that go round in a circle supersede one another: the last in order then holds.
        group["heads"] = found or live[-1:]
    return order


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
