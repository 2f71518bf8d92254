"""Makes product.json: quantiles of the product of two normals, by adaptive quadrature and root finding, and the closed form
of the distribution for two standard normals (density K0(|x|)/pi). Run: python3 product.py > product.json (scipy)."""

import json

import numpy as np
import scipy
from scipy import integrate, optimize, special, stats


def lower(q, a, sa, b, sb, r):
    def f(x):
        at = (q / x - (b + r * sb * (x - a) / sa)) / (sb * np.sqrt(1 - r * r))
        return stats.norm.pdf(x, a, sa) * (stats.norm.cdf(at) if x > 0 else stats.norm.sf(at))

    ends = [a - 10 * sa] + ([0] if a - 10 * sa < 0 < a + 10 * sa else []) + [a + 10 * sa]
    return sum(integrate.quad(f, u, v, limit=500, epsabs=1e-14, epsrel=1e-13)[0] for u, v in zip(ends, ends[1:]))


cases = []
for a, sa, b, sb, r in [
    (0.339, 0.122, 0.451, 0.146, 0),
    (0.339, 0.122, 0.451, 0.146, 0.3),
    (0.339, 0.122, 0.451, 0.146, -0.6),
    (-0.1, 0.2, 0.3, 0.1, 0.5),
    (0, 1, 0, 1, 0),
    (1.1, 0.08, -0.14, 0.01, 0),
]:
    quantiles = {
        str(p): optimize.brentq(lambda q: lower(q, a, sa, b, sb, r) - p, -6, 6, xtol=1e-14) for p in (0.025, 0.5, 0.975)
    }
    cases.append({"a": a, "sdA": sa, "b": b, "sdB": sb, "correlation": r, "quantiles": quantiles})
closed = [[q, 0.5 + integrate.quad(lambda x: special.k0(x) / np.pi, 0, q, epsabs=1e-15)[0]] for q in (0.1, 0.5, 2.0)]
print(json.dumps({"source": f"scipy {scipy.__version__}", "cases": cases, "standard": closed}, indent=1))
