//! The world's climate file: what stands in it, and what it says of one place.
//!
//! The form of the file is told in `data/climate/README.md`. A fault in the file is an error that
//! names the section; nothing here panics.

use super::error::TableError;
use crate::number::{asin, cos, sin};

/// The file as it is built in.
const FILE: &[u8] = include_bytes!("../../../../data/climate/climate.bin");
const NAME: &str = "climate/climate.bin";
const MAGIC: &[u8] = b"SKYCLIM1";
/// The form of the file that this reader knows.
const VERSION: u16 = 1;
const HEADER_BYTES: usize = 64;
const RECORD_BYTES: usize = 16;
const LEVELS_AT: usize = 28;
/// Mean radius of the earth [km], for great circles.
const EARTH_KM: f64 = 6371.0;
/// In the map of cells: no cell here.
const NO_CELL: u16 = 0xFFFF;
/// A neighbour with less weight than this is left out.
const WEIGHT_MIN: f64 = 1e-9;

/// Levels of probability at which the file holds a day's clear-sky index.
pub const LEVELS: usize = 16;
/// Months of a year.
pub const MONTHS: usize = 12;

/// Numbers of the sections.
mod section {
    pub(super) const CELLS: u32 = 1;
    pub(super) const INDEX: u32 = 2;
    pub(super) const LINKE: u32 = 3;
    pub(super) const ALTITUDE: u32 = 4;
    pub(super) const LAND: u32 = 5;
    pub(super) const AIR: u32 = 6;
    pub(super) const EXTREMES: u32 = 7;
}

/// The climate of every land on earth between 57 degrees south and 72 degrees north.
#[derive(Debug)]
pub struct Climate<'a> {
    grid: Grid,
    levels: [f64; LEVELS],
    cell_of_node: &'a [u8],
    index: &'a [u8],
    linke: &'a [u8],
    altitude: &'a [u8],
    land: &'a [u8],
    air: &'a [u8],
    extremes: &'a [u8],
    /// Latitude and longitude of each cell's centre [degrees].
    centres: Vec<(f64, f64)>,
}

#[derive(Clone, Copy, Debug)]
struct Grid {
    cells: usize,
    rows: usize,
    columns: usize,
    south_deg: f64,
    west_deg: f64,
    step_deg: f64,
}

/// What the file says of one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Cells blended and their weights, which add up to one.
    pub cells: Vec<(usize, f64)>,
    /// Distance to the nearest cell's centre [km].
    pub nearest_km: f64,
    /// Probabilities at which `index` is given.
    pub levels: [f64; LEVELS],
    /// Daily clear-sky index by month and level.
    pub index: [[f64; LEVELS]; MONTHS],
    /// Linke turbidity by month.
    pub linke: [f64; MONTHS],
    /// Altitude the map has for the land around [m].
    pub altitude_m: f64,
    /// Share of land around.
    pub land_share: f64,
    /// Mean air temperature by month, brought to sea level [C].
    pub sea_level_c: [f64; MONTHS],
    /// Lowest air temperature of about nine years, at the altitude of the cell [C].
    pub lowest_c: f64,
    /// Highest air temperature of about nine years, at the altitude of the cell [C].
    pub highest_c: f64,
}

impl Climate<'static> {
    /// The file that is built in.
    ///
    /// # Errors
    /// Names the section that is not what it must be; the tests read the same file.
    pub fn embedded() -> Result<Self, TableError> {
        Self::read(FILE)
    }
}

impl<'a> Climate<'a> {
    /// Reads a file of this form.
    ///
    /// # Errors
    /// Says what part of the file is not what it must be.
    pub fn read(bytes: &'a [u8]) -> Result<Self, TableError> {
        if !bytes.starts_with(MAGIC) || bytes.len() < HEADER_BYTES {
            return Err(fault("does not begin as a climate file does"));
        }
        if u16_at(bytes, 8) != Some(VERSION) {
            return Err(fault("is of another version"));
        }
        let counts = (bytes[26], bytes[27]);
        if counts != (16, 12) {
            return Err(fault("has other levels or months than 16 and 12"));
        }
        let field = |at| u16_at(bytes, at).map(usize::from).unwrap_or_default();
        let tenths = |at| f64::from(i16_at(bytes, at)) / 10.0;
        let grid = Grid {
            cells: field(12),
            rows: field(14),
            columns: field(16),
            south_deg: tenths(18),
            west_deg: tenths(20),
            step_deg: tenths(22),
        };
        if grid.cells == 0 || grid.columns == 0 || grid.step_deg <= 0.0 {
            return Err(fault("has an empty grid"));
        }
        let level = |i| f64::from(u16_at(bytes, LEVELS_AT + 2 * i).unwrap_or_default()) / 1000.0;
        let levels = std::array::from_fn(level);
        if levels.windows(2).any(|p: &[f64]| p[1] <= p[0]) {
            return Err(fault("has levels that do not rise"));
        }
        let part = |id, length| section_of(bytes, field(10), id, length);
        let cell_of_node = part(section::CELLS, 2 * grid.rows * grid.columns)?;
        Ok(Self {
            grid,
            levels,
            cell_of_node,
            index: part(section::INDEX, grid.cells * MONTHS * LEVELS)?,
            linke: part(section::LINKE, grid.cells * MONTHS)?,
            altitude: part(section::ALTITUDE, 360 * 720)?,
            land: part(section::LAND, 180 * 360)?,
            air: part(section::AIR, 73 * 144 * MONTHS)?,
            extremes: part(section::EXTREMES, grid.cells * 2)?,
            centres: centres(grid, cell_of_node)?,
        })
    }

    /// What the file says of a place; latitude -90 to 90, any longitude [degrees].
    #[must_use]
    pub fn at(&self, latitude_deg: f64, longitude_deg: f64) -> Reading {
        let latitude_deg = latitude_deg.clamp(-90.0, 90.0);
        let (nearest, nearest_km) = self.nearest(latitude_deg, longitude_deg);
        let mut cells = self.neighbours(latitude_deg, longitude_deg);
        if cells.is_empty() {
            cells.push((nearest, 1.0));
        }
        let total: f64 = cells.iter().map(|c| c.1).sum();
        cells.iter_mut().for_each(|c| c.1 /= total);
        let blend = |of: &dyn Fn(usize) -> f64| cells.iter().map(|c| of(c.0) * c.1).sum::<f64>();
        let byte = |part: &[u8], at: usize| f64::from(part[at]);
        let signed = |part: &[u8], at: usize| f64::from(part[at].cast_signed());
        let index = |m: usize, l: usize| {
            blend(&|c| byte(self.index, (c * MONTHS + m) * LEVELS + l) / 200.0)
        };
        let south = 90.0 - latitude_deg;
        let east = (longitude_deg + 180.0).rem_euclid(360.0);
        let box_of = |per_deg: f64, rows: usize, columns: usize| {
            let row = whole(south * per_deg).min(rows - 1);
            row * columns + whole(east * per_deg) % columns
        };
        Reading {
            nearest_km,
            levels: self.levels,
            index: std::array::from_fn(|m| std::array::from_fn(|l| index(m, l))),
            linke: std::array::from_fn(|m| blend(&|c| byte(self.linke, c * MONTHS + m) / 20.0)),
            altitude_m: 0.1 * byte(self.altitude, box_of(2.0, 360, 720)).powi(2),
            land_share: byte(self.land, box_of(1.0, 180, 360)) / 255.0,
            sea_level_c: self.sea_level_c(latitude_deg, longitude_deg),
            lowest_c: blend(&|c| signed(self.extremes, 2 * c)),
            highest_c: blend(&|c| signed(self.extremes, 2 * c + 1)),
            cells,
        }
    }

    /// The cell whose centre lies nearest on the great circle, and how far it is [km].
    fn nearest(&self, latitude_deg: f64, longitude_deg: f64) -> (usize, f64) {
        let here = latitude_deg.to_radians();
        let haversine = |centre: &(f64, f64)| {
            let there = centre.0.to_radians();
            let up = sin((there - here) / 2.0);
            let along = sin((centre.1 - longitude_deg).to_radians() / 2.0);
            up * up + cos(here) * cos(there) * along * along
        };
        let mut best = (0, f64::INFINITY);
        for (cell, centre) in self.centres.iter().enumerate() {
            let h = haversine(centre);
            if h < best.1 {
                best = (cell, h);
            }
        }
        (best.0, 2.0 * EARTH_KM * asin(best.1.sqrt().min(1.0)))
    }

    /// The cells at the corners of the square around a place, with their shares of it.
    fn neighbours(&self, latitude_deg: f64, longitude_deg: f64) -> Vec<(usize, f64)> {
        let grid = self.grid;
        let y = (latitude_deg - grid.south_deg) / grid.step_deg;
        let x = (longitude_deg - grid.west_deg).rem_euclid(360.0) / grid.step_deg;
        let (row, column) = (y.floor(), x.floor());
        let (up, along) = (y - row, x - column);
        let mut found = Vec::new();
        for (row, row_share) in [(row, 1.0 - up), (row + 1.0, up)] {
            for (column, share) in [(column, 1.0 - along), (column + 1.0, along)] {
                let weight = row_share * share;
                if row < 0.0 || grid.rows <= whole(row) || weight <= WEIGHT_MIN {
                    continue;
                }
                let node = whole(row) * grid.columns + whole(column) % grid.columns;
                if let Some(cell) = u16_at(self.cell_of_node, 2 * node).filter(|c| *c != NO_CELL) {
                    found.push((usize::from(cell), weight));
                }
            }
        }
        found
    }

    /// Bilinear in the temperature nodes, which stand every 2.5 degrees.
    fn sea_level_c(&self, latitude_deg: f64, longitude_deg: f64) -> [f64; MONTHS] {
        let y = (90.0 - latitude_deg) / 2.5;
        let x = longitude_deg.rem_euclid(360.0) / 2.5;
        let (row, column) = (whole(y).min(71), whole(x));
        let (down, along) = (y - row.min(71).to_f64(), x - column.to_f64());
        std::array::from_fn(|m| {
            let node = |r: usize, c: usize| {
                let at = (r * 144 + c % 144) * MONTHS + m;
                f64::from(self.air[at].cast_signed()) / 2.0
            };
            let line = |r| node(r, column) * (1.0 - along) + node(r, column + 1) * along;
            line(row) * (1.0 - down) + line(row + 1) * down
        })
    }
}

/// A small count as a number.
trait ToNumber {
    fn to_f64(self) -> f64;
}

impl ToNumber for usize {
    #[expect(clippy::cast_precision_loss, reason = "rows and columns are far below 2^53")]
    fn to_f64(self) -> f64 {
        self as f64
    }
}

/// The whole part of a number that is not negative; a negative one gives 0.
#[expect(clippy::cast_possible_truncation, reason = "rows and columns are small; `as` saturates")]
#[expect(clippy::cast_sign_loss, reason = "a negative number saturates at 0")]
const fn whole(x: f64) -> usize {
    x as usize
}

fn fault(says: &str) -> TableError {
    TableError::file(NAME, says)
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    bytes.get(at..at + 2).map(|b| u16::from_le_bytes([b[0], b[1]]))
}

fn i16_at(bytes: &[u8], at: usize) -> i16 {
    u16_at(bytes, at).unwrap_or_default().cast_signed()
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..at + 4).map(|b| u32::from_le_bytes([b[0], b[1], b[2], b[3]]))
}

/// The bytes of a section, when it is as long as it must be and its checksum holds.
fn section_of(bytes: &[u8], count: usize, id: u32, length: usize) -> Result<&[u8], TableError> {
    let field = |record: usize, at: usize| u32_at(bytes, HEADER_BYTES + record * RECORD_BYTES + at);
    let wrong = |says: &str| fault(&format!("section {id} {says}"));
    let record =
        (0..count).find(|r| field(*r, 0) == Some(id)).ok_or_else(|| wrong("is missing"))?;
    let place = |at| field(record, at).and_then(|v| usize::try_from(v).ok());
    let (start, long) = place(4).zip(place(8)).ok_or_else(|| wrong("has no place"))?;
    if long != length {
        return Err(wrong("is not as long as the grid asks"));
    }
    let end = start.checked_add(long).ok_or_else(|| wrong("lies outside the file"))?;
    let part = bytes.get(start..end).ok_or_else(|| wrong("lies outside the file"))?;
    if field(record, 12) != Some(checksum(part)) {
        return Err(wrong("is damaged: its checksum does not hold"));
    }
    Ok(part)
}

/// The centre of each cell, from the map of cells.
fn centres(grid: Grid, cell_of_node: &[u8]) -> Result<Vec<(f64, f64)>, TableError> {
    let mut centres = vec![None; grid.cells];
    for node in 0..grid.rows * grid.columns {
        let Some(cell) = u16_at(cell_of_node, 2 * node).filter(|c| *c != NO_CELL) else {
            continue;
        };
        let (row, column) = (node / grid.columns, node % grid.columns);
        let centre = (
            grid.south_deg + row.to_f64() * grid.step_deg,
            grid.west_deg + column.to_f64() * grid.step_deg,
        );
        let place = centres.get_mut(usize::from(cell));
        *place.ok_or_else(|| fault("section 1 names a cell that is not there"))? = Some(centre);
    }
    let all: Option<Vec<(f64, f64)>> = centres.into_iter().collect();
    all.ok_or_else(|| fault("section 1 leaves a cell without a place"))
}

/// CRC-32 with the usual reflected polynomial.
fn checksum(bytes: &[u8]) -> u32 {
    const TABLE: [u32; 256] = checksum_table();
    let step = |crc: u32, byte: &u8| {
        let [low, ..] = crc.to_le_bytes();
        TABLE[usize::from(low ^ byte)] ^ (crc >> 8)
    };
    !bytes.iter().fold(u32::MAX, step)
}

const fn checksum_table() -> [u32; 256] {
    let mut table = [0; 256];
    let mut byte = 0;
    let mut value: u32 = 0;
    while byte < 256 {
        let mut crc = value;
        let mut bit = 0;
        while bit < 8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xEDB8_8320 } else { crc >> 1 };
            bit += 1;
        }
        table[byte] = crc;
        byte += 1;
        value += 1;
    }
    table
}

#[cfg(test)]
mod tests {
    use super::{Climate, FILE, checksum};

    #[test]
    fn the_checksum_is_the_common_one() {
        // The check value that every description of CRC-32 prints for these nine digits.
        assert_eq!(checksum(b"123456789"), 0xCBF4_3926, "CRC-32 of 123456789");
    }

    #[test]
    fn a_damaged_file_is_an_error_that_names_the_part() {
        let says = |change: &dyn Fn(&mut Vec<u8>)| {
            let mut bytes = FILE.to_vec();
            change(&mut bytes);
            Climate::read(&bytes).map(|_| ()).expect_err("damaged").says
        };
        for (change, part) in [
            (&(|b: &mut Vec<u8>| b[0] = b'X') as &dyn Fn(&mut Vec<u8>), "does not begin"),
            (&|b| b[8] = 9, "another version"),
            (&|b| b[26] = 15, "other levels"),
            (&|b| b[700_000] ^= 1, "section 4 is damaged"),
            (&|b| b[64] = 99, "section 1 is missing"),
            (&|b| b[12] = 1, "as long as the grid asks"),
            (&|b| b.truncate(900_000), "outside the file"),
            (&|b| b.truncate(40), "does not begin"),
        ] {
            assert!(says(change).contains(part), "{part}: {}", says(change));
        }
    }

    #[test]
    fn a_place_is_the_same_whichever_way_round_the_earth() {
        let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
        for (latitude, longitude) in [(47.4, 8.5), (-16.5, 179.4), (64.1, -179.9), (0.0, -180.0)] {
            let here = climate.at(latitude, longitude);
            for turn in [-360.0, 360.0] {
                let there = climate.at(latitude, longitude + turn);
                assert!((here.nearest_km - there.nearest_km).abs() < 1e-6, "{longitude} {turn}");
                let apart = |a: f64, b: f64| (a - b).abs() < 1e-9;
                assert!(apart(here.index[0][5], there.index[0][5]), "{longitude} {turn}");
                assert!(apart(here.sea_level_c[6], there.sea_level_c[6]), "{longitude} {turn}");
            }
        }
        for latitude in [-90.0, 90.0] {
            let pole = climate.at(latitude, 180.0);
            assert!(350.0 < pole.nearest_km && pole.index[0][0].is_finite(), "{pole:?}");
        }
    }
}
