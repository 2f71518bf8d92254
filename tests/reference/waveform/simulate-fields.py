"""
Smooth Gaussian fields and t fields by brute force, as a reference for random field thresholds and smoothness.

    python3 simulate-fields.py > simulated-fields.json

White noise made smooth by a Gaussian kernel with SD s has the covariance exp(-d^2 / (4 s^2)) at distance d; fields are drawn
from the eigenvectors of that covariance on a grid of `FINE` points to a node. A t field is made of v + 1 such fields by the
textbook one-sample formula. The largest |t| over the line is taken at all points, so that it stands for the continuous field,
and at the nodes alone. Nothing of the project is used.
"""
import json
import sys

import numpy
import scipy
from scipy.linalg import eigh

NODES = 101
FINE = 3
FIELDS = 40000
rng = numpy.random.default_rng(20260101)


def drawer(fwhm_nodes):
    sigma = fwhm_nodes / numpy.sqrt(8 * numpy.log(2))
    points = numpy.arange((NODES - 1) * FINE + 1) / FINE
    covariance = numpy.exp(-((points[:, None] - points[None, :]) ** 2) / (4 * sigma**2))
    sizes, vectors = eigh(covariance)
    kept = sizes > 1e-13 * sizes[-1]
    root = vectors[:, kept] * numpy.sqrt(sizes[kept])
    return lambda count: rng.standard_normal((count, root.shape[1])) @ root.T


def case(fwhm, rows):
    draw = drawer(fwhm)
    fine_maxima, node_maxima = [], []
    batch = max(1, 4000 // (rows or 1))
    done = 0
    while done < FIELDS:
        count = min(batch, FIELDS - done)
        if rows is None:
            t = draw(count)
        else:
            y = draw(count * rows).reshape(count, rows, -1)
            t = y.mean(axis=1) / (y.std(axis=1, ddof=1) / numpy.sqrt(rows))
        size = numpy.abs(t)
        fine_maxima.append(size.max(axis=1))
        node_maxima.append(size[:, ::FINE].max(axis=1))
        done += count
    fine_maxima, node_maxima = numpy.concatenate(fine_maxima), numpy.concatenate(node_maxima)

    def quantile(values, level):
        # With a 99 % interval for the quantile from the binomial distribution of the rank.
        values = numpy.sort(values)
        spread = 2.5758293035489004 * numpy.sqrt(FIELDS * level * (1 - level))
        at = FIELDS * level
        return [float(numpy.quantile(values, level)), float(values[int(at - spread)]), float(values[int(at + spread)])]

    return {
        'fwhmNodes': fwhm,
        'degreesOfFreedom': None if rows is None else rows - 1,
        'continuous95': quantile(fine_maxima, 0.95),
        'nodes95': quantile(node_maxima, 0.95),
        'continuous99': quantile(fine_maxima, 0.99),
    }


cases = [case(fwhm, rows) for fwhm in (10, 20, 40) for rows in (None, 6, 10, 20, 40)]
json.dump(
    {
        'madeBy': f'simulate-fields.py, python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}',
        'nodes': NODES,
        'fields': FIELDS,
        'quantiles': '[estimate, low, high] with a 99 % interval of the simulation',
        'cases': cases,
    },
    sys.stdout,
    indent=1,
)
print()
