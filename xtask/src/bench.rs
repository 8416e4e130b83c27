//! The figures that the speed budgets of the design speak of. They are printed, never judged by a
//! test: a busy machine is no fault of the code.

use crate::outside::{DEMOS, browser_tools};
use crate::shell::{self, Line};
use std::fmt::Write;
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
/// Budget of a log of twenty years, shown.
const LOG_MS: f64 = 100.0;
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
    long_log(&program)?;
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

/// The rig with a large bank, on which the page is timed beside the first demo.
const LARGE: &str = "crates/app/tests/rigs/larch-bower.toml";

/// Prints how fast the page follows a pointer, is ready and what it weighs, in a browser.
pub(crate) fn page() -> Result<(), String> {
    let browser = browser_tools()?;
    shell::cargo(&["build", "--release", "--package", "bankwright"])?;
    let program = shell::word(&shell::product("release"));
    let folder = shell::word(&shell::target().join("pace"));
    let demo = format!("examples/{}.toml", DEMOS[0]);
    let words = ["xtask/browser/pace.mjs", &browser, &program, &folder, &demo, LARGE];
    Line::new("node", &words).run()
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

/// Twenty years of monthly readings of 48 cells, shown: the first demo with eight strings.
fn long_log(program: &str) -> Result<(), String> {
    let failed = |what: &str, e: &dyn std::fmt::Display| format!("{what}: {e}");
    let folder = shell::target().join("bench_log");
    if folder.exists() {
        std::fs::remove_dir_all(&folder).map_err(|e| failed("the old log stays", &e))?;
    }
    std::fs::create_dir_all(&folder).map_err(|e| failed("no folder for a log", &e))?;
    let (rig, copy) = (folder.join("rig.toml"), folder.join("copy.csv"));
    let demo = shell::root().join(format!("examples/{}.toml", DEMOS[0]));
    std::fs::copy(demo, &rig).map_err(|e| failed("the demo cannot be copied", &e))?;
    std::fs::write(&copy, long_copy()).map_err(|e| failed("no copy of a log", &e))?;
    let (rig, copy) = (shell::word(&rig), shell::word(&copy));
    let wide = ["log", rig.as_str(), "--set", "bank.parallel=8", "--today", "2026-01-15"];
    let with = |words: &[&str]| -> Vec<String> {
        wide.iter().chain(words).map(|w| (*w).to_owned()).collect()
    };
    let words = |all: &[String]| -> Result<f64, String> {
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        median_ms(program, &all)
    };
    let import: Vec<String> = with(&["import", &copy]);
    let import: Vec<&str> = import.iter().map(String::as_str).collect();
    if Line::new(program, &import).silent_code()? != Some(0) {
        return Err("the log of the bench cannot be taken in".to_owned());
    }
    show("log", "20 y, 48 c", Some(LOG_MS), words(&with(&["show"])));
    Ok(())
}

/// A log without marks: each cell once a month, its gravity on a slow course and a small wobble.
fn long_copy() -> String {
    let mut text = String::from("number,mark,corrects,when,part,what,value,more\n");
    for (month, year) in (2006..2026).flat_map(|year| (1..=12).map(move |month| (month, year))) {
        for (at, string) in ('A'..='H').enumerate() {
            for (place, cell) in (1..=2).flat_map(|place| (1..=3).map(move |cell| (place, cell))) {
                let wobble = (at * 7 + place * 5 + cell * 3 + month * 11 + year) % 9;
                let points = 1265 - (year - 2006) + wobble - 4;
                let _ = writeln!(
                    text,
                    ",,,{year}-{month:02}-01 09:00,{string}{place}.{cell},gravity,1.{:03},fluid {} C",
                    points - 1000,
                    10 + month
                );
            }
        }
    }
    text
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
