"""Predictions of random effects averaged over the variances that the data allow; writes reference.json.

Every element of a covariance matrix is as likely as any other beforehand (Everson and Morris 2000, J R Stat Soc B 62,
399-412), the residual variance s2 has the density 1 / s2. Nothing is taken from the project: the data are balanced, so
that the restricted likelihood is one of means and of slopes within subjects (Searle, Casella and McCulloch 1992, Variance
Components, chapters 3 and 4), s2 is integrated out by hand, which leaves Student distributions, and the variances
relative to s2 are on a dense grid of logarithms by the trapezium rule. Each case is done on two grids and the
larger difference is written beside it, in standard deviations of the prediction.

A ratio S = Sigma / s2 of `elements` elements has the density
  L(S) (r^2)^(-nu / 2),   nu = n - p - 2 elements,
and given S a prediction is its mean plus sqrt(r^2 c / nu) times Student's t of nu degrees of freedom.

Data: sleepstudy (Belenky et al. 2003, J Sleep Research 12, 1-12), pastes (Davies and Goldsmith 1972), as in ../README.md.
"slopes alike" is sleepstudy with each subject's least-squares slope moved four fifths of the way to the mean of
all, about his or her mean, so that the variance of the slopes is estimated as exactly zero.

OMP_NUM_THREADS=1 python3 reference.py, with Python 3.11.7, numpy 2.4.6 and scipy 1.17.1.
"""

import csv
import json
import pathlib

import numpy as np
from scipy.optimize import brentq
from scipy.special import stdtr

HERE = pathlib.Path(__file__).parent


def read(name):
    with open(HERE.parent / f"{name}.csv") as file:
        return list(csv.DictReader(file))


def mixture(logs, q, nu, asked):
    """asked: name -> (means, relative variances, value for the chance), each over the grid."""
    w = np.exp(logs - logs.max())
    w /= w.sum()
    keep = w > 1e-12
    w = w[keep] / w[keep].sum()
    out = {}
    for name, (means, relative, limit) in asked.items():
        means = np.broadcast_to(means, logs.shape)[keep]
        scales = np.sqrt(np.broadcast_to(relative, logs.shape)[keep] * q[keep] / nu)
        mean = float(w @ means)
        sd = float(w @ (scales**2 * nu / (nu - 2) + (means - mean) ** 2)) ** 0.5

        def below(at):
            return float(w @ stdtr(nu, (at - means) / scales))

        ends = [brentq(lambda at: below(at) - tail, mean - 6 * sd, mean + 6 * sd, xtol=1e-7 * sd) for tail in (0.025, 0.975)]
        out[name] = {"estimate": mean, "sd": sd, "interval": ends, "above": limit, "chanceAbove": 1 - below(limit)}
    return out


def grid(*axes):
    return [g.ravel() for g in np.meshgrid(*axes, indexing="ij")]


sleep = read("sleepstudy")
subjects = sorted({row["Subject"] for row in sleep})
at = {(row["Subject"], float(row["Days"])): float(row["Reaction"]) for row in sleep}
days = np.arange(10.0)
y = np.array([[at[s, d] for d in days] for s in subjects])
ASKED = {s: subjects.index(s) for s in ("308", "335", "370")}


def intercepts(y, size):
    """Reaction by Days, subjects differ in level: u of a subject."""
    m, k = y.shape
    centred = days - days.mean()
    means = y.mean(1)
    inside = y - means[:, None]
    sxx = m * (centred @ centred)
    within = (inside**2).sum() - (inside @ centred).sum() ** 2 / sxx
    lam = np.exp(np.linspace(-14, 8, size))
    M = 1 / k + lam
    d = means - means.mean()
    q = within + (d @ d) / M
    nu = m * k - 2 - 2
    logs = -(m - 1) / 2 * np.log(M) - nu / 2 * np.log(q) + np.log(lam)
    B = lam / M
    return mixture(logs, q, nu, {s: (B * d[i], lam - B * lam * (1 - 1 / m), 40.0) for s, i in ASKED.items()})


def lines(y, S, log_measure, elements):
    """Reaction by Days, subjects differ in level and slope: slope of a subject, fixed with random.

    S: (level, both, slope), variances over s2. Least-squares lines of the subjects have covariance s2 (A^-1 + S).
    """
    m, k = y.shape
    x = np.column_stack([np.ones(k), days])
    A_inv = np.linalg.inv(x.T @ x)
    b = y @ x @ A_inv
    within = ((y - b @ x.T) ** 2).sum()
    mean = b.mean(0)
    d = b - mean
    D = d.T @ d
    s11, s12, s22 = S
    m11, m12, m22 = s11 + A_inv[0, 0], s12 + A_inv[0, 1], s22 + A_inv[1, 1]
    det = m11 * m22 - m12**2
    q = within + (D[0, 0] * m22 - 2 * D[0, 1] * m12 + D[1, 1] * m11) / det
    nu = m * k - 2 - 2 * elements
    logs = -(m - 1) / 2 * np.log(det) - nu / 2 * np.log(q) + log_measure
    # Second row of B = S M^-1.
    b1 = (s12 * m22 - s22 * m12) / det
    b2 = (s22 * m11 - s12 * m12) / det
    left = (-b1, 1 - b2)
    own = s22 - b1 * s12 - b2 * s22
    fixed = (left[0] ** 2 * m11 + 2 * left[0] * left[1] * m12 + left[1] ** 2 * m22) / m
    return mixture(logs, q, nu, {s: (mean[1] + b1 * d[i, 0] + b2 * d[i, 1], own + fixed, 12.0) for s, i in ASKED.items()})


def diagonal(y, size):
    lv, lc = grid(np.linspace(-14, 7, size), np.linspace(-18, 3, size))
    return lines(y, (np.exp(lv), 0.0, np.exp(lc)), lv + lc, 2)


def full(y, size):
    """S = L L': L = [a, 0; t, sqrt(c)], for which dS = 2 a^2 da dt dc; t on a grid of sinh."""
    la, z, lc = grid(np.linspace(-6, 4, size), np.linspace(-4.5, 4.5, size), np.linspace(-16, 3, size))
    a = np.exp(la)
    t = 0.06 * np.sinh(z)
    c = np.exp(lc)
    return lines(y, (a * a, a * t, t * t + c), 3 * la + np.log(np.cosh(z)) + lc, 3)


pastes = read("pastes")
batches = sorted({row["batch"] for row in pastes})


def nested(cell, size):
    """Strength of casks within batches: level of a batch, and of a cask, fixed with random."""
    m, casks, k = cell.shape
    cask = cell.mean(2)
    batch = cask.mean(1)
    dev = cask - batch[:, None]
    d = batch - batch.mean()
    within = ((cell - cask[:, :, None]) ** 2).sum()
    la, lc = (np.exp(g) for g in grid(np.linspace(-14, 9, size), np.linspace(-14, 9, size)))
    K = 1 / k + lc
    T = la + lc / casks
    M = T + 1 / (k * casks)
    q = within + (dev**2).sum() / K + (d @ d) / M
    nu = cell.size - 1 - 4
    logs = -m * (casks - 1) / 2 * np.log(K) - (m - 1) / 2 * np.log(M) - nu / 2 * np.log(q) + np.log(la) + np.log(lc)
    asked = {}
    for i in (0, 7):
        B = la / M
        asked[batches[i]] = (batch.mean() + B * d[i], la * (1 - B) + (1 - B) ** 2 * M / m, 60.0)
        BT, Bd = T / M, lc / K
        asked[f"{batches[i]}:a"] = (
            batch.mean() + BT * d[i] + Bd * dev[i, 0],
            T * (1 - BT) + (1 - BT) ** 2 * M / m + (1 - 1 / casks) * lc * (1 - Bd),
            60.0,
        )
    return mixture(logs, q, nu, asked)


cell = np.array(
    [[[float(r["strength"]) for r in pastes if r["batch"] == b and r["cask"] == c] for c in "abc"] for b in batches]
)
slopes = y @ (days - days.mean()) / ((days - days.mean()) @ (days - days.mean()))
alike = y - 0.8 * np.outer(slopes - slopes.mean(), days - days.mean())

cases = []
for name, run, data, fine, coarse in (
    ("intercepts", intercepts, y, 4001, 1001),
    ("diagonal", diagonal, y, 401, 151),
    ("full", full, y, 81, 61),
    ("slopes alike, diagonal", diagonal, alike, 401, 151),
    ("slopes alike, full", full, alike, 81, 61),
    ("nested", nested, cell, 401, 151),
):
    found, check = run(data, fine), run(data, coarse)
    off = max(
        max(abs(np.array([a["estimate"], a["sd"], *a["interval"]]) - np.array([b["estimate"], b["sd"], *b["interval"]]))) / a["sd"]
        for a, b in zip(found.values(), check.values())
    )
    cases.append({"name": name, "gridError": float(f"{off:.2g}"), "predictions": found})
    print(name, off)
with open(HERE / "reference.json", "w") as file:
    json.dump({"made": "reference.py with Python 3.11.7, numpy 2.4.6, scipy 1.17.1", "cases": cases}, file, indent=1)
    file.write("\n")
