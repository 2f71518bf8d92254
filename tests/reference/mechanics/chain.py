"""Writes chain.json: accelerations of a driven chain of three segments in a plane, derived independently of the project.

The Lagrangian is written from the positions of the centres of mass (each segment a rod of mass m with its centre at c and inertia
Ic about that centre), and Lagrange's equations are formed from it by differentiation with 60-digit numbers (mpmath), not by hand.
The first segment held still makes the double pendulum.

mpmath 1.3.0, Python 3. Run: python3 chain.py > chain.json
"""
import json
import random
import mpmath as mp

mp.mp.dps = 60
SEGMENTS = [dict(L=0.19, m=20.0, c=0.03, I=1.3), dict(L=0.62, m=7.3, c=0.31, I=1.15), dict(L=0.9, m=0.42, c=0.66, I=0.245)]
G = 8.5


def lagrangian(q, v):
    x = y = vx = vy = mp.mpf(0)
    total = mp.mpf(0)
    for s, a, w in zip(SEGMENTS, q, v):
        cx, cy = x + s["c"] * mp.sin(a), y - s["c"] * mp.cos(a)
        cvx, cvy = vx + s["c"] * mp.cos(a) * w, vy + s["c"] * mp.sin(a) * w
        centre = mp.mpf(s["I"]) - mp.mpf(s["m"]) * mp.mpf(s["c"]) ** 2
        total += mp.mpf(s["m"]) * (cvx ** 2 + cvy ** 2) / 2 + centre * w ** 2 / 2 - mp.mpf(s["m"]) * G * cy
        x, y = x + s["L"] * mp.sin(a), y - s["L"] * mp.cos(a)
        vx, vy = vx + s["L"] * mp.cos(a) * w, vy + s["L"] * mp.sin(a) * w
    return total


def moved(values, *changes):
    out = list(values)
    for at, by in changes:
        out[at] += by
    return out


def accelerations(q, v, torques):
    h = mp.mpf(10) ** -15
    n = 3
    q, v = [mp.mpf(a) for a in q], [mp.mpf(a) for a in v]

    def mixed(f):  # second derivative by central differences; error of order h^2 = 1e-30
        return (f(h, h) - f(h, -h) - f(-h, h) + f(-h, -h)) / (4 * h * h)

    mass = mp.matrix(n, n)
    right = mp.matrix(n, 1)
    for i in range(n):
        right[i] = mp.mpf(torques[i]) - (torques[i + 1] if i + 1 < n else 0)
        right[i] += (lagrangian(moved(q, (i, h)), v) - lagrangian(moved(q, (i, -h)), v)) / (2 * h)
        for j in range(n):
            mass[i, j] = mixed(lambda a, b: lagrangian(q, moved(v, (i, a), (j, b))))
            right[i] -= mixed(lambda a, b: lagrangian(moved(q, (j, b)), moved(v, (i, a)))) * v[j]
    return [float(a) for a in mp.lu_solve(mass, right)]


draw = random.Random(5)
cases = []
for _ in range(6):
    q = [draw.uniform(-3, 3) for _ in range(3)]
    v = [draw.uniform(-20, 20) for _ in range(3)]
    torques = [draw.uniform(-100, 100) for _ in range(3)]
    cases.append(dict(angles=q, speeds=v, torques=torques, accelerations=accelerations(q, v, torques)))
print(json.dumps({"versions": {"mpmath": mp.__version__}, "gravity": G, "segments": SEGMENTS, "cases": cases}, indent=1))
