#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program against the independent solution of the same case (cycle.py).

    python3 compare.py [PROGRAM]      against bulletin_500.csv as it stands (standard library only)
    python3 compare.py --full [PROGRAM]   solves anew first (needs NumPy and SciPy, half a minute)

Runs `PROGRAM cycle --format json` on bulletin_60x4.yaml (JSON, because the CSV form carries the
curve but not the capacity) and compares, at each dose and the cyclic steady state:

    capacity            reported; and from the program's own curve,  sum c_feed V - integral c dV
    volume              to the end point
    mean leakage        over the run
    curve               hardness, difference over the feed's, where the front is not steep
    curve, Ca and Mg    each, relative to its own value there: 0.2 % of the feed is a tenth of the
                        leakage, so it alone would pass a wrong leakage
    front               volumes at equal hardness, over the last twentieth of the run

Tolerances: two solutions of the same equations on the same grid, integrated to 1e-6, differ by
what the equations leave open (the gradient at the first cell's upper face, the interpolation of
the activity table, how far the cycle is iterated). Measured: 4e-5 of the capacity, 4e-4 of the
mean leakage, 5e-3 of Mg along the curve, 1.1e-3 of the front's volumes (the reference is read
linearly between points 1 BV apart where the front begins). 0.2 % of capacity and volume
is half the error of this coarse grid; 2 % of leakage is what the slow approach to the steady cycle
may leave. Both can fail: 2 % on the selectivity of Ca moves the capacity by 0.27 %, half a degree
by 0.33 %. Blind to the grid itself: 58 cells in place of 60 move it by 0.01 %.

Exit: 0 all within, 1 something outside, 2 could not run.
"""
import bisect
import csv
import json
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
CASE = os.path.join(HERE, "bulletin_60x4.yaml")
DEFAULT_PROGRAM = os.path.join(HERE, "..", "..", "build", "brinefront")
STEEP_FROM = 0.95  # of the volume to the end point


def interpolate(x, xs, ys):
    """Piecewise linear, xs rising; the ends are held."""
    k = bisect.bisect_left(xs, x)
    if k <= 0:
        return ys[0]
    if k >= len(xs):
        return ys[-1]
    share = (x - xs[k - 1]) / (xs[k] - xs[k - 1])
    return ys[k - 1] + share * (ys[k] - ys[k - 1])


def volume_at(level, volumes, hardness):
    """Last volume at which the hardness rises through the level."""
    for k in range(len(volumes) - 1, 0, -1):
        if hardness[k - 1] < level <= hardness[k]:
            share = (level - hardness[k - 1]) / (hardness[k] - hardness[k - 1])
            return volumes[k - 1] + share * (volumes[k] - volumes[k - 1])
    raise ValueError("the curve does not rise through %g mg/L" % level)


def read_reference(path):
    """Per dose: capacity, volume, leakage, curve."""
    doses = {}
    with open(path, encoding="ascii") as stream:
        rows = csv.DictReader(line for line in stream if not line.startswith("#"))
        for row in rows:
            dose = doses.setdefault(float(row["dose_lb_per_ft3"]),
                                    {"volume": [], "hardness": [], "Ca": [], "Mg": []})
            if row["kind"] == "mean":
                dose["capacity"] = float(row["capacity_eq_per_m3"])
                dose["end"] = float(row["volume_BV"])
                dose["leakage"] = float(row["hardness_mg_per_L_CaCO3"])
            else:
                dose["volume"].append(float(row["volume_BV"]))
                dose["hardness"].append(float(row["hardness_mg_per_L_CaCO3"]))
                dose["Ca"].append(float(row["Ca_meq_per_L"]))
                dose["Mg"].append(float(row["Mg_meq_per_L"]))
    return doses


def run_program(program, dose):
    text = subprocess.run([program, "cycle", "--format", "json", "--dose", "%g lb/ft3" % dose,
                           CASE], check=True, stdout=subprocess.PIPE, text=True).stdout
    answer = json.loads(text)
    curve = answer["cycle_steps"][0]["effluent"]
    feed = answer["feed"]["cations_meq_per_L"]
    cycle = answer["cycles"][0]
    if cycle["status"] != "rated":
        raise ValueError("%g lb/ft3 is not rated: %s" % (dose, cycle["status"]))
    ions = curve["cations_meq_per_L"]
    return {"capacity": 1000 * cycle["capacity_eq_per_L"], "end": cycle["throughput_BV"],
            "leakage": cycle["leakage_mean_mg_per_L_CaCO3"], "volume": curve["volume_BV"],
            "hardness": curve["hardness_mg_per_L_CaCO3"], "Ca": ions["Ca"], "Mg": ions["Mg"],
            "feed": answer["feed"]["hardness_mg_per_L_CaCO3"], "feed_eq": feed["Ca"] + feed["Mg"]}


def curve_capacity(run):
    """eq/m3: feed minus effluent by trapezoids; before the first point its value is held."""
    v = [0.0] + run["volume"]
    c = [a + b for a, b in zip(run["Ca"], run["Mg"])]
    c = c[:1] + c
    left = sum((v[k] - v[k - 1]) * (c[k] + c[k - 1]) / 2 for k in range(1, len(v)))
    return run["feed_eq"] * v[-1] - left


def compare(reference, run):
    """Rows: what, ours, theirs, difference, tolerance."""
    rows = []

    def relative(what, ours, theirs, tolerance):
        rows.append((what, ours, theirs, abs(ours / theirs - 1), tolerance))

    relative("capacity, eq/m3", run["capacity"], reference["capacity"], 0.002)
    relative("capacity of the curve, eq/m3", curve_capacity(run), reference["capacity"], 0.002)
    relative("volume to the end point, BV", run["end"], reference["end"], 0.002)
    relative("mean leakage, mg/L CaCO3", run["leakage"], reference["leakage"], 0.02)

    flat = [k for k, v in enumerate(reference["volume"]) if v <= STEEP_FROM * reference["end"]]
    for key, what in (("hardness", "curve, hardness over feed"), ("Ca", "curve, Ca relative"),
                      ("Mg", "curve, Mg relative")):
        worst = None
        for k in flat:
            ours = interpolate(reference["volume"][k], run["volume"], run[key])
            theirs = reference[key][k]
            difference = abs(ours - theirs) / (run["feed"] if key == "hardness" else theirs)
            if worst is None or difference > worst[0]:
                worst = (difference, ours, theirs, reference["volume"][k])
        rows.append(("%s, worst at %.1f BV" % (what, worst[3]), worst[1], worst[2], worst[0],
                     0.002 if key == "hardness" else 0.02))

    low = reference["hardness"][flat[-1]]
    high = min(reference["hardness"][-1], run["hardness"][-1])
    for share in (0.25, 0.5, 0.75, 0.99):
        level = low + share * (high - low)
        relative("front, BV at %.2f mg/L" % level,
                 volume_at(level, run["volume"], run["hardness"]),
                 volume_at(level, reference["volume"], reference["hardness"]), 0.002)
    return rows


def main(arguments):
    full = "--full" in arguments
    places = [a for a in arguments if a != "--full"]
    program = places[0] if places else DEFAULT_PROGRAM
    path = os.path.join(HERE, "bulletin_500.csv")
    with tempfile.TemporaryDirectory() as folder:
        if full:
            path = os.path.join(folder, "bulletin_500.csv")
            subprocess.run([sys.executable, os.path.join(HERE, "cycle.py"), "-o", path],
                           check=True, stderr=subprocess.DEVNULL)
        reference = read_reference(path)
    outside = count = 0
    print("%-44s %12s %12s %11s %9s" % ("", "program", "independent", "difference", "allowed"))
    for dose in sorted(reference):
        print("%g lb/ft3" % dose)
        rows = compare(reference[dose], run_program(program, dose))
        for quantity, ours, theirs, difference, tolerance in rows:
            agrees = difference <= tolerance  # not-a-number is outside
            count += 1
            outside += not agrees
            print("  %-42s %12.6g %12.6g %10.4f%% %8.1f%%%s"
                  % (quantity, ours, theirs, 100 * difference, 100 * tolerance,
                     "" if agrees else "  OUTSIDE"))
    print("%d of %d comparisons within" % (count - outside, count))
    if count == 0:
        print("nothing was compared", file=sys.stderr)
        return 2
    return 1 if outside else 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except (OSError, subprocess.CalledProcessError, ValueError, KeyError) as problem:
        print("compare.py: %s" % problem, file=sys.stderr)
        sys.exit(2)
