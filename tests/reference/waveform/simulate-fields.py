"""
Smooth Gaussian fields and t fields by brute force, as a reference for random field thresholds and smoothness.

    python3 simulate-fields.py > simulated-fields.json

White noise on a fine grid (`fine` points to a node) is made smooth by a Gaussian kernel of known full width at half
maximum; a t field is made of v + 1 such fields by the textbook one-sample formula. The largest |t| over the line is taken
at the fine grid, so that it stands for the continuous field, and at the nodes. Nothing of the project is used.
"""
import json
import sys

import numpy
import scipy
from scipy.ndimage import gaussian_filter1d

NODES = 101
FIELDS = 40000
rng = numpy.random.default_rng(20260101)


def smooth_fields(count, fwhm_nodes, fine):
    sigma = fwhm_nodes * fine / numpy.sqrt(8 * numpy.log(2))
    pad = int(6 * sigma) + 1
    length = (NODES - 1) * fine + 1
    noise = rng.standard_normal((count, length + 2 * pad))
    field = gaussian_filter1d(noise, sigma, axis=1, truncate=6, mode='constant')[:, pad:pad + length]
    offsets = numpy.arange(-int(6 * sigma + 0.5), int(6 * sigma + 0.5) + 1)
    kernel = numpy.exp(-0.5 * (offsets / sigma) ** 2)
    kernel /= kernel.sum()
    return field / numpy.sqrt((kernel ** 2).sum())


def case(fwhm, rows, fine):
    fine_maxima, node_maxima = [], []
    batch = max(1, 4000 // (rows or 1))
    done = 0
    while done < FIELDS:
        count = min(batch, FIELDS - done)
        if rows is None:
            t = smooth_fields(count, fwhm, fine)
        else:
            y = smooth_fields(count * rows, fwhm, fine).reshape(count, rows, -1)
            t = y.mean(axis=1) / (y.std(axis=1, ddof=1) / numpy.sqrt(rows))
        size = numpy.abs(t)
        fine_maxima.append(size.max(axis=1))
        node_maxima.append(size[:, ::fine].max(axis=1))
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


cases = [case(fwhm, rows, fine) for fwhm, fine in ((10, 4), (20, 2), (40, 2)) for rows in (None, 6, 10, 20, 40)]
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
