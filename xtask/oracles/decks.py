"""The decks that the product writes, solved by ngspice, beside what the product says itself.

    python3 xtask/oracles/decks.py PROGRAM DEMO...

Prints one line a check: `ok   NAME` or `FAIL NAME: WHY`.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

# The simulator holds node volts in one double each; 50 V over a joint of a micro-ohm is then known to
# 7e-9 A in tens of amperes, and a few such roundings add up.
ALLOWED = 1e-8


def said(*words):
    """What a program prints."""
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"{pathlib.Path(words[0]).name} ended with {done.returncode}: {done.stderr.strip()}")
    return done.stdout


def compare(program, demo):
    """The worst distance between the two answers, as a part of the largest current."""
    rig = f"examples/{demo}.toml"
    ours = json.loads(said(program, "share", rig, "--json"))
    with tempfile.TemporaryDirectory() as folder:
        deck = pathlib.Path(folder) / "bank.cir"
        deck.write_text(said(program, "share", rig, "--spice"), encoding="utf-8")
        printed = said("ngspice", "-b", str(deck))
    theirs = {}
    for line in printed.splitlines():
        name, equals, value = line.partition(" = ")
        if equals:
            try:
                theirs[name.strip()] = float(value)
            except ValueError:
                pass
    volts = theirs.pop("bank_volts")
    # The deck has names of its own; in order of size the currents can be laid side by side.
    mine = sorted(block["amps"] for block in ours["blocks"])
    other = sorted(theirs.values())
    if len(mine) != len(other):
        raise RuntimeError(f"{len(mine)} blocks here, {len(other)} sources there")
    largest = max(abs(amps) for amps in mine)
    apart = max(abs(a - b) for a, b in zip(mine, other)) / largest
    return max(apart, abs(volts - ours["bank_volts"]) / abs(volts))


failed = 0
for demo in sys.argv[2:]:
    name = f"deck of {demo} in ngspice"
    try:
        apart = compare(sys.argv[1], demo)
    except (KeyError, RuntimeError, ValueError, OSError) as fault:
        print(f"FAIL {name}: {fault!r}")
        failed += 1
        continue
    if apart <= ALLOWED:
        print(f"ok   {name}: {apart:.1e} apart, {ALLOWED:.0e} allowed")
    else:
        print(f"FAIL {name}: {apart:.1e} apart, {ALLOWED:.0e} allowed")
        failed += 1
sys.exit(1 if failed else 0)
