"""Upper tails of the studentized range by Gauss-Legendre panels over both variables; prints studentized-range.json.

Made with Python 3.11, numpy 2.4, scipy 1.17 (ndtr, gammaln). The range is conditioned on its largest member, and the tail is the
complement of r phi(x) [Phi(x) - Phi(x - w)]^(r-1), written without cancellation. Two panel sizes must agree to 13 digits.
Run: python3 studentized-range.py > studentized-range.json
"""
import json
import sys

import numpy as np
import scipy
from scipy.special import gammaln, ndtr

NODES, WEIGHTS = np.polynomial.legendre.leggauss(30)


def panels(edges):
    a, b = edges[:-1, None], edges[1:, None]
    x = (a + b) / 2 + (b - a) / 2 * NODES
    return x.ravel(), ((b - a) / 2 * WEIGHTS).ravel()


def range_upper(w, r, n):
    x, h = panels(np.linspace(-9, 9 + 0.6 * w, n))
    below, far = ndtr(x), ndtr(x - w)
    with np.errstate(divide="ignore", invalid="ignore"):
        lost = -np.expm1((r - 1) * np.log1p(-np.minimum(1, far / below)))
    phi = np.exp(-x * x / 2) / np.sqrt(2 * np.pi)
    return np.sum(h * r * phi * below ** (r - 1) * np.nan_to_num(lost, nan=1.0))


def upper(q, r, nu, n):
    if nu is None:
        return range_upper(q, r, n)
    s, h = panels(np.linspace(1e-9, 1 + 14 / np.sqrt(2 * nu), n))
    density = np.exp(np.log(2) + nu / 2 * np.log(nu / 2) - gammaln(nu / 2) + (nu - 1) * np.log(s) - nu * s * s / 2)
    return float(np.sum(h * density * np.array([range_upper(q * v, r, n) for v in s])))


CASES = [(3.5, 3, 10), (15, 4, 12), (4.5, 10, None), (12, 6, None), (0.8, 5, 30), (40, 3, 6)]
out = []
for q, r, nu in CASES:
    p, check = upper(q, r, nu, 34), upper(q, r, nu, 28)
    assert abs(p / check - 1) < 1e-13, (q, r, nu, p, check)
    out.append(dict(q=q, groups=r, df=nu, probability=p))
print(json.dumps(dict(madeBy=f"Python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}", upper=out), indent=1))
