//! The figures that the speed budgets of the design speak of. They are printed, never judged by a
//! test: a busy machine is no fault of the code.

use crate::outside::DEMOS;
use crate::shell::{self, Line};
use std::time::Instant;

/// Runs whose median is printed; odd, so that it is one of them.
const RUNS: usize = 15;
/// Runs before those that count, so that the program lies in memory.
const WARM_UP: usize = 3;
/// Budget of `check`, process start to exit, on two cores.
const CHECK_MS: f64 = 25.0;
/// Budget of `book` on two cores. It speaks of a book without nights; the figure has them in it.
const BOOK_MS: f64 = 300.0;
/// Budget of 1,000 weather years of a demo, weather included, on two cores.
const NIGHTS_MS: f64 = 300.0;
/// The demo whose bank has twelve blocks.
const TWELVE: &str = "withy-reach";

/// Prints all figures.
pub(crate) fn run() -> Result<(), String> {
    shell::cargo(&["build", "--release", "--package", "bankwright"])?;
    let program = shell::word(&shell::product("release"));
    println!("\nwhole process, median of {RUNS} runs [ms]");
    for demo in DEMOS {
        let rig = format!("examples/{demo}.toml");
        let out = shell::word(&shell::target().join("books").join(demo));
        let whole = |word: &str, budget_ms: Option<f64>, arguments: &[&str]| {
            show(word, demo, budget_ms, median_ms(&program, arguments));
        };
        whole("check", Some(CHECK_MS), &["check", &rig]);
        // The fit's budget is that of the bench `fit`; this has process, report and search in it.
        whole("fit", None, &["fit", &rig]);
        whole("nights", Some(NIGHTS_MS), &["nights", &rig, "--years", "1000"]);
        whole("book", Some(BOOK_MS), &["book", &rig, "--out", &out]);
    }
    beside_the_simulator(&program)?;
    println!(
        "\none solve of a 12-block network: `whole`, budget 20 us; all its leads routed: 2 ms;"
    );
    println!(
        "fit of a demo: `stage_and_fit`, 20 ms; layout search of 8 blocks: `arrange` 8, 200 ms"
    );
    // The star takes the benches and leaves the unit tests alone.
    shell::cargo(&["bench", "--workspace", "--bench", "*"])
}

/// One line of figures; what cannot be measured says why and leaves the others be.
fn show(word: &str, demo: &str, budget_ms: Option<f64>, measured: Result<f64, String>) {
    let ms = match measured {
        Ok(ms) => ms,
        Err(why) => {
            println!("{word:6} {demo:12} not measured: {why}");
            return;
        }
    };
    let beside = match budget_ms {
        Some(budget_ms) if budget_ms < ms => format!("OVER its budget of {budget_ms}"),
        Some(budget_ms) => format!("budget {budget_ms}"),
        None => "search for better layouts included".to_owned(),
    };
    println!("{word:6} {demo:12} {ms:8.1}   {beside}");
}

/// Our own answer for a bank of twelve blocks, and the simulator's for the same deck.
fn beside_the_simulator(program: &str) -> Result<(), String> {
    let rig = format!("examples/{TWELVE}.toml");
    let ours = median_ms(program, &["share", &rig])?;
    println!("share {TWELVE:12} {ours:8.1}   whole process, reading the design file included");
    if !shell::is_here("ngspice") {
        println!("ngspice is not here, so its time is not shown");
        return Ok(());
    }
    let deck = Line::new(program, &["share", &rig, "--spice"]).output()?;
    let file = shell::target().join("bench.cir");
    std::fs::write(&file, deck).map_err(|e| format!("the deck cannot be written: {e}"))?;
    let theirs = median_ms("ngspice", &["-b", &shell::word(&file)])?;
    println!("ngspice -b, same bank {theirs:6.1}   whole process, a finished deck");
    Ok(())
}

/// The median time of a whole process. `check` ends with 1 where a STOP stands, which is work done.
fn median_ms(program: &str, arguments: &[&str]) -> Result<f64, String> {
    let mut times = Vec::with_capacity(RUNS);
    for run in 0..WARM_UP + RUNS {
        let start = Instant::now();
        let code = Line::new(program, arguments).silent_code()?;
        let elapsed = start.elapsed().as_secs_f64() * 1e3;
        if !matches!(code, Some(0 | 1)) {
            return Err(format!("bankwright {}: ended with {code:?}", arguments.join(" ")));
        }
        if WARM_UP <= run {
            times.push(elapsed);
        }
    }
    times.sort_by(f64::total_cmp);
    Ok(times[RUNS / 2])
}
