"""Recomputes the certified values of the NIST Longley set in exact fractions and prints longley.json.

Data and certified values: NIST Statistical Reference Datasets, linear regression, Longley.
"""
import json
from fractions import Fraction
from decimal import Decimal, getcontext

getcontext().prec = 40
ROWS = """60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962"""
CERTIFIED = [
    (-3482258.63459582, 890420.383607373),
    (15.0618722713733, 84.9149257747669),
    (-0.0358191792925910, 0.0334910077722432),
    (-2.02022980381683, 0.488399681651699),
    (-1.03322686717359, 0.214274163161675),
    (-0.0511041056535807, 0.226073200069370),
    (1829.15146461355, 455.478499142212),
]
RESIDUAL_SD = 304.854073561965

table = [[Fraction(v) for v in line.split()] for line in ROWS.splitlines()]
y = [row[0] for row in table]
X = [[Fraction(1)] + row[1:] for row in table]
n, p = len(X), len(X[0])
A = [[sum(X[i][a] * X[i][b] for i in range(n)) for b in range(p)] + [Fraction(int(a == b)) for b in range(p)] for a in range(p)]
for c in range(p):
    pivot = A[c][c]
    A[c] = [v / pivot for v in A[c]]
    for r in range(p):
        if r != c:
            f = A[r][c]
            A[r] = [v - f * w for v, w in zip(A[r], A[c])]
inverse = [row[p:] for row in A]
xy = [sum(X[i][a] * y[i] for i in range(n)) for a in range(p)]
beta = [sum(inverse[a][b] * xy[b] for b in range(p)) for a in range(p)]
rss = sum((y[i] - sum(X[i][a] * beta[a] for a in range(p))) ** 2 for i in range(n))
def root(f):
    return float((Decimal(f.numerator) / Decimal(f.denominator)).sqrt())
for a in range(p):
    se = root(rss / (n - p) * inverse[a][a])
    assert abs(float(beta[a]) / CERTIFIED[a][0] - 1) < 1e-14, a
    assert abs(se / CERTIFIED[a][1] - 1) < 1e-14, a
assert abs(root(rss / (n - p)) / RESIDUAL_SD - 1) < 1e-14
names = ["y", "deflator", "product", "unemployed", "forces", "population", "year"]
print(json.dumps({
    "source": "NIST Statistical Reference Datasets, linear regression, Longley (1967); certified values, confirmed in exact fractions by longley.py",
    "data": {name: [float(row[j]) for row in table] for j, name in enumerate(names)},
    "certified": [{"estimate": b, "standardError": s} for b, s in CERTIFIED],
    "residualSd": RESIDUAL_SD,
}, indent=1))
