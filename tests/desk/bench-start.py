#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Start to first frame, and memory with one profile open, of the program against an empty GTK window.

bench-start.py PROGRAM EMPTY PROFILE. Figures only; no test depends on them. The first frame is there when the window's corner shows another colour than the bare
screen: seen from outside, by the X server's word, alike for both. The least of the first frames depends less than their median on what else the machine does.
Own memory is what no other process maps, pages of libraries among it; run it while no other program of the toolkit runs, or both lose what they share with that."""

import ctypes
import ctypes.util
import os
import statistics
import subprocess
import sys
import time

RUNS = 9
SECONDS = 60
PROMISED = 1.5  # first frame, and memory with a profile open, against the empty window
PAUSE = 0.001
REST = 0.5      # memory is read when it has stayed the same for so long
AT = 30, 20     # inside the header bar, where both windows have one
ALL_PLANES, Z_PIXMAP = 0xFFFFFFFF, 2


class Screen:
    """The root window's pixel at one place, without the cost of starting a tool for each look."""

    def __init__(self):
        self.x11 = ctypes.CDLL(ctypes.util.find_library("X11"))
        for name, result, arguments in (("XOpenDisplay", ctypes.c_void_p, [ctypes.c_char_p]),
                                        ("XDefaultRootWindow", ctypes.c_ulong, [ctypes.c_void_p]),
                                        ("XGetImage", ctypes.c_void_p, [ctypes.c_void_p, ctypes.c_ulong, ctypes.c_int, ctypes.c_int, ctypes.c_uint,
                                                                        ctypes.c_uint, ctypes.c_ulong, ctypes.c_int]),
                                        ("XGetPixel", ctypes.c_ulong, [ctypes.c_void_p, ctypes.c_int, ctypes.c_int]),
                                        ("XDestroyImage", ctypes.c_int, [ctypes.c_void_p])):
            function = getattr(self.x11, name)
            function.restype, function.argtypes = result, arguments
        self.display = self.x11.XOpenDisplay(None)
        if not self.display:
            raise SystemExit("The display can't be opened; run this through tests/display.sh.")
        self.root = self.x11.XDefaultRootWindow(self.display)

    def pixel(self):
        image = self.x11.XGetImage(self.display, self.root, AT[0], AT[1], 1, 1, ALL_PLANES, Z_PIXMAP)
        pixel = self.x11.XGetPixel(image, 0, 0)
        self.x11.XDestroyImage(image)
        return pixel


def until(condition, what):
    end = time.monotonic() + SECONDS
    while not condition():
        if time.monotonic() > end:
            raise SystemExit(f"never came: {what}")
        time.sleep(PAUSE)


def memory(pid):
    """Resident, and of it the share that is this process's own, both MiB."""
    with open(f"/proc/{pid}/smaps_rollup", encoding="ascii") as rollup:
        kib = {line.split(":")[0]: int(line.split()[1]) for line in rollup if line.split()[-1] == "kB"}
    return kib["Rss"] / 1024, (kib["Private_Clean"] + kib["Private_Dirty"]) / 1024


def at_rest(pid):
    last, since = memory(pid), time.monotonic()
    while time.monotonic() - since < REST:
        time.sleep(0.05)
        now = memory(pid)
        if now != last:
            last, since = now, time.monotonic()
    return last


def start(screen, *command):
    """Seconds to the first frame, resident MiB, own MiB."""
    bare = screen.pixel()
    began = time.monotonic()
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        until(lambda: screen.pixel() != bare, f"the first frame of {command[0]}")
        took = time.monotonic() - began
        return took, *at_rest(process.pid)
    finally:
        process.terminate()
        process.wait()
        until(lambda: screen.pixel() == bare, "the screen to be bare again")


def figures(values):
    """First frame, median and least; resident and own memory, medians."""
    took, resident, own = zip(*values)
    return statistics.median(took), min(took), statistics.median(resident), statistics.median(own)


def main(program, empty, profile):
    screen = Screen()
    rows = {"empty window": [], "start page": [], "profile open": []}
    for run in range(RUNS + 1):
        for name, command in (("empty window", [empty]), ("start page", [program]), ("profile open", [program, profile])):
            row = start(screen, *command)
            if run > 0:  # the first round warms the caches
                rows[name].append(row)
    base = figures(rows["empty window"])
    print(f"{'median of ' + str(RUNS):14}{'first frame':>14}{'ratio':>7}{'least':>11}{'ratio':>7}{'resident':>13}{'ratio':>7}{'own':>13}{'ratio':>7}")
    for name, values in rows.items():
        took, least, resident, own = figures(values)
        print(f"{name:14}{took * 1000:>11.0f} ms{took / base[0]:>7.2f}{least * 1000:>8.0f} ms{least / base[1]:>7.2f}"
              f"{resident:>9.1f} MiB{resident / base[2]:>7.2f}{own:>9.1f} MiB{own / base[3]:>7.2f}")
    print(f"promised: every ratio at most {PROMISED}")


if __name__ == "__main__":
    if len(sys.argv) != 4:
        raise SystemExit("usage: bench-start.py PROGRAM EMPTY PROFILE")
    os.environ.setdefault("GSK_RENDERER", "cairo")
    main(*sys.argv[1:])
