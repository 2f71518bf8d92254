"""Writes initial-value.json: three motions followed by scipy's explicit Runge-Kutta of order 8 (DOP853) at tight tolerance.

scipy 1.17, numpy 2.4. Run: python3 initial-value.py > initial-value.json
"""
import json
import numpy as np
import scipy
from scipy.integrate import solve_ivp


def oscillator(t, y, mu=5.0):
    return [y[1], mu * (1 - y[0] ** 2) * y[1] - y[0]]


def arenstorf(t, y, m=0.012277471):
    # Restricted three-body problem; start values of Hairer, Norsett and Wanner (1993), section II.0.
    d1 = ((y[0] + m) ** 2 + y[1] ** 2) ** 1.5
    d2 = ((y[0] - 1 + m) ** 2 + y[1] ** 2) ** 1.5
    return [y[2], y[3],
            y[0] + 2 * y[3] - (1 - m) * (y[0] + m) / d1 - m * (y[0] - 1 + m) / d2,
            y[1] - 2 * y[2] - (1 - m) * y[1] / d1 - m * y[1] / d2]


def pendulum(t, y):
    return [y[1], -9.81 * np.sin(y[0])]


def bottom(t, y):
    return y[0]


bottom.terminal = True
tight = dict(method="DOP853", rtol=1e-13, atol=1e-14)
vdp = solve_ivp(oscillator, (0, 10), [2.0, 0.0], t_eval=[2.5, 5, 7.5, 10], **tight)
orbit = solve_ivp(arenstorf, (0, 8), [0.994, 0.0, 0.0, -2.00158510637908252240537862224], t_eval=[2, 4, 8], **tight)
swing = solve_ivp(pendulum, (0, 5), [2.0, 0.0], events=bottom, **tight)
print(json.dumps({
    "versions": {"scipy": scipy.__version__, "numpy": np.__version__},
    "oscillator": {"times": vdp.t.tolist(), "states": vdp.y.T.tolist()},
    "orbit": {"times": orbit.t.tolist(), "states": orbit.y.T.tolist()},
    "pendulum": {"bottom_s": float(swing.t_events[0][0]), "speed": float(swing.y_events[0][0][1])},
}, indent=1))
