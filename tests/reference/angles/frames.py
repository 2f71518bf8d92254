"""Reference values for segment frames, turn sequences, planes and turns of the trunk.

Every set of markers is built in the axes of its segment, so that the frame asked for is by definition the rotation
that was then applied. Angles of the twelve sequences come from scipy, planes from numpy's singular values.
Python 3.11, numpy 2.4, scipy 1.17.  Run: python3 frames.py > frames.json
"""
import json
import numpy as np
import scipy
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(20050501)
CARDAN = ["XYZ", "XZY", "YXZ", "YZX", "ZXY", "ZYX"]
EULER = ["XYX", "XZX", "YXY", "YZY", "ZXZ", "ZYZ"]


def placed(rotation, local):
    """The markers of a segment turned and moved, to 15 digits."""
    shift = rng.uniform(-1, 1, 3)
    return {name: (rotation.apply(p) + shift).tolist() for name, p in local.items()}


def segments(rotation):
    def u(lo, hi):
        return float(rng.uniform(lo, hi))

    a, b, d, e, h, q = u(0.08, 0.12), u(0.05, 0.08), u(-0.05, 0.05), u(-0.03, 0.03), u(0.2, 0.3), u(-0.02, 0.02)
    w, back, up, s1, s2 = u(0.1, 0.14), u(0.12, 0.18), u(-0.02, 0.02), u(0.03, 0.06), u(-0.06, -0.02)
    t, half, arm, bend, fore = u(-0.01, 0.01), u(0.02, 0.04), u(0.25, 0.35), u(0.7, 2.2), u(0.22, 0.3)
    return {
        # Middle of PX and T8 at the origin, middle of IJ and C7 straight above it, IJ and C7 in the plane z = 0.
        "thorax": placed(rotation, {"px": [a, d, q], "t8": [-a, -d, -q], "ij": [b, h + e, 0], "c7": [-b, h - e, 0]}),
        # Front spines along z, the middle of the back spines behind them at the same height.
        "pelvis": placed(
            rotation,
            {"rightAsis": [0, 0, w], "leftAsis": [0, 0, -w], "rightPsis": [-back, up, s1], "leftPsis": [-back, -up, s2]},
        ),
        "humerus": placed(rotation, {"shoulder": [0, arm, 0], "lateral": [0, t, half], "medial": [0, -t, -half]}),
        "forearm": placed(rotation, {"elbow": [0, fore, 0], "ulnar": [0, 0, 0], "radial": [0, t, half]}),
        "humerus2": placed(
            rotation,
            {"shoulder": [0, arm, 0], "elbow": [0, 0, 0], "ulnar": [fore * np.sin(bend), -fore * np.cos(bend), 0]},
        ),
    }


frames = []
for _ in range(8):
    rotation = Rotation.random(rng=rng)
    frames.append({"axes": rotation.as_matrix().tolist(), "markers": segments(rotation)})

sequences = []
for _ in range(6):
    rotation = Rotation.random(rng=rng)
    angles = {s: rotation.as_euler(s, degrees=True).tolist() for s in CARDAN + EULER}
    sequences.append({"matrix": rotation.as_matrix().tolist(), "angles_deg": angles})

# A person facing the ball, square to the target line, in the axes of the lab (X target, Y up, Z to the ball):
# x of the body is Z, y is Y, z (to the right, away from the target) is -X.
SQUARE = Rotation.from_matrix(np.array([[0, 0, -1], [0, 1, 0], [1, 0, 0]], dtype=float))
turns = []
for _ in range(8):
    yxz = [float(rng.uniform(-110, 70)), float(rng.uniform(-30, 30)), float(rng.uniform(-40, 40))]
    frame = SQUARE * Rotation.from_euler("YXZ", yxz, degrees=True)
    markers = segments(frame)
    turns.append({"turn_deg": yxz[0], "thorax": markers["thorax"], "pelvis": markers["pelvis"]})

planes = []
for _ in range(4):
    n = int(rng.integers(6, 20))
    points = rng.normal(size=(n, 3)) * [0.5, 0.3, 0.004] @ Rotation.random(rng=rng).as_matrix().T + rng.uniform(-1, 1, 3)
    weights = rng.uniform(0.2, 1.5, n)
    centre = np.average(points, axis=0, weights=weights)
    scaled = (points - centre) * np.sqrt(weights / weights.sum())[:, None]
    _, values, axes = np.linalg.svd(scaled)
    planes.append(
        {
            "points": points.tolist(),
            "weights": weights.tolist(),
            "normal": axes[2].tolist(),
            "centre": centre.tolist(),
            "rms": float(values[2]),
        }
    )

print(
    json.dumps(
        {
            "made_with": {"numpy": np.__version__, "scipy": scipy.__version__},
            "frames": frames,
            "sequences": sequences,
            "turns": turns,
            "planes": planes,
        },
        indent=1,
    )
)
