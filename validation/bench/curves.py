#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Twelve doses by the command line: wall and CPU seconds; medians of seven runs.

    curves.py PROGRAM CASES
"""
import os
import subprocess
import sys
import time

DOSES = "3 4 5 6 7.5 8 9 10 12 15 18 20 lb/ft3"


def run(command):
    """Wall and CPU seconds of one run."""
    begin = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    if status != 0:
        raise SystemExit("%s failed" % command)
    return time.monotonic() - begin, usage.ru_utime + usage.ru_stime


def main():
    program, cases = sys.argv[1:]
    for case in ("bulletin_500.yaml", "counter_current.yaml", "hostel_well.yaml"):
        for threads in (1, 2):
            found = [run([program, "rate", os.path.join(cases, case), "--doses", DOSES,
                          "--threads", str(threads)]) for _ in range(7)]
            middle = [sorted(column)[3] for column in zip(*found)]
            print("curve,%s,installed,120,3,,%d,%.4f,,,%.4f," % (case, threads, middle[1],
                                                                middle[0]), flush=True)


main()
