"""Fit and demand of parts with numpy, and maximum likelihood with scipy: to compare with.

    fit_demand.py numpy FOLDER SECONDS [PARTS]   posterior and demand, written from the formulas:
                                                 tensor grid, renewal sums with Richardson
                                                 extrapolation, whole arrays at a time
    fit_demand.py scipy FOLDER SECONDS [PARTS]   the two parameters alone, by minimize
    fit_demand.py same FOLDER                    largest difference of the chances of both programs

Reads what `bench_fit_demand write` wrote. Seconds for a thousand parts, reading left out, are
added to the file SECONDS; only the first PARTS parts are worked out.
"""

import csv
import sys
import time

import numpy as np

TEN_PERCENT_POINT = 1.2815516
SHAPE_SD = 0.35
REACH = 8  # deviations of the posterior that the grid covers
SCALES, SHAPES = 41, 25  # nodes along ln scale and ln shape
FIRST_STEPS, MOST_STEPS = 25, 800  # of time


def rows(folder, name):
    with open(f"{folder}/{name}.csv", newline="") as file:
        return list(csv.DictReader(file))


def read(folder, most):
    parts = {}
    for row in rows(folder, "beliefs")[:most]:
        belief = {name: float(text) for name, text in row.items() if name != "part"}
        parts[row["part"]] = {**belief, "failed": [], "alive": [], "ages": []}
    for row in rows(folder, "records"):
        if row["part"] in parts:
            kind = "failed" if row["failed"] == "1" else "alive"
            parts[row["part"]][kind].append(float(row["days"]))
    for row in rows(folder, "units"):
        if row["part"] in parts:
            parts[row["part"]]["ages"].append(float(row["age"]))
    for part in parts.values():
        for name in ("failed", "alive", "ages"):
            part[name] = np.array(part[name])
    return parts


def log_likelihood(part, ln_scale, shape):
    """Of Weibull lives over a grid: ln h for what failed, less the cumulative hazard of all."""
    ln_failed = np.log(part["failed"])
    ln_all = np.concatenate([ln_failed, np.log(part["alive"])])
    hazard = np.exp(shape[..., None] * (ln_all - ln_scale[..., None])).sum(-1)
    rates = np.log(shape) * len(ln_failed) + (shape - 1) * ln_failed.sum()
    return rates - shape * ln_scale * len(ln_failed) - hazard


def grid_of(part, centre, sd, scales, shapes, reach):
    ln_scale = centre[0] + sd[0] * np.linspace(-reach, reach, scales)[:, None]
    ln_shape = centre[1] + sd[1] * np.linspace(-reach, reach, shapes)[None, :]
    ln_scale, ln_shape = np.broadcast_arrays(ln_scale, ln_shape)
    spread = (np.log(part["high"]) - np.log(part["low"])) / (2 * TEN_PERCENT_POINT)
    prior = ((ln_scale - np.log(part["median"])) / spread) ** 2
    prior = prior + ((ln_shape - np.log(part["shape"])) / SHAPE_SD) ** 2
    log = log_likelihood(part, ln_scale, np.exp(ln_shape)) - 0.5 * prior
    weight = np.exp(log - log.max())
    return ln_scale, ln_shape, weight / weight.sum()


def posterior(part):
    """Nodes where the posterior is: a coarse look at the belief's range, then closer ones."""
    spread = (np.log(part["high"]) - np.log(part["low"])) / (2 * TEN_PERCENT_POINT)
    centre = (np.log(part["median"]), np.log(part["shape"]))
    sd = (spread, SHAPE_SD)
    for reach in (5, REACH, None):
        x, y, weight = grid_of(part, centre, sd, SCALES, SHAPES, reach or REACH)
        if reach is None:
            return np.exp(x).ravel(), np.exp(y).ravel(), weight.ravel()
        centre = ((weight * x).sum(), (weight * y).sum())
        sd = tuple(
            np.sqrt((weight * (v - c) ** 2).sum()) for v, c in zip((x, y), centre)
        )
    raise AssertionError


class Counts:
    """Tails P(N0 >= k), k = 0 .. order, of units that start new: on a time grid, by node.

    P(N0(y) >= k + 1) = sum of increments of F times the mean of P(N0 >= k) over the step, which is
    a convolution, done by Fourier transform over time for all nodes at once."""

    def __init__(self, days, scale, shape, steps, order):
        self.y = days * np.linspace(0, 1, steps + 1)
        power = (self.y / scale[:, None]) ** shape[:, None]
        size = 2 * steps
        ends = np.fft.rfft(-np.diff(np.exp(-power)), size)
        tail = np.ones_like(power)
        self.middle = []
        for _ in range(order):
            self.middle.append(0.5 * (tail[:, 1:] + tail[:, :-1])[:, ::-1])
            tail = np.zeros_like(power)
            middle = np.fft.rfft(self.middle[-1][:, ::-1], size)
            tail[:, 1:] = np.fft.irfft(ends * middle, size)[:, :steps]
        self.middle = np.stack(self.middle)

    def position(self, age, scale, shape):
        """Tails of the position's count over the stretch, k = 1 .. order."""
        hazard = ((age + self.y) / scale[:, None]) ** shape[:, None]
        ends = -np.diff(np.exp(hazard[:, :1] - hazard))
        return np.einsum("nt,knt->kn", ends, self.middle)


def unit_tails(part, scale, shape, steps, order):
    counts = Counts(part["days"], scale, shape, steps, order)
    return np.stack([counts.position(age, scale, shape) for age in part["ages"]])


def positions_tails(part, scale, shape, weight):
    """Steps doubled, with Richardson extrapolation, and levels added until nothing changes."""
    order, steps = 4, FIRST_STEPS
    coarse = unit_tails(part, scale, shape, steps, order)
    before = None
    while True:
        if (weight * coarse[:, -1]).sum(-1).max() > 1e-8:
            order *= 2
            coarse = unit_tails(part, scale, shape, steps, order)
            before = None
            continue
        steps *= 2
        fine = unit_tails(part, scale, shape, steps, order)
        tails = fine + (fine - coarse) / 3
        change = np.inf if before is None else (weight * np.abs(tails - before)).sum(-1).max()
        if change < 1e-6 or steps >= MOST_STEPS:
            return tails
        before, coarse = tails, fine


def demand(part):
    scale, shape, weight = posterior(part)
    kept = weight > 1e-12
    scale, shape, weight = scale[kept], shape[kept], weight[kept]
    total = np.ones((1, len(scale)))
    for tails in positions_tails(part, scale, shape, weight):
        one = -np.diff(tails, axis=0, prepend=1, append=0)
        product = np.zeros((len(total) + len(one) - 1, len(scale)))
        for k, chance in enumerate(one):
            product[k : k + len(total)] += chance * total
        total = product
    return np.cumsum(total @ weight)


def most_likely(part):
    from scipy.optimize import minimize

    def loss(at):
        return -log_likelihood(part, np.array(at[0]), np.array(np.exp(at[1])))

    ages = np.concatenate([part["failed"], part["alive"]])
    return minimize(loss, [np.log(ages.mean()), 0.0]).x


def largest_difference(folder):
    answers = [{}, {}]
    for name, answer in zip(("chances", "chances-numpy"), answers):
        for row in rows(folder, name):
            answer.setdefault(row["part"], []).append(float(row["chance"]))
    worst = 0.0
    for part, chances in answers[1].items():
        for n, chance in enumerate(chances):
            mine = answers[0][part]
            worst = max(worst, abs(chance - (mine[n] if n < len(mine) else 1.0)))
    print(f"{worst:.2g}")


def timed(parts, work):
    began = time.perf_counter()
    found = {key: work(part) for key, part in parts.items()}
    return found, (time.perf_counter() - began) * 1000 / len(parts)


def main():
    which, folder = sys.argv[1:3]
    if which == "same":
        largest_difference(folder)
        return
    parts = read(folder, int(sys.argv[4]) if len(sys.argv) > 4 else None)
    if which == "scipy":
        most_likely(next(iter(parts.values())))  # the import is no part of a fit
    found, seconds = timed(parts, demand if which == "numpy" else most_likely)
    with open(sys.argv[3], "a") as file:
        file.write(f"{seconds:.6f}\n")
    if which == "numpy":
        with open(f"{folder}/chances-numpy.csv", "w") as file:
            file.write("part,stock,chance\n")
            for key, chances in found.items():
                for n, chance in enumerate(chances):
                    file.write(f"{key},{n},{chance:.12f}\n")


main()
