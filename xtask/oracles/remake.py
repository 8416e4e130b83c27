"""Makes the computed numbers of data/ again, in another language and by another method.

Prints one line a check: `ok   NAME` or `FAIL NAME: WHY`. Run from the root of the project.
"""

import csv
import math
import sys

import numpy as np

FAILED = []


def rows(path):
    """The rows of a table of data/."""
    with open(f"data/{path}", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def check(name, apart, allowed):
    """One check: the worst distance and what rounding in print allows."""
    if apart <= allowed:
        print(f"ok   {name}: {apart:.2g} apart, {allowed:.2g} allowed")
    else:
        print(f"FAIL {name}: {apart:.3g} apart, {allowed:.2g} allowed")
        FAILED.append(name)


def numbers(text):
    """The numbers of a cell."""
    return np.array([float(word) for word in text.split()])


def string_currents(row):
    """String currents and bank volts of one case, by a full matrix of node equations.

    Each string lies between a plus node and a minus node; links join neighbours; the load is drawn
    between the two nodes of the take-off. One node is earth. The engine solves the same bank by
    another method (a factored envelope), so an error of either shows.
    """
    emf, ohm = numbers(row["emf_v"]), numbers(row["string_mohm"]) / 1e3
    count, load = len(emf), float(row["load_a"])
    star = row["plus_takeoff_at"] == "bus"
    plus = [0] * count if star else list(range(count))
    minus = [1] * count if star else list(range(count, 2 * count))
    size = 2 if star else 2 * count
    matrix, right = np.zeros((size, size)), np.zeros(size)

    def join(a, b, siemens):
        for one, other in ((a, b), (b, a)):
            matrix[one, one] += siemens
            matrix[one, other] -= siemens

    for i in range(count):
        join(plus[i], minus[i], 1 / ohm[i])
        right[plus[i]] += emf[i] / ohm[i]
        right[minus[i]] -= emf[i] / ohm[i]
    if not star:
        for side, links in ((plus, "pos_links_mohm"), (minus, "neg_links_mohm")):
            for i, link in enumerate(numbers(row[links]) / 1e3):
                join(side[i], side[i + 1], 1 / link)
    out = plus[0] if star else plus[int(row["plus_takeoff_at"]) - 1]
    back = minus[0] if star else minus[int(row["minus_takeoff_at"]) - 1]
    right[out] -= load
    right[back] += load
    # The equation of the returning node follows from the others, so it becomes earth.
    keep = [n for n in range(size) if n != back]
    volts = np.zeros(size)
    volts[keep] = np.linalg.solve(matrix[np.ix_(keep, keep)], right[keep])
    currents = [(emf[i] - volts[plus[i]] + volts[minus[i]]) / ohm[i] for i in range(count)]
    return np.array(currents), volts[out] - volts[back]


def parallel_sharing():
    """Every case of the table; six decimals are printed, so half of the last is allowed."""
    for row in rows("oracles/parallel_sharing.csv"):
        currents, volts = string_currents(row)
        apart = np.abs(currents - numbers(row["currents_a"])).max()
        apart = max(apart, abs(volts - float(row["bank_terminal_v"])))
        check(f"parallel_sharing {row['id']}", apart, 6e-7)


def wiring():
    """The computed rows of the worked answers; the table states the tolerance of each."""
    worst = {}
    for row in rows("oracles/wiring.csv"):
        if row["status"] != "computed":
            continue
        given = {k: float(v) for k, v in (p.split("=") for p in row["inputs"].split("; "))}
        if row["quantity"] == "drop":
            made = given["resistance_ohm_per_ft"] * given["conductor_ft"] * given["current_a"]
        elif row["quantity"] == "circular_mils":
            made = given["k"] * given["current_a"] * given["there_and_back_ft"] / given["allowed_v"]
        elif row["quantity"].startswith("string_"):
            count = int(given["strings"])
            case = {
                "emf_v": " ".join(["12.7"] * count),
                "string_mohm": " ".join([str(given["string_mohm"])] * count),
                "pos_links_mohm": " ".join([str(given["link_mohm"])] * (count - 1)),
                "neg_links_mohm": " ".join([str(given["link_mohm"])] * (count - 1)),
                "plus_takeoff_at": "1",
                "minus_takeoff_at": "1" if "same end" in row["what"] else str(count),
                "load_a": str(given["load_a"]),
            }
            made = string_currents(case)[0][int(row["quantity"].removeprefix("string_")) - 1]
        elif row["quantity"] == "pack":
            made = given["voltage_v"] / (given["resistance_mohm"] / 1000.0)
        else:
            print(f"FAIL wiring {row['id']}: nobody here makes a {row['quantity']}")
            FAILED.append(row["id"])
            continue
        expected = float(row["expected_value"])
        apart = abs(made - expected) / abs(expected) * 100
        share = apart / float(row["tolerance_percent"])
        worst[row["id"]] = max(worst.get(row["id"], 0.0), share)
    for name, share in worst.items():
        check(f"wiring {name} (of its tolerance)", share, 1.0)


def bundled_boat_cable():
    """Table 5 of the law, times the bundle, times 0.85 in an engine space; printed to 0.1 A."""
    law = {r["awg"]: float(r["ampacity_105c_a"]) for r in rows("ampacity/cfr_33_183_425_t5.csv")}
    bundle = {r["conductors_low"]: float(r["factor"]) for r in rows("ampacity/ul_1426_bundle.csv")}
    space = next(
        float(r["factor"])
        for r in rows("ampacity/cfr_33_183_425_t5_engine_space.csv")
        if r["insulation_c"] == "105"
    )
    outside, inside = 0.0, 0.0
    for row in rows("oracles/ampacity_105c_bundled.csv"):
        made = law[row["awg"]] * bundle[row["conductors_low"]]
        outside = max(outside, abs(made - float(row["outside_a"])))
        inside = max(inside, abs(made * space - float(row["engine_space_a"])))
    # Half of the last digit, and what binary fractions add to a tie such as 21.25.
    check("bundled boat cable outside an engine space [A]", outside, 0.05 + 1e-9)
    check("bundled boat cable in an engine space [A]", inside, 0.05 + 1e-9)


def gauge_law():
    """Diameter, area and resistance of each gauge, from the two sizes that define the law."""
    for column, digits in (
        ("diameter_mm", 4),
        ("area_mm2", 3),
        ("resistance_20c_ohm_per_km", 4),
        ("copper_kg_per_km", 2),
    ):
        worst = 0.0
        for row in rows("conductor/awg_law.csv"):
            gauge = int(row["gauge_number"])
            diameter = 25.4 * 0.005 * 92 ** ((36 - gauge) / 39)
            area = math.pi / 4 * diameter**2
            made = {
                "diameter_mm": diameter,
                "area_mm2": area,
                "resistance_20c_ohm_per_km": 17.2414 / area,
                "copper_kg_per_km": 8.89 * area,
            }[column]
            worst = max(worst, abs(made - float(row[column])))
        check(f"gauge law {column}", worst, 0.51 * 10**-digits)


def adiabatic():
    """The constant of a conductor that keeps all its heat; one decimal is printed."""
    worst = 0.0
    for row in rows("overcurrent/adiabatic_k_computed.csv"):
        start, end = float(row["initial_c"]), float(row["final_c"])
        made = 226 * math.sqrt(math.log((234.5 + end) / (234.5 + start)))
        worst = max(worst, abs(made - float(row["k_a_sqrt_s_per_mm2"])))
    check("adiabatic constant", worst, 0.051)


for part in (parallel_sharing, wiring, bundled_boat_cable, gauge_law, adiabatic):
    part()
sys.exit(1 if FAILED else 0)
