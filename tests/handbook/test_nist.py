"""The project's fitter against NIST's Statistical Reference Datasets.

Certified values as published; each set was also refitted in 40-digit arithmetic, which agrees to all certified
digits. Some copies in circulation carry wrong standard deviations for Misra1a's b2 and for DanWood; these are the
right ones. Both starts for Misra1a, DanWood and Rat42; the second start only for MGH09 and Thurber.

The fitter takes whitened residuals, so they are divided by about the certified spread; no result depends on it.
"""

import math
from importlib import resources

import numpy as np
import pytest

from bothends.model.fit import fit

SETS = {
    "Misra1a": {
        "y": "10.07 14.73 17.94 23.93 29.61 35.18 40.02 44.82 50.76 55.05 61.01 66.40 75.47 81.78",
        "x": "77.6 114.9 141.1 190.8 239.9 289.0 332.8 378.4 434.8 477.3 536.8 593.1 689.1 760.0",
        "starts": [(500, 1e-4), (250, 5e-4)],
        "certified": [238.94212918, 5.5015643181e-4],
        "deviations": [2.7070075241, 7.2668688436e-6],
        "rss": 0.12455138894,
        "s": 0.10187876330,
        "dof": 12,
    },
    "DanWood": {
        "y": "2.138 3.421 3.597 4.340 4.882 5.660",
        "x": "1.309 1.471 1.490 1.565 1.611 1.680",
        "starts": [(1, 5), (0.7, 4)],
        "certified": [0.76886226176, 3.8604055871],
        "deviations": [0.018281973860, 0.051726610913],
        "rss": 4.3173084083e-3,
        "s": 0.032853114039,
        "dof": 4,
    },
    "Rat42": {
        "y": "8.930 10.800 18.590 22.330 39.350 56.110 61.730 64.620 67.080",
        "x": "9 14 21 28 42 57 63 70 79",
        "starts": [(100, 1, 0.1), (75, 2.5, 0.07)],
        "certified": [72.462237576, 2.6180768402, 0.067359200066],
        "deviations": [1.7340283401, 0.088295217536, 3.4465663377e-3],
        "rss": 8.0565229338,
        "s": 1.1587725499,
        "dof": 6,
    },
    "MGH09": {
        "y": ".1957 .1947 .1735 .1600 .0844 .0627 .0456 .0342 .0323 .0235 .0246",
        "x": "4 2 1 .5 .25 .167 .125 .1 .0833 .0714 .0625",
        "starts": [(0.25, 0.39, 0.415, 0.39)],
        "certified": [0.19280693458, 0.19128232873, 0.12305650693, 0.13606233068],
        "deviations": [0.011435312227, 0.19633220911, 0.080842031232, 0.090025542308],
        "rss": 3.0750560385e-4,
        "s": 6.6279236551e-3,
        "dof": 7,
    },
    "Thurber": {
        "y": "80.574 84.248 87.264 87.195 89.076 89.608 89.868 90.101 92.405 95.854 100.696 101.060 401.672"
        " 390.724 567.534 635.316 733.054 759.087 894.206 990.785 1090.109 1080.914 1122.643 1178.351"
        " 1260.531 1273.514 1288.339 1327.543 1353.863 1414.509 1425.208 1421.384 1442.962 1464.350"
        " 1468.705 1447.894 1457.628",
        "x": "-3.067 -2.981 -2.921 -2.912 -2.840 -2.797 -2.702 -2.699 -2.633 -2.481 -2.363 -2.322 -1.501"
        " -1.460 -1.274 -1.212 -1.100 -1.046 -0.915 -0.714 -0.566 -0.545 -0.400 -0.309 -0.109 -0.103"
        " 0.010 0.119 0.377 0.790 0.963 1.006 1.115 1.572 1.841 2.047 2.200",
        "starts": [(1300, 1500, 500, 75, 1, 0.4, 0.05)],
        "certified": [
            1288.1396800, 1491.0792535, 583.23836877, 75.416644291, 0.96629502864, 0.39797285797, 0.049727297349,
        ],
        "deviations": [
            4.6647963344, 39.571156086, 28.698696102, 5.5675370270, 0.031333340687, 0.014984928198, 6.5842344623e-3,
        ],
        "rss": 5642.7082397,
        "s": 13.714600784,
        "dof": 30,
    },
}  # fmt: skip


def misra1a(x, b):
    e = math.exp(-b[1] * x)
    return b[0] * (1 - e), [1 - e, b[0] * x * e]


def danwood(x, b):
    power = x ** b[1]
    return b[0] * power, [power, b[0] * power * math.log(x)]


def rat42(x, b):
    e = math.exp(b[1] - b[2] * x)
    d = 1 + e
    return b[0] / d, [1 / d, -b[0] * e / d**2, b[0] * x * e / d**2]


def mgh09(x, b):
    top = x * x + b[1] * x
    low = x * x + b[2] * x + b[3]
    return b[0] * top / low, [top / low, b[0] * x / low, -b[0] * top * x / low**2, -b[0] * top / low**2]


def thurber(x, b):
    top = b[0] + b[1] * x + b[2] * x**2 + b[3] * x**3
    low = 1 + b[4] * x + b[5] * x**2 + b[6] * x**3
    row = [x**k / low for k in range(4)] + [-top * x**k / low**2 for k in (1, 2, 3)]
    return top / low, row


MODELS = {"Misra1a": misra1a, "DanWood": danwood, "Rat42": rat42, "MGH09": mgh09, "Thurber": thurber}
CASES = [(name, start) for name in sorted(SETS) for start in SETS[name]["starts"]]


def fitted(model, xs, ys, start, spread):
    def residuals(b):
        rows = [model(x, b) for x in xs]
        return (
            [(value - y) / spread for (value, _), y in zip(rows, ys, strict=True)],
            [[a / spread for a in row] for _, row in rows],
        )

    return fit(residuals=residuals, start=[float(b) for b in start])


def digits(found: float, certified: float) -> float:
    """Matching decimal digits, -log10 of the relative error."""
    if found == certified:
        return 16.0
    return -math.log10(abs(found - certified) / abs(certified))


@pytest.mark.parametrize(("name", "start"), CASES)
def test_certified_values_are_met(name, start):
    data = SETS[name]
    xs, ys = [[float(v) for v in data[k].split()] for k in ("x", "y")]
    spread = float(f"{data['s']:.1g}")
    result = fitted(MODELS[name], xs, ys, start, spread)
    assert result["converged"]
    assert len(xs) - len(start) == data["dof"]
    rss = 2 * result["cost"] * spread**2
    s = math.sqrt(rss / data["dof"])
    assert digits(rss, data["rss"]) >= 6
    assert digits(s, data["s"]) >= 6
    for k, (value, deviation) in enumerate(zip(data["certified"], data["deviations"], strict=True)):
        assert digits(result["x"][k], value) >= 6
        assert digits(s / spread * math.sqrt(result["covariance"][k][k]), deviation) >= 4


def test_a_straight_line_of_norris_meets_its_certified_values():
    # NIST StRD Norris, linear, 36 points; the data file is the one shipped inside SciPy's own test data.
    path = resources.files("scipy") / "stats" / "tests" / "data" / "nist_linregress" / "Norris.dat"
    lines = path.read_text().splitlines()
    rows = np.array([[float(v) for v in line.split()] for line in lines[60:96]])
    ys, xs = rows[:, 0].tolist(), rows[:, 1].tolist()
    assert len(xs) == 36
    result = fitted(lambda x, b: (b[0] + b[1] * x, [1.0, x]), xs, ys, (0.0, 0.0), 1.0)
    assert result["converged"]
    s = math.sqrt(2 * result["cost"] / 34)
    assert digits(result["x"][0], -0.262323073774029) >= 9
    assert digits(result["x"][1], 1.00211681802045) >= 9
    assert digits(s, 0.884796396144373) >= 9
    assert digits(s * math.sqrt(result["covariance"][0][0]), 0.232818234301152) >= 9
    assert digits(s * math.sqrt(result["covariance"][1][1]), 0.429796848199937e-3) >= 9
    about = sum((y - sum(ys) / 36) ** 2 for y in ys)
    assert 1 - 2 * result["cost"] / about == pytest.approx(0.999993745883712, abs=1e-12)
