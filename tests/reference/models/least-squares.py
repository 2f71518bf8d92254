"""Reference values for models without random terms: codings, powers, splines, weights, offset, F tests.

Designs are written out here by hand (cell means, scipy's own natural cubic splines), so that nothing of the
project's column building is used. Run: python3 least-squares.py > least-squares.json
"""
import json
import platform
import numpy as np
import scipy
from scipy.interpolate import CubicSpline
from scipy import stats

rng = np.random.default_rng(20240611)
n = 48
x = np.round(rng.normal(30, 8, n), 2)
z = np.round(rng.uniform(-2, 3, n), 3)
phase = np.array(["pre", "mid", "post"])[rng.integers(0, 3, n)]
arm = np.array(["a", "b"])[rng.integers(0, 2, n)]
w = np.round(rng.uniform(0.5, 2.5, n), 2)
off = np.round(rng.normal(0, 1, n), 2)
y = np.round(5 + 0.3 * x - 0.01 * x ** 2 + 1.5 * (phase == "post") + 0.8 * (arm == "b") * z + np.sin(x / 4) + rng.normal(0, 1, n), 4)


def ols(X, y, w=None):
    w = np.ones(len(y)) if w is None else w
    r = np.sqrt(w)
    Q, R = np.linalg.qr(X * r[:, None])
    b = np.linalg.solve(R, Q.T @ (y * r))
    e = (y - X @ b) * r
    df = len(y) - X.shape[1]
    s2 = e @ e / df
    C = s2 * np.linalg.inv(R.T @ R)
    loglik_ml = -0.5 * (len(y) * np.log(2 * np.pi * (e @ e) / len(y)) + len(y) - np.log(w).sum())
    return b, C, np.sqrt(s2), df, e @ e, loglik_ml


def fit(X, y, names, w=None):
    b, C, s, df, rss, ll = ols(X, y, w)
    return {"terms": names, "estimate": b.tolist(), "standardError": np.sqrt(np.diag(C)).tolist(), "residualSd": s, "df": df, "logLikelihoodMl": ll}


def f_test(X, L):
    b, C, s, df, rss, ll = ols(X, y)
    L = np.atleast_2d(L)
    q = L.shape[0]
    f = (L @ b) @ np.linalg.solve(L @ C @ L.T, L @ b) / q
    return {"numeratorDf": q, "denominatorDf": df, "f": f, "pValue": stats.f.sf(f, q, df)}


one = np.ones(n)
cells = np.column_stack([phase == p for p in ("pre", "mid", "post")]).astype(float)
out = {}
# Codings: contrasts of the cell means.
b, C, s, df, rss, ll = ols(cells, y)
def contrast(M, names):
    M = np.array(M)
    return {"terms": names, "estimate": (M @ b).tolist(), "standardError": np.sqrt(np.diag(M @ C @ M.T)).tolist(), "residualSd": s, "df": df, "logLikelihoodMl": ll}
t = 1 / 3
out["reference"] = contrast([[1, 0, 0], [-1, 1, 0], [-1, 0, 1]], ["intercept", "phase=mid", "phase=post"])
out["sum"] = contrast([[t, t, t], [-t, 2 * t, -t], [-t, -t, 2 * t]], ["intercept", "phase=mid", "phase=post"])
out["helmert"] = contrast([[t, t, t], [-1, 1, 0], [-0.5, -0.5, 1]], ["intercept", "phase=mid", "phase=post"])
# A product of a factor and a number, with the tests of each effect.
ib = (arm == "b").astype(float)
X = np.column_stack([one, z, ib, z * ib])
out["product"] = fit(X, y, ["intercept", "z", "arm=b", "z x arm=b"])
out["product"]["tests"] = [
    {"effect": "z", **f_test(X, [0, 1, 0, 0.5])},
    {"effect": "arm", **f_test(X, [0, 0, 1, 0])},
    {"effect": "z x arm", **f_test(X, [0, 0, 0, 1])},
]
# Two factors and their product: tests on means over the other factor, from the six cell means.
six = np.column_stack([((phase == p) & (arm == a)) for a in ("a", "b") for p in ("pre", "mid", "post")]).astype(float)
out["twoFactors"] = {
    "tests": [
        {"effect": "phase", **f_test(six, [[-1, 1, 0, -1, 1, 0], [-1, 0, 1, -1, 0, 1]])},
        {"effect": "arm", **f_test(six, [-1, -1, -1, 1, 1, 1])},
        {"effect": "phase x arm", **f_test(six, [[1, -1, 0, -1, 1, 0], [1, 0, -1, -1, 0, 1]])},
    ]
}
out["power"] = fit(np.column_stack([one, x, x ** 2]), y, ["intercept", "x", "x^2"])
out["weights"] = fit(np.column_stack([one, x]), y, ["intercept", "x"], w)
out["offset"] = fit(np.column_stack([one, x]), y - off, ["intercept", "x"])
# Natural spline with 4 degrees of freedom: the span of cardinal natural splines on the same knots.
knots = np.quantile(x, np.linspace(0, 1, 5))
S = np.column_stack([CubicSpline(knots, e, bc_type="natural")(x) for e in np.eye(5)])
b, C, s, df, rss, ll = ols(S, y)
out["spline"] = {"residualSd": s, "df": df, "logLikelihoodMl": ll,
                 "test": {**f_test(S, np.column_stack([-np.ones(4), np.eye(4)]))}}
# Within and between the arms' phases.
group_mean = np.array([x[phase == p].mean() for p in phase])
out["withinBetween"] = fit(np.column_stack([one, x - group_mean, group_mean]), y, ["intercept", "x within phase", "x between phase"])
print(json.dumps({
    "madeBy": f"python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}",
    "data": {"y": y.tolist(), "x": x.tolist(), "z": z.tolist(), "phase": phase.tolist(), "arm": arm.tolist(), "w": w.tolist(), "off": off.tolist()},
    "expected": out,
}, indent=1))
