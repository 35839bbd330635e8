# SPDX-License-Identifier: GPL-3.0-or-later
"""The few lines of TAP that the Python tests here speak."""


class Tap:
    def __init__(self):
        self.ran = 0
        self.failed = 0

    def check(self, good, name, why=()):
        """One check; the lines of why are shown where it fails."""
        self.ran += 1
        if not good:
            self.failed += 1
        print(f"{'ok' if good else 'not ok'} {self.ran} - {name}", flush=True)
        if not good:
            for line in why:
                print(f"# {line}", flush=True)
        return bool(good)

    def skip(self, name, why):
        self.ran += 1
        print(f"ok {self.ran} - {name} # SKIP {why}", flush=True)

    def done(self):
        print(f"1..{self.ran}", flush=True)
        return 1 if self.failed else 0
