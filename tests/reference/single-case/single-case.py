"""Expected values for src/stats/single-case, by other means than ours: scipy for rank correlation, Theil-Sen and root
finding; brute force over all labelings for randomisation tests; dense matrices and a fine grid for the change averaged
over the correlation of neighbours. Run with: python3 single-case.py > expected.json
"""
import itertools
import json

import numpy as np
import scipy
from scipy import optimize, stats

NAP_A, NAP_B = [4, 3, 4, 3, 4, 7, 5, 2, 3, 2], [5, 9, 7, 9, 7, 5, 9, 11, 11, 10, 9]
# Read in the tests of an open package for single-case measures (jepusto/SingleCaseES, test-tarlow-2017.R).
TREND_A = [33, 25, 17, 25, 19, 21, 19, 14, 19, 17]
TREND_B = [14, 15, 15, 9, 12, 7, 10, 6, 5, 2, 2, 3, 5, 4]
SERIES = [3.1, 2.4, 4.0, 3.3, 2.2, 3.9, 4.4, 5.1, 6.2, 4.9, 5.5, 6.8, 6.1, 5.2]
SECOND = [7.0, 6.1, 6.6, 7.4, 6.9, 7.3, 9.1, 8.2, 8.8, 9.6, 8.9, 9.9, 8.1, 9.0]


def newcombe(nap, m, n, level=0.95):
    z, h = stats.norm.ppf((1 + level) / 2), (m + n) / 2 - 1
    gap = lambda t: (nap - t) ** 2 - z**2 * t * (1 - t) / (m * n) * (1 + h * ((1 - t) / (2 - t) + t / (1 + t)))
    return [optimize.brentq(gap, 1e-12, nap, xtol=1e-14), optimize.brentq(gap, nap, 1 - 1e-12, xtol=1e-14)]


def runs(labels):
    return [(key, len(list(group))) for key, group in itertools.groupby(labels)]


def phase_ways(n, k, least):
    """Every labeling of n occasions by A and B, kept where it begins with A, has k runs, each long enough."""
    for labels in itertools.product("AB", repeat=n):
        found = runs(labels)
        if len(found) == k and found[0][0] == "A" and all(size >= least for _, size in found):
            yield labels


def difference(values, labels):
    b = [v for v, label in zip(values, labels) if label == "B"]
    a = [v for v, label in zip(values, labels) if label == "A"]
    return np.mean(b) - np.mean(a)


def phase_test(values, seen, least):
    k = len(runs(seen))
    all_ = [difference(values, labels) for labels in phase_ways(len(values), k, least)]
    t = difference(values, seen)
    def p_of(d):
        moved = [v - d * (label == "B") for v, label in zip(values, seen)]
        ways = [difference(moved, labels) for labels in phase_ways(len(values), k, least)]
        return sum(abs(w) >= abs(difference(moved, seen)) - 1e-12 for w in ways) / len(ways)
    return {
        "ways": len(all_),
        "difference": t,
        "p": sum(abs(w) >= abs(t) - 1e-12 for w in all_) / len(all_),
        "higher": sum(w >= t - 1e-12 for w in all_) / len(all_),
        "pOfChange": [[d, p_of(d)] for d in (-1.0, 0.5, 1.5, 2.0, 3.0, 4.5)],
    }


def baseline_test(series, starts, windows):
    t = np.mean([np.mean(v[s:]) - np.mean(v[:s]) for v, s in zip(series, starts)])
    found = []
    for order in itertools.permutations(windows):
        for choice in itertools.product(*[range(a, b + 1) for a, b in order]):
            found.append(np.mean([np.mean(v[s:]) - np.mean(v[:s]) for v, s in zip(series, choice)]))
    return {"ways": len(found), "difference": t, "p": np.mean(np.abs(found) >= abs(t) - 1e-12)}


def averaged(series, starts, step=0.05, level=0.95):
    """Dense: covariance rho^|i-j| / (1 - rho^2) within a series, generalised least squares, posterior over the grid."""
    n = sum(map(len, series))
    x, y, blocks, row = np.zeros((n, len(series) + 1)), np.zeros(n), [], 0
    for k, (v, s) in enumerate(zip(series, starts)):
        m = len(v)
        x[row : row + m, k] = 1
        x[row + s : row + m, -1] = 1
        y[row : row + m] = v
        blocks.append((row, m))
        row += m
    parts = []
    for rho in np.arange(-0.95, 0.951, step):
        cov = np.zeros((n, n))
        for at, m in blocks:
            i = np.arange(m)
            cov[at : at + m, at : at + m] = rho ** np.abs(i[:, None] - i[None, :]) / (1 - rho**2)
        inv = np.linalg.inv(cov)
        info = x.T @ inv @ x
        beta = np.linalg.solve(info, x.T @ inv @ y)
        rest = y - x @ beta
        rss, df = rest @ inv @ rest, n - x.shape[1]
        weight = -0.5 * np.linalg.slogdet(cov)[1] - 0.5 * np.linalg.slogdet(info)[1] - df / 2 * np.log(rss)
        parts.append((weight, beta[-1], np.sqrt(rss / df * np.linalg.inv(info)[-1, -1])))
    w = np.exp(np.array([p[0] for p in parts]) - max(p[0] for p in parts))
    w /= w.sum()
    cdf = lambda t: sum(q * stats.t.cdf((t - b) / s, df) for q, (_, b, s) in zip(w, parts))
    at = lambda p: optimize.brentq(lambda t: cdf(t) - p, -100, 100, xtol=1e-13)
    return {"change": at(0.5), "interval": [at((1 - level) / 2), at((1 + level) / 2)], "degreesOfFreedom": df}


def baseline_corrected(a, b):
    p = stats.kendalltau(np.arange(len(a)), a, method="asymptotic").pvalue
    slope = stats.theilslopes(a, np.arange(1, len(a) + 1))[0]
    level = np.median(np.array(a) - slope * np.arange(1, len(a) + 1))
    rest = np.round(np.array(a + b) - level - slope * np.arange(1, len(a) + len(b) + 1), 10)
    return {"p": p, "slope": slope, "tauB": stats.kendalltau([0] * len(a) + [1] * len(b), rest).statistic}


seen = "AAAAAA" + "B" * 8
abab = "AAAABBBBAAABBB"
out = {
    "software": f"scipy {scipy.__version__}, numpy {np.__version__}",
    "napInterval": newcombe(106 / 110, 10, 11),
    "kendallExact": [
        {"y": y, "p": stats.kendalltau(range(len(y)), y, method="exact").pvalue, "tau": stats.kendalltau(range(len(y)), y).statistic}
        for y in ([1, 2, 3, 4, 5], [3.1, 2.4, 4.0, 3.3, 2.2, 3.9], SERIES)
    ],
    "kendallTied": [
        {"x": x, "y": y, "p": stats.kendalltau(x, y, method="asymptotic").pvalue, "tau": stats.kendalltau(x, y).statistic}
        for x, y in (
            # Kendall (1970), example 3.1: S = 33, tau-b = 0.859.
            ([1, 2.5, 2.5, 4.5, 4.5, 6.5, 6.5, 8, 9.5, 9.5], [1, 2, 4.5, 4.5, 4.5, 4.5, 8, 8, 8, 10]),
            ([0] * 6 + [1] * 7, [20, 20, 26, 25, 22, 23, 28, 25, 24, 27, 30, 30, 29]),
        )
    ],
    "baselineCorrected": baseline_corrected(TREND_A, TREND_B),
    "phases": {"AB": phase_test(SERIES, seen, 3), "ABAB": phase_test(SERIES, abab, 2)},
    "multipleBaseline": baseline_test([SERIES, SECOND, SERIES[::-1]], [6, 5, 9], [(5, 7), (4, 6), (8, 10)]),
    "averaged": {"one": averaged([SERIES], [6]), "two": averaged([SERIES, SECOND], [6, 5])},
}
print(json.dumps(out, indent=1, default=float))
