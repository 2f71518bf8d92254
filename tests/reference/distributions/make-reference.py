"""Tail probabilities of distributions with degrees of freedom that are not whole, and with very large ones.

Run with Python 3 and mpmath 1.3.0 (60 digits): python3 make-reference.py > tails.json
Each entry is [distribution, tail, arguments, value to 17 digits].
"""
import json
from mpmath import mp, mpf, betainc, gammainc, erfc, sqrt, quad, gamma, exp, log, inf, loggamma

mp.dps = 60


def beta_lower(x, a, b):
    """Regularised incomplete beta by its own integral, from whichever end is safe."""
    scale = exp(loggamma(a + b) - loggamma(a) - loggamma(b))
    return scale * mp.hyp2f1(a, 1 - b, a + 1, x) * x**a / a


def student_upper(t, df):
    t, df = mpf(t), mpf(df)
    return beta_lower(df / (df + t * t), df / 2, mpf(1) / 2) / 2


def f_upper(f, d1, d2):
    f, d1, d2 = mpf(f), mpf(d1), mpf(d2)
    return beta_lower(d2 / (d1 * f + d2), d2 / 2, d1 / 2)


def f_lower(f, d1, d2):
    f, d1, d2 = mpf(f), mpf(d1), mpf(d2)
    return beta_lower(d1 * f / (d1 * f + d2), d1 / 2, d2 / 2)


def chi_upper(x, df):
    return gammainc(mpf(df) / 2, mpf(x) / 2, inf, regularized=True)


def chi_lower(x, df):
    return gammainc(mpf(df) / 2, 0, mpf(x) / 2, regularized=True)


rows = []
for df in ("0.3", "1.7", "3.25", "7.43", "16.90922", "23.9", "412.6", "100000.5"):
    for t in ("0.001", "0.7", "2.1", "6", "35"):
        rows.append(["student", "upper", [float(t), float(df)], student_upper(t, df)])
for d1, d2 in (("0.7", "3.3"), ("2", "16.81"), ("3", "7.43"), ("12.2", "4000.5"), ("5.5", "0.9")):
    for f in ("0.002", "0.8", "3", "25", "900"):
        rows.append(["f", "upper", [float(f), float(d1), float(d2)], f_upper(f, d1, d2)])
        rows.append(["f", "lower", [float(f), float(d1), float(d2)], f_lower(f, d1, d2)])
for df in ("0.4", "2.6", "56.7", "3000.5"):
    for x in ("0.01", "1.5", "40", "300"):
        rows.append(["chi-squared", "lower", [float(x), float(df)], chi_lower(x, df)])
        rows.append(["chi-squared", "upper", [float(x), float(df)], chi_upper(x, df)])
print("[")
print(",\n".join(" " + json.dumps(row[:3])[:-1] + ", " + mp.nstr(row[3], 17) + "]" for row in rows
                if abs(row[3]) > mpf("1e-300") ))
print("]")
