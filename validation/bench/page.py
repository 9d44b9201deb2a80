#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Write docs/performance.md and its figures from validation/bench/results.csv.

    page.py RESULTS DOCS
"""
import csv
import math
import os
import platform
import shutil
import subprocess
import sys

NAMES = {"block": "the bed's own", "banded": "stock banded", "KLU": "KLU", "SciPy": "SciPy VODE"}


def number(text):
    return float(text) if text else math.nan


def processor():
    try:
        with open("/proc/cpuinfo", encoding="ascii") as stream:
            text = stream.read()
    except OSError:
        return platform.processor(), "unknown"
    name = next((line.split(":")[1].strip() for line in text.splitlines()
                 if line.startswith("model name")), "unknown")
    vectors = "AVX-512" if "avx512f" in text else "AVX2" if "avx2" in text else "SSE2"
    return name, vectors


def fit(points):
    """log(seconds) = a + b log(error), least squares over (error, seconds)."""
    x = [math.log(p[0]) for p in points]
    y = [math.log(p[1]) for p in points]
    mx, my = sum(x) / len(x), sum(y) / len(y)
    b = (sum((u - mx) * (v - my) for u, v in zip(x, y)) / sum((u - mx) ** 2 for u in x))
    return my - b * mx, b


class Results:
    def __init__(self, path):
        with open(path, encoding="ascii", newline="") as stream:
            self.rows = list(csv.DictReader(stream))

    def rows_of(self, table, **filters):
        return [r for r in self.rows if r["table"] == table
                and all(r[key] == value for key, value in filters.items())]

    def points(self, way, library, cells, shells, error):
        return [(number(r[error]), number(r["seconds"]))
                for r in self.rows_of("precision", way=way, library=library, cells=cells, shells=shells)]


def ratio_at_equal_error(own, other):
    """Seconds of `other` over what the line through `own` takes at the same error, lowest and
    highest over the errors that both reach."""
    a, b = fit(own)
    low, high = min(e for e, _ in own), max(e for e, _ in own)
    found = [s / math.exp(a + b * math.log(e)) for e, s in other if low <= e <= high]
    return (min(found), max(found)) if found else None


def ratio_lines(results):
    yield ("| against | grid | errors compared | times slower at equal error | "
           "at equal tolerance 1e-3 / 1e-4 |")
    yield "|---|---|---|---|---|"
    for way, library, shells, error in (
            ("banded", "installed", "3", "error_curve"), ("banded", "O3", "3", "error_curve"),
            ("KLU", "installed", "3", "error_curve"), ("KLU", "O3", "3", "error_curve"),
            ("SciPy", "installed", "4", "error_leakage")):
        other = results.points(way, library, "60", shells, error)
        own = results.points("block", "installed", "60", shells, error)
        if not other or not own:
            continue
        span = ratio_at_equal_error(own, other)
        times = {r["at"]: number(r["seconds"]) for r in
              results.rows_of("precision", way=way, library=library, cells="60", shells=shells)}
        mine = {r["at"]: number(r["seconds"]) for r in
                results.rows_of("precision", way="block", library="installed", cells="60",
                           shells=shells)}
        built = {"installed": "as installed", "O3": "at -O3"}[library]
        yield "| %s, %s | 60 x %s | %s | %s | %s |" % (
            NAMES[way], built, shells,
            {"error_curve": "effluent curve", "error_leakage": "mean leakage"}[error],
            "%.0f to %.0f" % span if span else "no error in common",
            " / ".join("%.0f" % (times[t] / mine[t]) for t in ("1e-3", "1e-4") if t in times))
    for way, library in (("banded", "installed"), ("banded", "O3"), ("KLU", "installed"),
                         ("KLU", "O3")):
        times = {r["at"]: number(r["seconds"]) for r in
              results.rows_of("precision", way=way, library=library, cells="120", shells="3")}
        mine = {r["at"]: number(r["seconds"]) for r in
                results.rows_of("precision", way="block", library="installed", cells="120", shells="3")}
        if times:
            yield "| %s, %s | 120 x 3 | - | - | %s |" % (
                NAMES[way], {"installed": "as installed", "O3": "at -O3"}[library],
                " / ".join("%.0f" % (times[t] / mine[t]) for t in ("1e-3", "1e-4")))


def precision_lines(results):
    yield "| way | grid | tolerance | capacity off | mean leakage off | effluent curve off | ms | steps |"
    yield "|---|---|---|---|---|---|---|---|"
    for r in results.rows_of("precision"):
        curve = "%.1e" % number(r["error_curve"]) if r["error_curve"] else "-"
        yield "| %s%s | %s x %s | %s | %.1e | %.1e | %s | %.1f | %s |" % (
            NAMES[r["way"]], ", -O3" if r["library"] == "O3" else "", r["cells"], r["shells"],
            r["at"], number(r["error_capacity"]), number(r["error_leakage"]), curve,
            1e3 * number(r["seconds"]), r["steps"] or "-")


def curve_lines(results):
    yield "| case | threads | wall, s | CPU, s |"
    yield "|---|---|---|---|"
    for r in results.rows_of("curve"):
        yield "| cases/%s | %s | %.2f | %.2f |" % (
            r["way"], r["at"], number(r["seconds"]), number(r["error_capacity"]))


def scaling_lines(results, table, column):
    rows = results.rows_of(table)
    first = rows[0]
    yield "| %s | ms a cycle | steps | us a step | over the first, a step |" % column
    yield "|---|---|---|---|---|"
    unit = number(first["seconds"]) / number(first["steps"])
    for r in rows:
        step = number(r["seconds"]) / number(r["steps"])
        yield "| %s | %.1f | %s | %.1f | %.2f |" % (r[column], 1e3 * number(r["seconds"]), r["steps"],
                                                   1e6 * step, step / unit)


def steady_lines(results):
    yield "| case | doses | cycles, each from an exhausted bed | cycles, from the dose before | capacity apart by at most |"
    yield "|---|---|---|---|---|"
    for case in sorted({r["way"] for r in results.rows_of("steady")}):
        rows = results.rows_of("steady", way=case)
        yield "| cases/%s | %d | %d | %d | %.1e |" % (
            case, len(rows), sum(int(r["seconds"]) for r in rows),
            sum(int(r["steps"]) for r in rows),
            max(abs(number(r["error_capacity"])) for r in rows))


TEXT = """# How fast it is

Written by `sh validation/bench/run.sh` from one run on one machine ({processor}, {vectors}, {cores}
processors). Ratios come first: absolute times vary with the machine and with what else it does, and
even ratios do, since the bed's own loops use the widest vectors there are and the library's do not.
The library is SUNDIALS 6.4.1; Debian builds its banded solver and its vectors without optimisation,
hence the rows with the same sources at -O3 (built by hand from Debian's source package, nothing of it
in the tree). All times are medians of five cycles, CPU seconds of one thread.

## Against the generic ways of solving the same equations

One cycle of `cases/bulletin_500.yaml` at 10 lb/ft3, from the same bed. *Stock banded*: CVODE with its
serial vectors, a banded matrix of difference quotients and default settings; `--solver banded`. *KLU*:
the model's exact slopes as a sparse matrix. Both call the same right-hand side as the bed's own solver,
its vectorised one, so they are faster than a program written the plain way. *SciPy*: VODE with lband and
uband on the independent NumPy solution (validation/independent).

Equal error: a line is laid through the bed's own points (log seconds against log error), and the other
way's seconds are divided by the line's at the same error. Errors are against a tolerance of 1e-8 on the
same grid; the curve's is its largest distance anywhere in the service, in parts of the end point.

{ratios}

![CPU seconds against error](figures/work_precision.svg)

{precision}

At equal tolerance the stock solver takes about twice the steps, because its matrix is older and its
iteration stops sooner, and is more exact for it: that is why the ratios at equal error are lower.

## A rating of twelve doses

`brinefront rate CASE --doses "3 4 5 6 7.5 8 9 10 12 15 18 20 lb/ft3"`, the default grid of 120 cells and
3 shells at a relative tolerance of 5e-4, each dose to its cyclic steady state, with the two runs for the
grid estimate. Wall seconds, medians of seven runs.

{curves}

The results are the same bits for any number of threads. Peak memory with two: {memory:.1f} MB.

## How the cost grows

A cycle at 10 lb/ft3, relative tolerance 5e-4. Steps in time hardly depend on the grid: fronts are as wide
as film and bead make them, not as a cell. A step costs in proportion to the cells, and to the shells once
the fixed part is paid; with the ions it grows between the square and the cube, as their blocks do.

![Time of a step against cells, shells and ions](figures/scaling.svg)

{cells}

{shells}

{ions}

## Cycles to the steady state

{steady}

Why doses do not start from one another all the same: docs/decisions/continuation.md.

## What the arithmetic allows

Counted in the source for two ions and three shells, a cell and a step, 1.6 iterations a step, a new matrix
every second step on the average:

| part | additions and multiplications | divisions and roots |
|---|---|---|
| right-hand side, 1.6 times | 1.6 x 160 | 1.6 x 9 |
| solution by blocks, 1.6 times | 1.6 x 125 | - |
| slopes and factoring, 0.5 times | 0.5 x 445 | 0.5 x 20 |
| CVODE's prediction, history and norms, 9 unknowns | 170 | 9 |
| the iteration's own three passes, 1.6 times | 1.6 x 80 | - |
| together | about 980 | about 33 |

120 cells: 118,000 operations and 4,000 divisions a step. A processor at 3 GHz with AVX2 that never waited,
8 operations a clock and a division every 1.75 (both from memory), would take 5 + 2.3 = 7 us. Twelve doses are some 45 cycles of
1,100 steps: 0.36 s of CPU at that bound, 0.18 s on two processors. Measured times divided by that bound say
how far from it the program is on a given machine; the elimination along the bed, one cell after the other,
waits for its own results and cannot come near it.
"""


def draw(docs, name, data, commands):
    script = "\n".join(data + [
        "set terminal svg size 720,440 dynamic font 'Helvetica,13' background '#ffffff'",
        "set output '%s'" % os.path.join(docs, "figures", name),
        "set grid lc rgb '#dddddd' lt 1; set border 3; set tics nomirror; set key outside right",
        "set linetype 1 lc rgb '#0072b2' lw 2; set linetype 2 lc rgb '#d55e00' lw 2",
        "set linetype 3 lc rgb '#009e73' lw 2; set pointsize 0.8; set logscale xy"] + commands)
    subprocess.run(["gnuplot"], input=script, text=True, check=True)


def scaling_figure(results, docs):
    """Seconds of a step over those of the default grid."""
    plots, data = [], []
    for line, (table, default) in enumerate((("cells", "120"), ("shells", "3"), ("ions", "2"))):
        rows = results.rows_of(table)
        step = {r[table]: number(r["seconds"]) / number(r["steps"]) for r in rows}
        data.append("$s%d << E\n%s\nE" % (line, "\n".join(
            "%g %g" % (number(times) / number(default), seconds / step[default])
            for times, seconds in step.items())))
        plots.append("$s%d u 1:2 w lp lt %d pt 7 t \"%s, of %s\"" % (line, line + 1, table, default))
    draw(docs, "scaling.svg", data, [
        "set xlabel 'how many, over the default'", "set ylabel 'time of a step, over the default'",
        "set xrange [0.2:5]; set xtics (0.25, 0.5, 1, 2, 4); set ytics (0.25, 0.5, 1, 2, 4, 8)",
        "plot " + ", ".join(plots) + ", x lt 1 lc rgb '#999999' dt 3 t 'in proportion'"])


def figure(results, docs):
    plots, data = [], []
    for way, library in (("block", "installed"), ("banded", "installed"), ("banded", "O3"),
                         ("KLU", "installed"), ("KLU", "O3")):
        points = results.points(way, library, "60", "3", "error_curve")
        if points:
            name = "$p%d" % len(data)
            data.append("%s << E\n%s\nE" % (name, "\n".join("%g %g" % p for p in points)))
            title = NAMES[way] + (", -O3" if library == "O3" else "")
            plots.append("%s u 1:2 w lp lt %d pt 7 dt %d t \"%s\""
                         % (name, {"block": 1, "banded": 2, "KLU": 3}[way],
                            2 if library == "O3" else 1, title))
    draw(docs, "work_precision.svg", data, [
        "set format '10^{%T}'",
        "set xlabel 'largest error of the effluent curve, parts of the end point'",
        "set ylabel 'CPU seconds of a cycle, 60 cells, 3 shells'",
        "plot " + ", ".join(plots)])


def main():
    path, docs = sys.argv[1:]
    results = Results(path)
    name, vectors = processor()
    page = TEXT.format(
        processor=name, vectors=vectors, cores=os.cpu_count(),
        memory=number(results.rows_of("memory")[0]["error_capacity"]) / 1024,
        ratios="\n".join(ratio_lines(results)), precision="\n".join(precision_lines(results)),
        curves="\n".join(curve_lines(results)), steady="\n".join(steady_lines(results)),
        cells="\n".join(scaling_lines(results, "cells", "cells")),
        shells="\n".join(scaling_lines(results, "shells", "shells")),
        ions="\n".join(scaling_lines(results, "ions", "ions")))
    with open(os.path.join(docs, "performance.md"), "w", encoding="ascii") as stream:
        stream.write(page)
    if shutil.which("gnuplot"):
        figure(results, docs)
        scaling_figure(results, docs)
    else:
        print("page.py: no gnuplot, figures stay as they are", file=sys.stderr)


main()
