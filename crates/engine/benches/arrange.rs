//! How long the layout search takes. The budgets are 200 ms for 8 blocks and 2 s for 16.

use divan::{Bencher, black_box};
use engine::layout::arrange::search::search;
use engine::layout::arrange::{Cable, Case, Cell, Joining, Problem};

fn main() {
    divan::main();
}

/// Blocks of 6 V in strings of two, in a box with room on all sides.
fn problem(blocks: usize) -> Problem {
    Problem {
        series: 2,
        parallel: blocks / 2,
        blocks: vec![Cell { emf_v: 6.35, ohm: 3.2e-3 }; blocks],
        case: Case { length: 264.0, width: 183.0, plus: [30.0, 153.0], minus: [234.0, 30.0] },
        gap: 12.0,
        margin: 12.0,
        room: [Some(1500.0), Some(1200.0)],
        joining: Joining::Links,
        mains: [Some([0.0, -150.0]), Some([200.0, -150.0])],
        cable: Cable { ohm_per_mm: 2.6e-7, joint_ohm: 1e-4, slack_mm: 14.0 },
        amps: 147.0,
        metre_per_percent: 0.05,
    }
}

#[divan::bench(args = [4, 6, 8, 12, 16], sample_count = 5, sample_size = 1)]
fn arrange(bencher: Bencher<'_, '_>, blocks: usize) {
    let problem = problem(blocks);
    bencher.bench_local(|| search(black_box(&problem), 1));
}
