"""Which jobs are visits of one car: the one rule, for the shop's book and for a phone that has some of its jobs.

What a person said goes first (``car_id``), then the chassis number, then the number plate. A name and an owner
alone join jobs of apps before this rule, which were joined so; of later jobs (``by_name`` false) a person is
asked. Owns the rule and nothing of where jobs are kept. Runs on the phone as well.

- A job bears one id: what a person said, else its own. Its own is the job's id; of an older job its name and
  owner. Jobs of one id are one car. So a job that says another job's id is a visit of that job's car.
- Jobs of one chassis number are one car, then those of one plate. A car of which a person has said something is
  never joined to another such car by that: where two bear one number, nobody is joined by it and a person is
  asked. Nor does a plate join where chassis numbers differ: it has gone over to another car. And nothing joins
  what somebody said to be two cars (``other_than``) but somebody's word.
- A pure function of the set of jobs: any order gives the same cars.
"""

__all__ = ["CHASSIS", "LEAST", "LONG", "NAME", "OWN", "PLATE", "SAID", "cars", "facts", "marks", "usable"]

SAID = "said"
CHASSIS = "chassis"
PLATE = "plate"
NAME = "name"
OWN = "own"
"""What makes a job a visit of its car; OWN where others refer to it, or it stands alone."""
LEAST = 3
"""Letters and digits that a plate or chassis number has at least, one of them a digit: "none" is none."""
LONG = 11
"""From so many on, what stands as a plate is a chassis number (common practice, no source)."""


def usable(mark: str) -> str:
    """A plate or chassis number, already without blanks and signs, if it can tell a car; else "".

    >>> usable("ab12cd"), usable("none"), usable("1")
    ('ab12cd', '', '')
    """
    digits = [c for c in mark if c in "0123456789"]
    return mark if len(mark) >= LEAST and digits else ""


def marks(chassis: str, plate: str) -> tuple:
    """Chassis number and plate of a job as they are compared, each "" where there is none.

    A chassis number may stand where the plate does: older apps had one field for both.

    >>> marks("", "wzz9999999123456"), marks("kit77", "sl042")
    (('wzz9999999123456', ''), ('kit77', 'sl042'))
    """
    chassis, plate = usable(chassis), usable(plate)
    if not chassis and len(plate) >= LONG:
        return plate, ""
    return chassis, plate


def facts(job: str, about: dict, named: str, numbers: tuple) -> dict:
    """What a job says of which car it is, as ``cars`` takes it.

    Parameters
    ----------
    job : its id
    about : the job's card as folded
    named : its car's name and owner as they are compared, "" where the car has no name
    numbers : chassis number and plate without blanks and signs

    >>> found = facts("a", {"by_name": False}, "gannet / maren", ("", "sl042"))
    >>> [found[name] for name in ("job", "said", "own", "chassis", "plate", "apart")]
    ['a', '', 'a', '', 'sl042', []]
    """
    said, apart = about.get("car_id"), about.get("other_than")
    chassis, plate = marks(numbers[0], numbers[1])
    own = named if about.get("by_name") is not False else ""
    if not own and (named or chassis or plate):
        own = job
    return {
        "job": job,
        "said": said if isinstance(said, str) else "",
        "own": own,
        "chassis": chassis,
        "plate": plate,
        "apart": [one for one in apart if isinstance(one, str) and one] if isinstance(apart, list) else [],
    }


def _id_of(job: dict) -> str:
    return job["said"] or job["own"]


class _Groups:
    """Ids that are one car so far: a forest, each id's way up to the one that stands for all."""

    def __init__(self, jobs: list) -> None:
        self._above: dict = {}
        self._names: dict = {}
        self.fixed: dict = {}
        self.chassis: dict = {}
        self._apart: list = []
        for job in jobs:
            one = _id_of(job)
            if not one:
                continue
            for other in job["apart"]:
                self._apart.append((one, other))
            self._above[one] = one
            if one == job["own"] and one != job["job"]:
                self._names[one] = True
            if job["said"]:
                self.fixed[one] = True
            found = self.chassis.get(one) or []
            if job["chassis"] and job["chassis"] not in found:
                self.chassis[one] = found + [job["chassis"]]

    def top(self, one: str) -> str:
        """The id that stands for all that are one car with this."""
        top = one
        while self._above[top] != top:
            top = self._above[top]
        while self._above[one] != top:
            self._above[one], one = top, self._above[one]
        return top

    def _rank(self, one: str) -> tuple:
        # What a person said stands for a car, then a name as books of before have it, then the job begun first.
        return (0 if one in self.fixed else 1 if one in self._names else 2, one)

    def join(self, tops: list) -> None:
        """Make several one car."""
        best = tops[0]
        for one in tops:
            if self._rank(one) < self._rank(best):
                best = one
        for one in tops:
            if one == best:
                continue
            self._above[one] = best
            for number in self.chassis.get(one) or []:
                if number not in (self.chassis.get(best) or []):
                    self.chassis[best] = (self.chassis.get(best) or []) + [number]

    def disputed(self, tops: list, mark: str) -> bool:
        """Whether a number that all of these bear joins none of them."""
        if len([one for one in tops if one in self.fixed]) > 1:
            return True
        for one, other in self._apart:
            first, second = self.top(one), self.top(other) if other in self._above else ""
            if first != second and first in tops and second in tops:
                return True
        if mark == CHASSIS:
            return False
        numbers: list = []
        for one in tops:
            numbers += [n for n in self.chassis.get(one) or [] if n not in numbers]
        return len(numbers) > 1


def _bearers(jobs: list, groups: _Groups, mark: str) -> list:
    """The cars that bear each number so far, in order of the numbers."""
    found: dict = {}
    for job in jobs:
        if job[mark] and _id_of(job):
            found.setdefault(job[mark], []).append(_id_of(job))
    out = []
    for number in sorted(found):
        tops: list = []
        seen: dict = {}
        for one in found[number]:
            top = groups.top(one)
            if top not in seen:
                seen[top] = True
                tops.append(top)
        out.append(tops)
    return out


def _grouped(jobs: list) -> _Groups:
    """The cars that the jobs come to: by ids, then by each chassis number, then by each plate."""
    groups = _Groups(jobs)
    for mark in (CHASSIS, PLATE):
        for first in _bearers(jobs, groups, mark):
            tops: list = []
            for one in first:
                # Joined by an earlier number meanwhile.
                if groups.top(one) not in tops:
                    tops.append(groups.top(one))
            if len(tops) > 1 and not groups.disputed(tops, mark):
                groups.join(tops)
    return groups


def cars(jobs: list) -> dict:
    """The car of each job.

    Parameters
    ----------
    jobs : list of dict
        job (its id), said (``car_id``, "" for none), own (the job's id, of an older job its name and owner, ""
        where nothing says which car it is), chassis and plate as ``marks`` gives them, apart (list of the ids that
        somebody said it is another car than).

    Returns
    -------
    dict
        By job: (key, by): the car's key, "" where nothing says which car it is, and what makes the job a visit of
        it: one of SAID, CHASSIS, PLATE, NAME, OWN.

    >>> found = cars([
    ...     {"job": "a", "said": "", "own": "a", "chassis": "", "plate": "sl042", "apart": []},
    ...     {"job": "b", "said": "", "own": "b", "chassis": "", "plate": "sl042", "apart": []},
    ...     {"job": "c", "said": "a", "own": "c", "chassis": "", "plate": "", "apart": []},
    ...     {"job": "d", "said": "", "own": "d", "chassis": "", "plate": "", "apart": []},
    ... ])
    >>> [found[job] for job in ("a", "b", "c", "d")]
    [('a', 'plate'), ('a', 'plate'), ('a', 'said'), ('d', 'own')]
    """
    groups = _grouped(jobs)
    keys: dict = {}
    alike: dict = {}
    for job in jobs:
        one = _id_of(job)
        keys[job["job"]] = groups.top(one) if one else ""
        for mark in (CHASSIS, PLATE):
            if one and job[mark]:
                place = (keys[job["job"]], mark, job[mark])
                alike[place] = alike.get(place, 0) + 1
    out = {}
    for job in jobs:
        key = keys[job["job"]]
        out[job["job"]] = (key, _by(job, key, alike))
    return out


def _by(job: dict, key: str, alike: dict) -> str:
    if job["said"]:
        return SAID
    for mark in (CHASSIS, PLATE):
        if key and alike.get((key, mark, job[mark]), 0) > 1:
            return mark
    return OWN if job["own"] in ("", job["job"]) else NAME
