#!/usr/bin/env python3
"""Recomputes the rows of renewal.csv with a shape below 0.3, where the power series cancels in
double precision, with 120 digits (needs mpmath). Usage, from this folder:
    python3 make_small_shape_reference.py
Prints one line a figure that differs by more than its tolerance, then how many were compared;
exit 1 on any difference."""
import csv
import sys

from mpmath import fsum, gamma, mp, mpf

mp.dps = 120
TERMS = 400
MOST = 40


def at_least(shape, t):
    """P(N(t) >= n), n = 0 .. MOST, Weibull lives of scale 1 (McShane et al. 2008)."""
    g = [gamma(shape * m + 1) / gamma(m + 1) for m in range(TERMS + 1)]
    row = g[:]
    chances = []
    for n in range(MOST + 1):
        chances.append(fsum((-1) ** (j + n) * t ** (shape * j) * row[j] / gamma(shape * j + 1)
                            for j in range(n, TERMS + 1)))
        row = [mpf(0)] * (n + 1) + [fsum(row[m] * g[j - m] for m in range(n, j))
                                    for j in range(n + 1, TERMS + 1)]
    return [1 - fsum(chances[:n]) for n in range(MOST + 1)]


compared = wrong = 0
known = {}
with open("renewal.csv", encoding="utf-8") as table:
    for row in csv.DictReader(line for line in table if not line.startswith("#")):
        if mpf(row["shape"]) >= mpf("0.3"):
            continue
        key = (row["shape"], row["exposure"])
        if key not in known:
            known[key] = at_least(mpf(row["shape"]), mpf(row["exposure"]))
        found = known[key][int(row["k"])]
        compared += 1
        if not abs(found - mpf(row["expected"])) <= mpf(row["tolerance"]):
            wrong += 1
            print(f"{row['id']}: file {row['expected']}, here {mp.nstr(found, 13)}")
print(f"{compared} figures compared, {wrong} differ")
sys.exit(1 if wrong else 0)
