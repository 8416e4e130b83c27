"""Random cases of the formulas from the sun to a panel, with an open library's answers.

`sky_cases.py FORMULA SEED COUNT` prints a CSV with a header: the inputs, then the answers, whose
names begin with `=`. `sky_cases.py year tm2|tmy3` prints a typical year, hour by hour, with the
power of the library's own chain. Nothing is read or written besides the library's own files.
"""

import pathlib
import sys
import warnings

import numpy as np
import pandas as pd
import pvlib

warnings.filterwarnings("ignore")

# A panel of 60 cells, as a label prints it; the library finds a curve for these figures.
SHEET = {"v_oc": 38.3, "i_sc": 9.43, "v_mp": 31.0, "i_mp": 8.71}
CHANGES = {"alpha_sc": 0.0006 * 9.43, "beta_voc": -0.0036 * 38.3}
NOCT, EFFICIENCY, WIND, STANDOFF = 45.0, 0.20, 1.0, 1.0


def out(columns):
    """Prints columns as CSV, every number with all its digits."""
    names = list(columns)
    print(",".join(names))
    for row in zip(*(np.asarray(columns[n], dtype=float).tolist() for n in names)):
        print(",".join(repr(value) for value in row))


def position(rng, count):
    """The sun's true place, 2000 to 2050, all latitudes; the library's own algorithm in NumPy."""
    seconds = rng.integers(0, 51 * 365 * 86400, count)
    when = pd.Timestamp("2000-01-01", tz="UTC") + pd.to_timedelta(seconds, unit="s")
    lat, lon = rng.uniform(-90, 90, count), rng.uniform(-180, 180, count)
    altitude = rng.uniform(0, 4000, count)
    unix = seconds + 946684800
    found = pvlib.spa.solar_position(
        unix.astype(float), lat, lon, altitude, 1013.25, 12.0, 67.0, 0.5667
    )
    out({
        "year": when.year, "month": when.month, "day": when.day,
        "hour": when.hour + when.minute / 60 + when.second / 3600,
        "latitude_deg": lat, "longitude_deg": lon, "altitude_m": altitude,
        "=zenith_deg": found[1], "=azimuth_deg": found[4],
    })


def geometry(rng, count):
    """Series in the angle of the day, and the zenith angle they lead to."""
    day, hour = rng.integers(1, 366, count), rng.uniform(0, 24, count)
    lat = rng.uniform(-90, 90, count)
    declination = pvlib.solarposition.declination_spencer71(day)
    turn = np.radians(15 * (hour - 12))
    zenith = pvlib.solarposition.solar_zenith_analytical(np.radians(lat), turn, declination)
    out({
        "day": day, "hour": hour, "latitude_deg": lat,
        "=declination_rad": declination,
        "=time_min": pvlib.solarposition.equation_of_time_spencer71(day),
        "=extra_w_m2": pvlib.irradiance.get_extra_radiation(day, method="spencer"),
        "=zenith_deg": np.degrees(zenith),
    })


def air(rng, count):
    """Relative air mass and the pressure of an altitude."""
    zenith, altitude = rng.uniform(0, 90, count), rng.uniform(0, 5000, count)
    out({
        "zenith_deg": zenith, "altitude_m": altitude,
        "=mass": pvlib.atmosphere.get_relative_airmass(zenith, "kastenyoung1989"),
        "=pressure": pvlib.atmosphere.alt2pres(altitude) / pvlib.atmosphere.alt2pres(0),
    })


def clear(rng, count):
    """Light under a clear sky."""
    zenith, linke = rng.uniform(0, 89.9, count), rng.uniform(1.2, 9, count)
    altitude, extra = rng.uniform(0, 4000, count), rng.uniform(1320, 1415, count)
    mass = pvlib.atmosphere.get_relative_airmass(zenith, "kastenyoung1989")
    mass = mass * pvlib.atmosphere.alt2pres(altitude) / 101325
    found = pvlib.clearsky.ineichen(zenith, mass, linke, altitude, extra)
    out({
        "zenith_deg": zenith, "linke": linke, "altitude_m": altitude,
        "extra_w_m2": extra, "air_mass": mass,
        "=global": found["ghi"], "=beam": found["dni"], "=diffuse": found["dhi"],
    })


def split(rng, count):
    """The diffuse part of an hour."""
    zenith, day = rng.uniform(0, 89.5, count), rng.integers(1, 366, count)
    extra = pvlib.irradiance.get_extra_radiation(day, method="spencer")
    ghi = rng.uniform(0, 1.05, count) * extra * np.cos(np.radians(zenith))
    found = pvlib.irradiance.erbs(ghi, zenith, day)
    out({
        "zenith_deg": zenith, "extra_w_m2": extra, "global": ghi,
        "=beam": found["dni"], "=diffuse": found["dhi"],
    })


def plane(rng, count):
    """Light on a tilted plane, by two skies."""
    zenith, azimuth = rng.uniform(0, 90, count), rng.uniform(0, 360, count)
    tilt, facing = rng.uniform(0, 90, count), rng.uniform(0, 360, count)
    extra, albedo = rng.uniform(1320, 1415, count), rng.uniform(0, 0.8, count)
    dni, dhi = rng.uniform(0, 1000, count), rng.uniform(0, 500, count)
    ghi = dni * np.cos(np.radians(zenith)) + dhi
    args = {"solar_zenith": zenith, "solar_azimuth": azimuth, "dni": dni, "ghi": ghi, "dhi": dhi}
    more = {"dni_extra": extra, "albedo": albedo}
    even = pvlib.irradiance.get_total_irradiance(tilt, facing, model="isotropic", **args, **more)
    bright = pvlib.irradiance.get_total_irradiance(tilt, facing, model="haydavies", **args, **more)
    out({
        "zenith_deg": zenith, "azimuth_deg": azimuth, "tilt_deg": tilt, "facing_deg": facing,
        "extra_w_m2": extra, "albedo": albedo, "global": ghi, "beam": dni, "diffuse": dhi,
        "=even": even["poa_global"], "=bright": bright["poa_global"],
        "=direct": bright["poa_direct"], "=ground": bright["poa_ground_diffuse"],
    })


def incidence(rng, count):
    """The angle on a plane, and what the glass lets through at it."""
    zenith, azimuth = rng.uniform(0, 90, count), rng.uniform(0, 360, count)
    tilt, facing = rng.uniform(0, 90, count), rng.uniform(0, 360, count)
    cosine = pvlib.irradiance.aoi_projection(tilt, facing, zenith, azimuth)
    angle = pvlib.irradiance.aoi(tilt, facing, zenith, azimuth)
    out({
        "zenith_deg": zenith, "azimuth_deg": azimuth, "tilt_deg": tilt, "facing_deg": facing,
        "=cosine": cosine,
        "=glass": pvlib.iam.physical(angle, 1.526, 4.0, 0.002),
        "=short": pvlib.iam.ashrae(angle, 0.05),
    })


def sky(rng, count):
    """What the glass lets through of a whole sky, by a sum over patches of it."""
    tilt = np.concatenate([[0.0, 90.0], rng.uniform(2, 90, count - 2)])
    out({
        "tilt_deg": tilt,
        "=sky": pvlib.iam.marion_integrate(pvlib.iam.physical, tilt, "sky", 360),
        "=ground": pvlib.iam.marion_integrate(pvlib.iam.physical, tilt, "ground", 360),
    })


def cell(rng, count):
    """Temperature of the cells."""
    noct, part = rng.uniform(40, 52, count), rng.uniform(0.1, 0.23, count)
    gap, wind = rng.uniform(0.01, 6, count), rng.uniform(0, 12, count)
    light, air_c = rng.uniform(0, 1200, count), rng.uniform(-30, 45, count)
    hot = [
        pvlib.temperature.noct_sam(g, a, w, n, e, mount_standoff=s).item()
        for g, a, w, n, e, s in zip(light, air_c, wind, noct, part, gap)
    ]
    out({
        "noct_c": noct, "efficiency": part, "gap_in": gap, "wind_m_s": wind,
        "light_w_m2": light, "air_c": air_c, "=cell_c": hot,
    })


def diode(rng, count):
    """Curves of random panels: the sheet they would print, and their best point elsewhere."""
    cells = rng.integers(30, 80, count)
    a_ref = cells * 0.025693 * rng.uniform(0.95, 1.35, count)
    short = rng.uniform(3, 15, count)
    open_v = cells * rng.uniform(0.60, 0.72, count)
    series = rng.uniform(0.002, 0.03, count) * open_v / short
    shunt = rng.uniform(15, 400, count) * open_v / short
    alpha = rng.uniform(0.0002, 0.0008, count) * short
    saturation = (short - open_v / shunt) * np.exp(-open_v / a_ref)
    numbers = (a_ref, short, saturation, shunt, series)
    at = lambda g, t: pvlib.pvsystem.calcparams_desoto(g, t, alpha, *numbers)
    full = pvlib.pvsystem.singlediode(*at(1000.0, 25.0))
    warm = pvlib.pvsystem.singlediode(*at(1000.0, 27.0))
    light, hot = rng.uniform(20, 1200, count), rng.uniform(-25, 80, count)
    there = at(light, hot)
    found = pvlib.pvsystem.singlediode(*there)
    held = rng.uniform(0, 1, count) * np.asarray(found["v_oc"])
    out({
        "open_v": full["v_oc"], "short_a": full["i_sc"], "working_v": full["v_mp"],
        "working_a": full["i_mp"], "short_a_per_k": alpha,
        "open_v_per_k": (np.asarray(warm["v_oc"]) - np.asarray(full["v_oc"])) / 2,
        "light_a": short, "saturation_a": saturation, "series_ohm": series,
        "shunt_ohm": shunt, "slope_v": a_ref,
        "light_w_m2": light, "cell_c": hot, "held_v": held,
        "=open_v": found["v_oc"], "=working_v": found["v_mp"], "=power_w": found["p_mp"],
        "=held_a": pvlib.pvsystem.i_from_v(held, *there),
    })


def weather(kind):
    """A typical year that comes with the library: hourly light, air, and where it is."""
    folder = pathlib.Path(pvlib.__file__).parent / "data"
    if kind == "tm2":
        data, meta = pvlib.iotools.read_tmy2(folder / "12839.tm2")
        data = data.rename(columns={"GHI": "ghi", "DNI": "dni", "DHI": "dhi"})
        air_c = data["DryBulb"].to_numpy() / 10.0
    else:
        data, meta = pvlib.iotools.read_tmy3(folder / "703165TY.csv", map_variables=True)
        air_c = data["temp_air"].to_numpy()
    return data, meta, air_c


def year(kind):
    """A typical year through the library's own chain of the same models."""
    data, meta, air_c = weather(kind)
    lat, lon, high = (meta[key] for key in ("latitude", "longitude", "altitude"))
    tilt, facing = 30.0, 200.0
    # The stamp of a TMY2 hour is its beginning, of a TMY3 hour its end: the sun is taken mid-hour.
    half = pd.Timedelta("30min") if kind == "tm2" else -pd.Timedelta("30min")
    when = (data.index + half).tz_convert("UTC")
    place = pvlib.location.Location(lat, lon, tz="UTC", altitude=high)
    sun = place.get_solarposition(when)
    zenith, azimuth = sun["zenith"].to_numpy(), sun["azimuth"].to_numpy()
    extra = np.asarray(pvlib.irradiance.get_extra_radiation(when.dayofyear, method="spencer"))
    light = {key: data[key].to_numpy(dtype=float) for key in ("ghi", "dni", "dhi")}
    total = pvlib.irradiance.get_total_irradiance(
        tilt, facing, zenith, azimuth, light["dni"], light["ghi"], light["dhi"],
        dni_extra=extra, albedo=0.2, model="haydavies",
    )
    parts = pvlib.irradiance.haydavies(
        tilt, facing, light["dhi"], light["dni"], extra, zenith, azimuth, return_components=True
    )
    pass_ = pvlib.iam.physical(pvlib.irradiance.aoi(tilt, facing, zenith, azimuth))
    even = pvlib.iam.marion_diffuse("physical", tilt)
    effective = (total["poa_direct"] + parts["poa_circumsolar"]) * pass_
    effective = effective + parts["poa_isotropic"] * even["sky"]
    effective = effective + total["poa_ground_diffuse"] * even["ground"]
    effective = np.where(zenith < 90, effective, 0.0)
    on_plane = np.where(zenith < 90, total["poa_global"], 0.0)
    hot = pvlib.temperature.noct_sam(
        on_plane, air_c, WIND, NOCT, EFFICIENCY, mount_standoff=STANDOFF
    )
    fitted, _ = pvlib.ivtools.sdm.fit_desoto(**SHEET, **CHANGES, cells_in_series=60)
    keys = ("alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_sh_ref", "R_s")
    numbers = pvlib.pvsystem.calcparams_desoto(effective, hot, *(fitted[k] for k in keys))
    power = np.nan_to_num(pvlib.pvsystem.singlediode(*numbers)["p_mp"])
    count = len(power)
    out({
        "latitude_deg": [lat] * count, "longitude_deg": [lon] * count, "altitude_m": [high] * count,
        "year": when.year, "month": when.month, "day": when.day,
        "hour": when.hour + when.minute / 60, "of_year": when.dayofyear,
        "global": light["ghi"], "beam": light["dni"], "diffuse": light["dhi"], "air_c": air_c,
        "tilt_deg": [tilt] * count, "facing_deg": [facing] * count,
        "own_month": (data.index.month).to_numpy(), "=power_w": power,
    })


FORMULAS = {f.__name__: f for f in (
    position, geometry, air, clear, split, plane, incidence, sky, cell, diode
)}

if sys.argv[1] == "year":
    year(sys.argv[2])
else:
    FORMULAS[sys.argv[1]](np.random.default_rng(int(sys.argv[2])), int(sys.argv[3]))
