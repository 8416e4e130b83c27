//! Coefficients of the formulas that lead from the sun to a panel's power.
//!
//! They are read once into named numbers, so that a formula that runs for every hour of a year
//! looks nothing up.

use super::Book;
use super::error::TableError;
use crate::cite::Cite;
use std::collections::BTreeMap;

const FILE: &str = "climate/sky_formulas.csv";

/// Series in the angle of the day: sun's distance, declination, equation of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geometry {
    /// Sun's irradiance at its mean distance [W/m2].
    pub solar_constant_w_m2: f64,
    /// Factors of 1, cos B, sin B, cos 2B, sin 2B for the inverse square of the distance.
    pub distance: [f64; 5],
    /// Factors of 1, cos B, sin B, cos 2B, sin 2B, cos 3B, sin 3B for the declination [rad].
    pub declination: [f64; 7],
    /// Factors of 1, cos B, sin B, cos 2B, sin 2B for the equation of time [rad].
    pub time: [f64; 5],
    /// Minutes in a radian of the day.
    pub minutes_per_rad: f64,
}

/// Air in the sun's way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Factor, degrees added to the elevation, exponent.
    pub mass: [f64; 3],
    /// Fall of the pressure's base per metre [1/m].
    pub pressure_fall_per_m: f64,
    /// Exponent of the pressure's base.
    pub pressure_exponent: f64,
}

/// The clear sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearSky {
    /// Scale heights of the two layers [m].
    pub scale_m: [f64; 2],
    /// cg1: slope per metre and base.
    pub global: [f64; 2],
    /// cg2: slope per metre and base.
    pub depth: [f64; 2],
    /// b: base and the part over fh1.
    pub beam: [f64; 2],
    /// Depth of the beam per air mass.
    pub beam_depth: f64,
    /// Upper bound of the beam: base, part with turbidity, base and part over fh1 below the line.
    pub bound: [f64; 4],
}

/// The diffuse part of an hour's light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiffuseSplit {
    /// Clearness up to which the sky counts as overcast.
    pub overcast_below: f64,
    /// Clearness above which it counts as clear.
    pub clear_above: f64,
    /// Slope under an overcast sky.
    pub overcast_slope: f64,
    /// Polynomial in clearness between the two, from the constant up.
    pub middle: [f64; 5],
    /// Diffuse part under a clear sky.
    pub clear: f64,
    /// Least cosine of the zenith angle the clearness is formed with.
    pub cosine_min: f64,
    /// Zenith angle beyond which there is no beam [deg].
    pub zenith_max_deg: f64,
}

/// Glass over the cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glass {
    /// Refractive index.
    pub index: f64,
    /// Extinction in it [1/m].
    pub extinction_per_m: f64,
    /// Its thickness [m].
    pub thickness_m: f64,
    /// Coefficient of the short form of the modifier.
    pub ashrae: f64,
}

/// The diode of a silicon cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Silicon {
    /// Band gap at 25 C [eV].
    pub gap_ev: f64,
    /// Change of the gap per kelvin, as a share.
    pub gap_per_k: f64,
    /// Boltzmann's constant [eV/K].
    pub boltzmann_ev_k: f64,
}

/// Heat of a panel, from its rated cell temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelHeat {
    /// Irradiance of the rating [W/m2].
    pub rated_w_m2: f64,
    /// Air of the rating [C].
    pub rated_air_c: f64,
    /// Transmittance times absorptance.
    pub absorbed: f64,
    /// Wind at the panel over wind at 10 m.
    pub wind_share: f64,
    /// Heat loss at the rating, in still air, and per metre a second of wind.
    pub loss: [f64; 3],
    /// Air behind the panel, upper end of each step [in], and what it adds to the rating [K].
    pub standoff: [(f64, f64); 4],
}

/// Every coefficient of the sky.
#[derive(Debug)]
pub struct SkyTables {
    /// Series in the angle of the day.
    pub geometry: Geometry,
    /// Air mass and pressure.
    pub air: Air,
    /// The clear sky.
    pub clear: ClearSky,
    /// The diffuse part.
    pub diffuse: DiffuseSplit,
    /// Least cosine of the zenith angle that the beam ratio of a tilted plane is formed with.
    pub tilt_cosine_min: f64,
    /// Glass over the cells.
    pub glass: Glass,
    /// The diode of a cell.
    pub silicon: Silicon,
    /// Heat of a panel.
    pub heat: PanelHeat,
    cites: BTreeMap<String, Cite>,
}

/// Numbers by id, while they are read.
struct Numbers(BTreeMap<String, (f64, Cite)>);

impl Numbers {
    fn one(&self, id: &str) -> Result<f64, TableError> {
        let missing = || TableError::file(FILE, &format!("has no row \"{id}\""));
        self.0.get(id).map(|row| row.0).ok_or_else(missing)
    }

    fn many<const N: usize>(&self, ids: [&str; N]) -> Result<[f64; N], TableError> {
        let mut found = [0.0; N];
        for (place, id) in found.iter_mut().zip(ids) {
            *place = self.one(id)?;
        }
        Ok(found)
    }

    fn series<const N: usize>(&self, id: &str) -> Result<[f64; N], TableError> {
        let mut found = [0.0; N];
        for (n, place) in found.iter_mut().enumerate() {
            *place = self.one(&format!("{id}-{n}"))?;
        }
        Ok(found)
    }
}

impl SkyTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let rows = book.rows(FILE, |row, cite| {
            Ok((row.word("id")?.to_owned(), (row.number("value")?, cite)))
        })?;
        let count = rows.len();
        let numbers = Numbers(rows.into_iter().collect());
        if numbers.0.len() < count {
            return Err(TableError::file(FILE, "an id stands twice"));
        }
        Ok(Self {
            geometry: geometry(&numbers)?,
            air: Air {
                mass: numbers.series("air-mass")?,
                pressure_fall_per_m: numbers.one("pressure-fall")?,
                pressure_exponent: numbers.one("pressure-exponent")?,
            },
            clear: clear(&numbers)?,
            diffuse: diffuse(&numbers)?,
            tilt_cosine_min: numbers.one("hay-davies-cosine-min")?,
            glass: Glass {
                index: numbers.one("glass-index")?,
                extinction_per_m: numbers.one("glass-extinction")?,
                thickness_m: numbers.one("glass-thickness")?,
                ashrae: numbers.one("ashrae-b0")?,
            },
            silicon: Silicon {
                gap_ev: numbers.one("band-gap")?,
                gap_per_k: numbers.one("band-gap-per-kelvin")?,
                boltzmann_ev_k: numbers.one("boltzmann")?,
            },
            heat: heat(&numbers)?,
            cites: numbers.0.into_iter().map(|(id, (_, cite))| (id, cite)).collect(),
        })
    }

    /// Where a coefficient stands.
    #[must_use]
    pub fn cite(&self, id: &str) -> Option<&Cite> {
        self.cites.get(id)
    }
}

fn geometry(numbers: &Numbers) -> Result<Geometry, TableError> {
    Ok(Geometry {
        solar_constant_w_m2: numbers.one("solar-constant")?,
        distance: numbers.series("distance")?,
        declination: numbers.series("declination")?,
        time: numbers.series("equation-of-time")?,
        minutes_per_rad: numbers.one("equation-of-time-minutes")?,
    })
}

fn clear(numbers: &Numbers) -> Result<ClearSky, TableError> {
    Ok(ClearSky {
        scale_m: numbers.many(["clear-low-scale", "clear-high-scale"])?,
        global: numbers.many(["clear-global-slope", "clear-global-base"])?,
        depth: numbers.many(["clear-depth-slope", "clear-depth-base"])?,
        beam: numbers.many(["clear-beam-base", "clear-beam-low"])?,
        beam_depth: numbers.one("clear-beam-depth")?,
        bound: numbers.many([
            "clear-share-base",
            "clear-share-turbid",
            "clear-share-low",
            "clear-share-low-scale",
        ])?,
    })
}

fn diffuse(numbers: &Numbers) -> Result<DiffuseSplit, TableError> {
    Ok(DiffuseSplit {
        overcast_below: numbers.one("diffuse-overcast-below")?,
        clear_above: numbers.one("diffuse-clear-above")?,
        overcast_slope: numbers.one("diffuse-overcast-slope")?,
        middle: numbers.series("diffuse-middle")?,
        clear: numbers.one("diffuse-clear")?,
        cosine_min: numbers.one("diffuse-cosine-min")?,
        zenith_max_deg: numbers.one("diffuse-zenith-max")?,
    })
}

fn heat(numbers: &Numbers) -> Result<PanelHeat, TableError> {
    let mut standoff = [(0.0, 0.0); 4];
    for (n, step) in standoff.iter_mut().enumerate() {
        let (below, rise) = (format!("standoff-{n}-below"), format!("standoff-{n}-rise"));
        *step = (numbers.one(&below)?, numbers.one(&rise)?);
    }
    Ok(PanelHeat {
        rated_w_m2: numbers.one("cell-noct-irradiance")?,
        rated_air_c: numbers.one("cell-noct-air")?,
        absorbed: numbers.one("cell-absorbed")?,
        wind_share: numbers.one("cell-wind-share")?,
        loss: numbers.many(["cell-wind-top", "cell-wind-still", "cell-wind-slope"])?,
        standoff,
    })
}
