#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program killed at random moments of typing and of saving: at most two seconds of work are lost, and the file is the old or the new one, whole.

5 rounds, times SL_TEST_ROUNDS; 200 from ten times on. Each goes on with what the one before left."""

import os
import random
import sys
import time

from deaths import ALLOWED, FACTOR, FULL, PROFILE, Stalls, Typist, is_whole, journal_values, lost_ms, shown, start, value_in, wait_dead
from journey import keys, run, scratch, wait

ROUNDS = 200 if FULL else max(1, round(5 * FACTOR))
SEED = int(os.environ.get("SL_TEST_SEED", "20"))


def one_round(path, stalls, chance, first):
    """Types, saves now and then, and is killed; what is then true, as the moments it was entered at tell."""
    program, window = start(path)
    try:
        if first is not None:
            window.wait_says("left unsaved")
            window.press("Keep")
            wait(lambda: shown(window) == first, f"what was left, {first}")
        saving = chance.random() < 0.5
        typist = Typist(window, chance.randrange(1000))
        typist.type_for(chance.uniform(0.5, 4.5))
        typist.press()
        if saving:
            keys("ctrl+s")
            time.sleep(chance.uniform(0, 0.15))
        moment = time.monotonic()
        program.process.kill()
        wait_dead(program)
    finally:
        program.__exit__(None, None, None)
    saved = value_in(path.read_text(encoding="utf-8"))
    kept = journal_values()
    return saving, typist, saved, kept, lost_ms(typist, moment, saved, *kept), 1000 * stalls.since(moment - 2 * ALLOWED)


def killed(tap):
    """killed at random moments"""
    chance = random.Random(SEED)
    losses = {False: [], True: []}
    with scratch(PROFILE) as folder:
        path = folder / PROFILE
        stalls = Stalls(folder)
        old, left = value_in(path.read_text(encoding="utf-8")), None
        for number in range(ROUNDS):
            saving, typist, saved, kept, lost, late = one_round(path, stalls, chance, left)
            of_now = [typist.text(n) for _, n in typist.entered]
            good = tap.check(is_whole(path) and saved in (old, left, *of_now), f"round {number + 1}: the file is old or new, whole", [str(saved)])
            good &= tap.check(len(kept) <= 1 and all(value is not None for value in kept), f"round {number + 1}: at most one journal", [str(kept)])
            good &= tap.check(lost <= 1000 * ALLOWED + late, f"round {number + 1}: at most two seconds lost",
                              [f"{lost} ms lost, the machine was {late:.0f} ms late; saving {saving}; {typist.entered}; saved {saved}, kept {kept}"])
            losses[saving].append(lost)
            old, left = saved, next((value for value in kept if value != saved), None)
            if not good:
                break
    for saving, lost in losses.items():
        if lost:
            lost.sort()
            print(f"# killed while {'saving' if saving else 'typing'}, {len(lost)} rounds: lost at most {lost[-1]} ms, half of them at most {lost[len(lost) // 2]} ms")


if __name__ == "__main__":
    sys.exit(run(killed))
