"""Makes trial_moments.json: Welch's interval and sample skewness by scipy. Run: python3 trial_moments.py"""
import json
import numpy as np
import scipy
from scipy import stats

first = [2.1, 3.4, -0.6, 1.9, 4.2, 0.3, 2.8]
second = [0.4, -1.1, 0.9, 0.2, -0.3]
welch = stats.ttest_ind(first, second, equal_var=False)
interval = welch.confidence_interval(0.95)
skewed = [1.0, 1.2, 0.8, 1.1, 5.0, 0.9, 1.3, 2.2]
json.dump(
    {
        "madeBy": f"numpy {np.__version__}, scipy {scipy.__version__}",
        "first": first,
        "second": second,
        "difference": float(np.mean(first) - np.mean(second)),
        "degreesOfFreedom": float(welch.df),
        "interval": [float(interval.low), float(interval.high)],
        "skewed": skewed,
        "skewness": float(stats.skew(skewed, bias=False)),
        "meanInterval90": [float(v) for v in stats.t.interval(0.9, len(skewed) - 1, np.mean(skewed), stats.sem(skewed))],
    },
    open("trial_moments.json", "w"),
    indent=2,
)
