"""R-squared of mixed models and intraclass correlations, from whole-matrix REML written here; prints expected.json.

Made with Python 3.11, numpy 2.4, scipy 1.17. R-squared: Nakagawa and Schielzeth (2013) with the mean random variance
of Johnson (2014). Intervals: normal on log(r / (1 - r)) with the observed information, differentiated numerically.
Run: python3 variance.py > expected.json
"""
import csv
import json
import sys

import numpy as np
import scipy
from scipy.optimize import minimize

MODELS = "../models/"


def read(name):
    with open(f"{MODELS}{name}.csv") as f:
        return list(csv.DictReader(f))


def indicator(labels):
    levels = sorted(set(labels))
    return np.array([[1.0 if l == m else 0.0 for m in levels] for l in labels])


def factor_of(par, q):
    L = np.zeros((q, q))
    L[np.tril_indices(q)] = par
    return L


class Reml:
    """Each random term: (indicator matrix, list of columns). Parameters: Cholesky factors, then log residual SD."""

    def __init__(self, y, X, terms, w=None):
        self.y, self.X, self.terms = y, X, terms
        self.n, self.p = X.shape
        self.w = np.ones(self.n) if w is None else w
        self.sizes = [len(c) for _, c in terms]

    def split(self, par):
        at, out = 0, []
        for q in self.sizes:
            k = q * (q + 1) // 2
            L = factor_of(par[at:at + k], q)
            out.append(L @ L.T)
            at += k
        return out, np.exp(2 * par[at])

    def deviance(self, par):
        sigmas, s = self.split(par)
        V = np.diag(s / self.w)
        for (Z, cols), S in zip(self.terms, sigmas):
            same = Z @ Z.T
            C = np.array(cols)
            V = V + same * (C.T @ S @ C)
        sign, logdet = np.linalg.slogdet(V)
        if sign <= 0:
            return np.inf
        Vi = np.linalg.inv(V)
        A = self.X.T @ Vi @ self.X
        beta = np.linalg.solve(A, self.X.T @ Vi @ self.y)
        r = self.y - self.X @ beta
        self.beta = beta
        return logdet + np.linalg.slogdet(A)[1] + r @ Vi @ r

    def hessian(self, f, x, h=2e-3):
        k = len(x)
        H = np.zeros((k, k))

        def second(i, j, step):
            e, g = np.zeros(k), np.zeros(k)
            e[i], g[j] = step, step
            if i == j:
                return (f(x + e) - 2 * f(x) + f(x - e)) / step**2
            return (f(x + e + g) - f(x + e - g) - f(x - e + g) + f(x - e - g)) / (4 * step**2)

        for i in range(k):
            for j in range(i + 1):
                H[i, j] = H[j, i] = (4 * second(i, j, h) - second(i, j, 2 * h)) / 3
        return H

    def gradient(self, f, x, h=1e-3):
        out = np.zeros(len(x))
        for i in range(len(x)):
            e = np.zeros(len(x))
            e[i] = h
            out[i] = (8 * (f(x + e) - f(x - e)) - (f(x + 2 * e) - f(x - 2 * e))) / (12 * h)
        return out

    def fit(self, start):
        x = minimize(self.deviance, start, method="Nelder-Mead", options=dict(maxiter=20000, maxfev=20000, xatol=1e-7, fatol=1e-10)).x
        for _ in range(4):
            x = x - np.linalg.solve(self.hessian(self.deviance, x), self.gradient(self.deviance, x))
        self.deviance(x)
        return x


def shares(model, par):
    sigmas, s = model.split(par)
    fixed = np.var(model.X @ model.beta, ddof=1)
    random = [float(np.mean(np.sum(np.array(c) * (S @ np.array(c)), axis=0))) for (_, c), S in zip(model.terms, sigmas)]
    residual = s * np.mean(1 / model.w)
    whole = fixed + sum(random) + residual
    return dict(marginal=fixed / whole, conditional=(fixed + sum(random)) / whole, fixed=fixed, random=random, residual=residual)


def icc(model, par, shared):
    """Intercept terms only; par are SDs and the log residual SD."""
    def logit(x):
        v = np.append(x[:-1] ** 2, np.exp(2 * x[-1]))
        inside = sum(v[i] for i in shared)
        return np.log(inside / (v.sum() - inside))
    H = model.hessian(model.deviance, par)
    g = model.gradient(logit, par)
    se = np.sqrt(g @ np.linalg.solve(H / 2, g))
    z = scipy.stats.norm.isf(0.025)
    back = lambda t: 1 / (1 + np.exp(-t))
    m = logit(par)
    return dict(estimate=back(m), interval=[back(m - z * se), back(m + z * se)])


out = {"madeBy": f"Python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}"}
rows = read("pastes")
y = np.array([float(r["strength"]) for r in rows])
one = np.ones(len(y))
m = Reml(y, one[:, None], [(indicator([r["batch"] for r in rows]), [one]), (indicator([r["sample"] for r in rows]), [one])])
par = m.fit(np.array([1.0, 3.0, 0.0]))
out["pastes"] = dict(batch=icc(m, par, [0]), cask=icc(m, par, [0, 1]), shares=shares(m, par))

rows = read("penicillin")
y = np.array([float(r["diameter"]) for r in rows])
one = np.ones(len(y))
m = Reml(y, one[:, None], [(indicator([r["plate"] for r in rows]), [one]), (indicator([r["sample"] for r in rows]), [one])])
par = m.fit(np.array([1.0, 2.0, -0.5]))
out["penicillin"] = dict(plate=icc(m, par, [0]), sample=icc(m, par, [1]), shares=shares(m, par))

rows = read("sleepstudy")
y = np.array([float(r["Reaction"]) for r in rows])
days = np.array([float(r["Days"]) for r in rows])
w = np.array([float(r["weight"]) for r in rows])
one = np.ones(len(y))
Z = indicator([r["Subject"] for r in rows])
X = np.column_stack([one, days])
m = Reml(y, X, [(Z, [one, days])])
par = m.fit(np.array([25.0, 0.5, 6.0, 3.2]))
out["sleepstudy"] = dict(shares=shares(m, par))
m = Reml(y, X, [(Z, [one])], w)
par = m.fit(np.array([36.0, 3.4]))
out["sleepstudyWeighted"] = dict(shares=shares(m, par))
print(json.dumps(out, indent=1, default=float))
