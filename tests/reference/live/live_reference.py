"""Solves the problems of a folder with scipy: python3 live_reference.py FOLDER

Reads lives.csv and quantiles.csv there; writes answers.csv (id,what,age,value)."""
import csv
import os
import sys

import numpy as np
from scipy import optimize, stats

folder = sys.argv[1]


def rows(name):
    with open(os.path.join(folder, name), newline="") as table:
        return list(csv.DictReader(table))


def likelihood(parameters, kind, entry, lower, exit_):
    """Log-likelihood in (ln scale, ln shape); takes complex parameters, for exact slopes."""
    t, z = parameters
    shape = np.exp(z)

    def hazard(age):
        known = np.where(age > 0, age, 1.0)
        return np.where(age > 0, np.exp(shape * (np.log(known) - t)), 0)

    failed = kind == "failed"
    between = kind == "interval"
    last = np.where(between, lower, exit_)
    value = np.sum(z - np.log(exit_[failed]) + shape * (np.log(exit_[failed]) - t))
    value -= np.sum(hazard(last) - hazard(entry))
    if between.any():
        inside = hazard(exit_[between]) - hazard(lower[between])
        value += np.sum(np.log(-np.expm1(-inside)))
    return value


def fit(lives):
    kind = np.array([life["kind"] for life in lives])
    entry, lower, exit_ = (np.array([float(life[c]) for life in lives]) for c in ("entry", "lower", "exit"))

    def of(parameters):
        return likelihood(parameters, kind, entry, lower, exit_)

    def loss(parameters):
        with np.errstate(all="ignore"):
            value = -of(parameters)
        return value if np.isfinite(value) else 1e10

    def slopes(parameters):
        step = 1e-30
        return [of((parameters[0] + 1j * step, parameters[1])).imag / step,
                of((parameters[0], parameters[1] + 1j * step)).imag / step]

    start = optimize.minimize(loss, [np.log(exit_.mean()), 0.0], method="Nelder-Mead",
                              options={"xatol": 1e-6, "fatol": 1e-9, "maxiter": 4000})
    found = optimize.root(slopes, start.x, tol=1e-13)
    assert np.max(np.abs(slopes(found.x))) < 1e-6 and np.max(np.abs(found.x - start.x)) < 1e-2
    return found.x, of(found.x)


problems = {}
for life in rows("lives.csv"):
    problems.setdefault(life["id"], []).append(life)
with open(os.path.join(folder, "answers.csv"), "w") as answers:
    for name, lives in problems.items():
        (t, z), top = fit(lives)
        for what, value in (("shape", np.exp(z)), ("scale", np.exp(t)), ("log_likelihood", top)):
            answers.write(f"{name},{what},0,{float(value)!r}\n")
    for problem in rows("quantiles.csv"):
        value = stats.chi2.ppf(float(problem["probability"]), float(problem["degrees"]))
        answers.write(f"{problem['id']},quantile,0,{float(value)!r}\n")
