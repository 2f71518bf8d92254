"""Draws small_trials.csv: three invented trials of known shape, unbalanced on purpose. Run: python3 small_trials.py"""
import numpy as np

rng = np.random.default_rng(20261125)
rows = ["design,golfer,arm,period,phase,task,session,date,value"]


def add(design, golfer, arm, period, phase, task, session, date, value):
    rows.append(f"{design},{golfer},{arm},{period},{phase},{task},{session},{date},{value:.2f}")


# Parallel: 7 and 8 golfers, two visits a phase for most, retention, drill speed, one leaver in each arm.
dates = {"baseline": "2026-03-0", "post": "2026-04-1", "retention": "2026-05-1"}
for number in range(15):
    arm = "drill" if number < 7 else "usual practice"
    golfer = f"P{number + 1:02d}"
    level, change = rng.normal(5, 4), rng.normal(0.5, 1)
    for phase in dates:
        if phase != "baseline" and number in (2, 11):
            continue
        effect = {"baseline": 0, "post": 2.5, "retention": 1.8}[phase] if arm == "drill" else 0
        for visit in range(1 if number in (0, 5, 9) else 2):
            session = f"{golfer}-{phase}-{visit + 1}"
            day = rng.normal(0, 0.9)
            for task in ("full", "drill"):
                for _ in range(int(rng.integers(3, 7))):
                    bonus = 1.0 if task == "drill" and effect > 0 else 0
                    value = level + (change if phase != "baseline" else 0) + effect + bonus + day + rng.normal(0, 2)
                    add("parallel", golfer, arm, 1, phase, task, session, f"{dates[phase]}{visit + 1}", value)

# Crossover: 11 golfers, 5 with the drill first.
for number in range(11):
    golfer = f"X{number + 1:02d}"
    level = rng.normal(5, 4)
    first = "drill" if number < 5 else "usual practice"
    for period in (1, 2):
        arm = first if period == 1 else ("usual practice" if first == "drill" else "drill")
        shift = rng.normal(0, 0.8) + (0.7 if period == 2 else 0) + (1.9 if arm == "drill" else 0)
        session = f"{golfer}-{period}"
        for _ in range(int(rng.integers(3, 8))):
            add("crossover", golfer, arm, period, "post", "full", session, f"2026-0{period + 3}-02", level + shift + rng.normal(0, 2))

# Stepped start: 12 golfers, three starts, five monthly visits.
months = ["2026-03-15", "2026-04-15", "2026-05-15", "2026-06-15", "2026-07-15"]
for number in range(12):
    golfer = f"W{number + 1:02d}"
    start = number // 4 + 1
    level, response = rng.normal(5, 4), rng.normal(2, 0.8)
    for month, date in enumerate(months):
        phase = "post" if month >= start else "baseline"
        day = rng.normal(0, 0.9) + 0.3 * month
        for _ in range(int(rng.integers(3, 6))):
            value = level + (response if phase == "post" else 0) + day + rng.normal(0, 2)
            add("stepped-start", golfer, "drill", start, phase, "full", f"{golfer}-{month + 1}", date, value)

open("small_trials.csv", "w").write("\n".join(rows) + "\n")
