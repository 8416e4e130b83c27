//! A smooth figure of a panel as a low polynomial in light and cell temperature.
//!
//! The batch kernel may hold no exponential; fifteen products and sums stand for the diode's curve.

use std::array::from_fn;

/// Powers of the light beside the light itself, and of the temperature.
const LIGHT: usize = 5;
const HEAT: usize = 3;
const TERMS: usize = LIGHT * HEAT;
/// Middle and half width of the band of light that is fitted [W/m2]; down to 50 because less light
/// than that is less than 0.5 % of full power, and up to 1,100, a bright snow field.
const LIGHT_MIDDLE: f64 = 575.0;
const LIGHT_HALF: f64 = 525.0;
/// Middle and half width of the band of cell temperature [C]: -20 to 75.
const CELL_MIDDLE: f64 = 27.5;
const CELL_HALF: f64 = 47.5;
/// Points along each side of the grid that is fitted; the checks lie half-way between them.
const LIGHT_POINTS: u32 = 14;
const CELL_POINTS: u32 = 8;

/// A figure by light and cell temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Factor of light x^i t^j, with x and t the light and the temperature scaled to -1 to 1.
    terms: [[f64; HEAT]; LIGHT],
    /// Worst distance from what it stands for, as a share of the scale, on points between those fitted.
    pub residual: f64,
}

impl Surface {
    /// The surface nearest to a figure by least squares. `scale` is the figure in full light.
    #[must_use]
    pub fn fitted(scale: f64, exact: impl Fn(f64, f64) -> f64) -> Self {
        let mut normal = [[0.0; TERMS]; TERMS];
        let mut right = [0.0; TERMS];
        for (light, cell) in grid(LIGHT_POINTS, CELL_POINTS, 0.0) {
            let (basis, want) = (basis(light, cell), exact(light, cell));
            for (i, row) in normal.iter_mut().enumerate() {
                for (place, other) in row.iter_mut().zip(basis) {
                    *place += basis[i] * other;
                }
                right[i] += basis[i] * want;
            }
        }
        let solved = cholesky(normal, right);
        let terms = from_fn(|i| from_fn(|j| solved[i * HEAT + j]));
        let mut fitted = Self { terms, residual: 0.0 };
        for (light, cell) in grid(LIGHT_POINTS - 1, CELL_POINTS - 1, 0.5) {
            let apart = (fitted.value(light, cell) - exact(light, cell)).abs() / scale;
            fitted.residual = fitted.residual.max(apart);
        }
        fitted
    }

    /// The figure; nothing in the dark, and no more than a smooth continuation outside the band.
    #[must_use]
    #[inline]
    pub fn value(&self, light_w_m2: f64, cell_c: f64) -> f64 {
        let x = (light_w_m2 - LIGHT_MIDDLE) / LIGHT_HALF;
        let t = (cell_c - CELL_MIDDLE) / CELL_HALF;
        let mut sum = 0.0;
        for row in self.terms.iter().rev() {
            sum = sum * x + (row[0] + t * (row[1] + t * row[2]));
        }
        light_w_m2 * sum
    }
}

/// Points over the band, moved by a part of their distance.
fn grid(lights: u32, cells: u32, moved: f64) -> impl Iterator<Item = (f64, f64)> {
    let along = move |n: u32, points: u32| {
        2.0 * (f64::from(n) + moved) / (f64::from(points - 1) + 2.0 * moved) - 1.0
    };
    (0..lights).flat_map(move |i| {
        (0..cells).map(move |j| {
            let light = LIGHT_MIDDLE + LIGHT_HALF * along(i, lights);
            (light, CELL_MIDDLE + CELL_HALF * along(j, cells))
        })
    })
}

/// The terms at a point.
fn basis(light: f64, cell: f64) -> [f64; TERMS] {
    let x = (light - LIGHT_MIDDLE) / LIGHT_HALF;
    let t = (cell - CELL_MIDDLE) / CELL_HALF;
    let powers = |base: f64, count: usize| {
        std::iter::successors(Some(1.0), move |power| Some(power * base)).take(count)
    };
    let mut found = [0.0; TERMS];
    let pairs = powers(x, LIGHT).flat_map(|px| powers(t, HEAT).map(move |pt| light * px * pt));
    for (place, term) in found.iter_mut().zip(pairs) {
        *place = term;
    }
    found
}

/// Solves the normal equations. They are positive definite: the grid has more points than terms in
/// both directions, so no term is a sum of others.
fn cholesky(mut a: [[f64; TERMS]; TERMS], mut b: [f64; TERMS]) -> [f64; TERMS] {
    for i in 0..TERMS {
        for j in 0..=i {
            let inner: f64 = (0..j).map(|k| a[i][k] * a[j][k]).sum();
            let rest = a[i][j] - inner;
            a[i][j] = if i == j { rest.sqrt() } else { rest / a[j][j] };
        }
    }
    for i in 0..TERMS {
        let inner: f64 = (0..i).map(|k| a[i][k] * b[k]).sum();
        b[i] = (b[i] - inner) / a[i][i];
    }
    for i in (0..TERMS).rev() {
        let inner: f64 = (i + 1..TERMS).map(|k| a[k][i] * b[k]).sum();
        b[i] = (b[i] - inner) / a[i][i];
    }
    b
}

#[cfg(test)]
mod tests {
    use super::Surface;

    #[test]
    fn a_surface_of_its_own_terms_comes_back() {
        // A figure made of the terms is met to rounding, also between and outside the points.
        let exact = |light: f64, cell: f64| light * (0.2 - 0.001 * cell + 1e-5 * light);
        let surface = Surface::fitted(200.0, exact);
        assert!(surface.residual < 1e-10, "residual {}", surface.residual);
        for (light, cell) in [(0.0, 20.0), (30.0, -25.0), (700.0, 51.0), (1150.0, 80.0)] {
            let apart = (surface.value(light, cell) - exact(light, cell)).abs();
            assert!(apart < 1e-7, "{apart} apart at {light} W/m2 and {cell} C");
        }
    }
}
