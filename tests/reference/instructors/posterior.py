# The joint distribution of the effects of eight schools of the London examination data (Goldstein et al. 1993, Oxford
# Review of Education 19:425-433), at most twenty pupils of each in the order of the file, by brute force: every variance
# matrix whole, both SDs on a grid; flat in the fixed effects, in log SD within and in the SD between. The rows:
#   Rscript -e 'library(mlmRev); d <- Exam[Exam$school %in% 1:8, c("school", "normexam", "standLRT")];
#     d <- do.call(rbind, lapply(split(d, d$school, drop = TRUE), head, 20)); write.csv(d, "exam8.csv", row.names = FALSE, quote = FALSE)'
#   python3 posterior.py exam8.csv > posterior.json
import json, sys
import numpy as np, scipy
from scipy.linalg import cho_factor, cho_solve
from scipy.stats import norm

rows = np.genfromtxt(sys.argv[1], delimiter=",", names=True)
school = rows["school"].astype(int)
groups = np.unique(school)
Z = (school[:, None] == groups[None, :]).astype(float)
X = np.column_stack([np.ones(len(rows)), rows["standLRT"]])
y = rows["normexam"]
n, J = Z.shape

def at(tau, sigma):
    V = sigma**2 * np.eye(n) + tau**2 * Z @ Z.T
    c = cho_factor(V, lower=True)
    Vi_X, Vi_y, Vi_Z = cho_solve(c, X), cho_solve(c, y), cho_solve(c, Z)
    A = X.T @ Vi_X
    b = np.linalg.solve(A, X.T @ Vi_y)
    quad = y @ Vi_y - b @ (X.T @ Vi_y)
    logp = -np.log(np.diag(c[0])).sum() - 0.5 * np.linalg.slogdet(A)[1] - 0.5 * quad - np.log(sigma)
    mean = tau**2 * Z.T @ (Vi_y - Vi_X @ b)
    PZ = Vi_Z - Vi_X @ np.linalg.solve(A, Vi_X.T @ Z)
    cov = tau**2 * np.eye(J) - tau**4 * Z.T @ PZ
    return logp, mean, cov

taus = np.concatenate([np.linspace(0.0, 0.6, 61), np.linspace(0.62, 1.2, 30), np.linspace(1.3, 4, 28)])
sigmas = np.linspace(0.5, 1.2, 71)
L = np.empty((len(taus), len(sigmas))); M = np.empty(L.shape + (J,)); C = np.empty(L.shape + (J, J))
for i, t in enumerate(taus):
    for k, s in enumerate(sigmas):
        L[i, k], M[i, k], C[i, k] = at(t, s)
P = np.exp(L - L.max())
# Trapezium weights of both grids.
def trapezium(x):
    w = np.zeros(len(x)); d = np.diff(x); w[:-1] += d / 2; w[1:] += d / 2; return w
W = P * trapezium(taus)[:, None] * trapezium(sigmas)[None, :]
W /= W.sum()
marginal = (P * trapezium(sigmas)[None, :]).sum(1)
cdf = np.concatenate([[0], np.cumsum((marginal[1:] + marginal[:-1]) / 2 * np.diff(taus))]); cdf /= cdf[-1]
mean = (W[..., None] * M).sum((0, 1))
second = (W[..., None, None] * (C + M[..., :, None] * M[..., None, :])).sum((0, 1))
ahead = lambda a, b: float((W * norm.cdf((M[..., a] - M[..., b]) / np.sqrt(np.maximum(1e-300, C[..., a, a] + C[..., b, b] - 2 * C[..., a, b])))).sum())
print(json.dumps({
    "versions": {"numpy": np.__version__, "scipy": scipy.__version__},
    "columns": ["school", "n", "sum x", "sum x^2", "sum y", "sum xy", "sum y^2"],
    "schools": [[int(g), int((school == g).sum()), *[float(v[school == g].sum()) for v in (X[:, 1], X[:, 1] ** 2, y, X[:, 1] * y, y**2)]] for g in groups],
    "betweenQuantiles": {str(q): float(np.interp(q, cdf, taus)) for q in (0.025, 0.25, 0.5, 0.75, 0.975)},
    "effects": mean.tolist(),
    "effectSds": np.sqrt(np.diag(second) - mean**2).tolist(),
    "chanceAhead": [[0, 1, ahead(0, 1)], [2, 4, ahead(2, 4)], [3, 7, ahead(3, 7)], [5, 6, ahead(5, 6)]],
}, indent=1))
