//! Tests with tools that are not Rust: Python, a circuit simulator, a browser.
//!
//! What is missing is installed without a question where that is possible; what cannot be is
//! reported by the names of the tests that were not tried.

use crate::shell::{self, Line};
use crate::tally::Tally;
use crate::tree;

/// The rigs whose books are read in a browser.
pub(crate) const DEMOS: [&str; 3] = ["alder-fen", "withy-reach", "rime-hollow"];

/// A van whose box is slid from axle to axle.
const VAN: &str = "crates/app/tests/rigs/furze-hatch.toml";

/// Whether a program is here, after trying to install its package.
pub(crate) fn provide(program: &str, packages: &str) -> bool {
    shell::is_here(program) || (install(packages) && shell::is_here(program))
}

/// Installs packages where this is a Debian machine and we may; whether it went well.
fn install(packages: &str) -> bool {
    let may = Line::new("id", &["-u"]).output().is_ok_and(|id| id.trim() == "0");
    if !(may && shell::is_here("apt-get")) {
        return false;
    }
    let apt = |words: &[&str]| {
        let line = Line::new("apt-get", words).with("DEBIAN_FRONTEND", "noninteractive");
        line.run().is_ok()
    };
    let mut words = vec!["install", "--yes", "--quiet", "--no-install-recommends"];
    words.extend(packages.split(' '));
    // The lists of a fresh machine are empty; with old lists the first try is enough.
    apt(&words) || (apt(&["update", "--quiet"]) && apt(&words))
}

/// Runs a script and counts what it prints; a script that stops early is a failure.
fn script(tally: &mut Tally, name: &str, line: Line) -> Result<(), String> {
    let before = (tally.passed, tally.failed);
    let ended_well = line.each_line(|line| {
        println!("{line}");
        tally.hear_script(line);
    })?;
    if !ended_well && tally.failed == before.1 {
        tally.fail(name, "it stopped before its tests had run");
    } else if before == (tally.passed, tally.failed) {
        tally.fail(name, "it tried nothing");
    }
    Ok(())
}

/// The oracles that were computed are computed again, in another language.
pub(crate) fn oracles(tally: &mut Tally) -> Result<(), String> {
    let name = "oracles in Python";
    match python() {
        Ok(python) => script(tally, name, Line::new(&python, &["xtask/oracles/remake.py"])),
        Err(why) => {
            tally.skip(&[name.to_owned()], &why);
            Ok(())
        }
    }
}

/// A Python that has the libraries of `requirements.txt`.
pub(crate) fn python() -> Result<String, String> {
    if !provide("python3", "python3") {
        return Err("python3 is not here".to_owned());
    }
    let folder = shell::word(&shell::target().join("venv"));
    let inside = if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" };
    let python = shell::word(&shell::target().join("venv").join(inside));
    let has_all = |python: &str| Line::new(python, &["-c", "import numpy, pvlib, ezdxf"]).works();
    for plain in ["python3", python.as_str()] {
        if has_all(plain) {
            return Ok(plain.to_owned());
        }
    }
    let made = || Line::new("python3", &["-m", "venv", "--clear", &folder]).run();
    if made().is_err() && install("python3-venv python3-pip") {
        made()?;
    }
    let pip =
        ["-m", "pip", "install", "--quiet", "--requirement", "xtask/oracles/requirements.txt"];
    Line::new(&python, &pip).run()?;
    Ok(python)
}

/// The templates of the demo rigs are read back by other programs: poppler for PDF, ezdxf for DXF.
pub(crate) fn templates(tally: &mut Tally) -> Result<(), String> {
    let names: Vec<String> =
        DEMOS.iter().chain([&BOLTED]).map(|d| format!("templates of {d}")).collect();
    let python = if provide("pdftocairo", "poppler-utils") {
        python()
    } else {
        Err("poppler is not here".to_owned())
    };
    let python = match python {
        Ok(python) => python,
        Err(why) => {
            tally.skip(&names, &why);
            return Ok(());
        }
    };
    if let Err(why) = books().and_then(|()| bolted()) {
        for name in &names {
            tally.fail(name, &why);
        }
        return Ok(());
    }
    let folder = shell::word(&shell::target().join("books"));
    let mut words = vec!["xtask/oracles/templates.py", folder.as_str(), BOLTED];
    words.extend(DEMOS);
    script(tally, "templates read back", Line::new(&python, &words))
}

/// A rig with bolts, straps and openings of stated places; the name of its folder.
const BOLTED: &str = "bolted";

/// Writes its templates into `target/books`.
fn bolted() -> Result<(), String> {
    let folder = shell::target().join("books").join(BOLTED).join("templates");
    std::fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let folder = shell::word(&folder);
    let words = [
        "run",
        "--quiet",
        "--package",
        "drawing",
        "--example",
        "templates",
        "examples/alder-fen.toml",
    ];
    let mut words = words.to_vec();
    words.extend(["1", folder.as_str()]);
    shell::cargo(&words)
}

/// The books of the demo rigs are opened in a browser, in print.
pub(crate) fn browser(tally: &mut Tally) -> Result<(), String> {
    let names: Vec<String> = DEMOS
        .iter()
        .flat_map(|demo| ["letter", "A4"].map(|paper| format!("book of {demo} on {paper}")))
        .chain(DEMOS.iter().map(|demo| format!("hand-over of {demo}")))
        .chain(DEMOS.iter().map(|demo| format!("phone copy of {demo}")))
        .collect();
    let browser = match browser_tools() {
        Ok(browser) => browser,
        Err(why) => {
            tally.skip(&names, &why);
            return Ok(());
        }
    };
    if let Err(why) = books() {
        for name in &names {
            tally.fail(name, &why);
        }
        return Ok(());
    }
    let folder = |name: &str| shell::word(&shell::target().join(name));
    let (books, shots) = (folder("books"), folder("shots"));
    let mut words = vec!["xtask/browser/book.mjs", &browser, &books, &shots];
    words.extend(DEMOS);
    script(tally, "books in a browser", Line::new("node", &words))?;
    words[0] = "xtask/browser/phone.mjs";
    script(tally, "phone copies in a browser", Line::new("node", &words))
}

/// The page is used as somebody would use it, in a browser.
pub(crate) fn page(tally: &mut Tally) -> Result<(), String> {
    let names = [
        "the page in a browser",
        "every view of the page, open to everybody",
        "the box dragged in a van and a boat",
        "what leaves the page and comes back",
        "what a screen reader is given",
    ];
    let poppler = || {
        let here = provide("pdfinfo", "poppler-utils");
        here.then_some(()).ok_or_else(|| "poppler is not here".to_owned())
    };
    let browser = match browser_tools().and_then(|browser| poppler().map(|()| browser)) {
        Ok(browser) => browser,
        Err(why) => {
            tally.skip(&names.map(str::to_owned), &why);
            return Ok(());
        }
    };
    let program = match product() {
        Ok(program) => program,
        Err(why) => {
            tally.fail(names[0], &why);
            return Ok(());
        }
    };
    let rigs = DEMOS.map(|demo| format!("examples/{demo}.toml"));
    let folder = |name: &str| shell::word(&shell::target().join(name));
    let (copies, shots) = (folder("page"), folder("shots-page"));
    let words = ["xtask/browser/page.mjs", &browser, &program, &rigs[0], &copies, &shots];
    script(tally, names[0], Line::new("node", &words))?;
    let (copies, shots) = (folder("views"), folder("shots-views"));
    let mut words = vec!["xtask/browser/views.mjs", &browser, &program, &copies, &shots];
    words.extend(rigs.iter().map(String::as_str));
    script(tally, names[1], Line::new("node", &words))?;
    let (copies, shots) = (folder("slide"), folder("shots-slide"));
    let words = ["xtask/browser/slide.mjs", &browser, &program, &copies, &shots, VAN, &rigs[1]];
    script(tally, names[2], Line::new("node", &words))?;
    let (copies, shots) = (folder("away"), folder("shots-away"));
    let mut words = vec!["xtask/browser/away.mjs", &browser, &program, &copies, &shots];
    words.extend(rigs.iter().map(String::as_str));
    script(tally, names[3], Line::new("node", &words))?;
    let copies = folder("tree");
    let mut words = vec!["xtask/browser/tree.mjs", &browser, &program, &copies];
    words.extend(rigs.iter().map(String::as_str));
    script(tally, names[4], Line::new("node", &words))
}

/// Writes the books of the demo rigs into `target/books`.
fn books() -> Result<(), String> {
    let program = product()?;
    for demo in DEMOS {
        let rig = format!("examples/{demo}.toml");
        let folder = shell::target().join("books").join(demo);
        // A book of an earlier day must not pass for this one; at first there is none to remove.
        let _ = std::fs::remove_dir_all(&folder);
        let out = shell::word(&folder);
        Line::new(&program, &["book", &rig, "--out", &out]).run()?;
    }
    Ok(())
}

/// Node with our packages, and a browser; the browser's name.
pub(crate) fn browser_tools() -> Result<String, String> {
    if !provide("node", "nodejs npm") || !provide("npm", "npm") {
        return Err("node is not here".to_owned());
    }
    let known = ["chromium", "chromium-browser"];
    let browser = known.iter().find(|b| shell::is_here(b)).copied();
    let browser = browser.or_else(|| provide("chromium", "chromium").then_some("chromium"));
    let browser = browser.ok_or_else(|| "no Chromium is here".to_owned())?;
    let missing = |name: &str| {
        tree::text(&format!("xtask/browser/node_modules/{name}/package.json")).is_err()
    };
    if missing("playwright-core") || missing("axe-core") {
        let npm =
            ["ci", "--prefix", "xtask/browser", "--no-audit", "--no-fund", "--ignore-scripts"];
        Line::new("npm", &npm).run()?;
    }
    Ok(browser.to_owned())
}

/// The decks that the product writes are solved by the simulator, and both say the same.
pub(crate) fn decks(tally: &mut Tally) -> Result<(), String> {
    let names: Vec<String> = DEMOS.iter().map(|d| format!("deck of {d} in ngspice")).collect();
    for tool in ["ngspice", "python3"] {
        if !provide(tool, tool) {
            tally.skip(&names, &format!("{tool} is not here"));
            return Ok(());
        }
    }
    let program = match product() {
        Ok(program) => program,
        Err(why) => {
            tally.fail("decks in ngspice", &why);
            return Ok(());
        }
    };
    let mut words = vec!["xtask/oracles/decks.py", program.as_str()];
    words.extend(DEMOS);
    script(tally, "decks in ngspice", Line::new("python3", &words))
}

/// The product, freshly built.
fn product() -> Result<String, String> {
    shell::cargo(&["build", "--quiet", "--package", "bankwright"])?;
    Ok(shell::word(&shell::product("debug")))
}

/// Licences, sources and doubles of what we build on, where cargo-deny is installed.
pub(crate) fn dependencies(tally: &mut Tally) {
    if shell::is_here("cargo-deny") {
        let line = Line::new("cargo", &["deny", "check", "bans", "licenses", "sources"]);
        tally.check("licences and sources of dependencies", line.run());
    }
}
