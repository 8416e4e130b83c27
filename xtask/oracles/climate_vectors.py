"""Turns the answers of a second reader of the climate file into data/oracles/climate_vectors.csv.

The second reader writes one JSON list of places; the engine reads no JSON, so that its tests read
this table instead. Run from the root of the project: python climate_vectors.py ANSWERS.json
"""

import csv
import json
import sys

# Key of the second reader; our word for it; its unit.
QUANTITIES = [
    ("grid_alt", "map_altitude", "m"),
    ("cells", "cells", "number"),
    ("weights", "weights", "share"),
    ("nearest_km", "nearest", "km"),
    ("q_jan", "levels_january", "clear-sky index"),
    ("linke", "linke", "factor"),
    ("kc_month", "index_month", "clear-sky index"),
    ("clear_ghi_day1_w_m2", "clear_day_1", "W/m2"),
    ("clear_ghi_day172_w_m2", "clear_day_172", "W/m2"),
    ("ghi_kwh_m2_day", "sun_month", "kWh/m2 a day"),
    ("temp_c", "air_month", "C"),
    ("sdT", "air_sd", "C"),
    ("dtr", "air_range", "C"),
    ("tmin_tmax", "extremes", "C"),
    ("land_frac", "land", "share"),
    ("phi", "phi", "autocorrelation"),
]
HEADER = "place,latitude_deg,longitude_deg,altitude_m,quantity,unit,values,source,where,status,note"


def main(answers):
    with open(answers, encoding="utf-8") as file:
        places = json.load(file)
    with open("data/oracles/climate_vectors.csv", "w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(HEADER.split(","))
        for place in places:
            at = [place["name"], place["lat"], place["lon"], place["alt"]]
            for key, word, unit in QUANTITIES:
                values = place[key] if isinstance(place[key], list) else [place[key]]
                text = " ".join(str(value) for value in values)
                cite = ["climate-fit", "reference reader in another language", "computed", ""]
                out.writerow([*at, word, unit, text, *cite])


if __name__ == "__main__":
    main(sys.argv[1])
