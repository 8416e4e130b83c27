//! One page with old and new picture side by side for every changed golden.

use crate::shell::Line;
use crate::tree;

/// Writes `target/goldens.html`.
pub(crate) fn run() -> Result<(), String> {
    let changed = Line::new("git", &["status", "--porcelain", "--untracked-files=all"]).output()?;
    let mut page = String::from(
        "<!doctype html><meta charset=utf-8><title>Changed goldens</title>\
         <style>body{font:16px sans-serif;margin:2em}section{display:grid;\
         grid-template-columns:1fr 1fr;gap:1em;margin:2em 0}h2{grid-column:1/3;margin:0}\
         svg{width:100%;height:auto;border:1px solid #999}</style><h1>Changed goldens</h1>",
    );
    let mut count = 0_usize;
    for path in changed.lines().filter_map(|l| l.get(3..)) {
        if !(path.contains("goldens/") && tree::ends(path, "svg")) {
            continue;
        }
        count += 1;
        let spec = format!("HEAD:{path}");
        let old = Line::new("git", &["show", &spec]).output().unwrap_or_else(|_| "new".to_owned());
        let new = tree::text(path).unwrap_or_else(|_| "removed".to_owned());
        page.push_str(&format!(
            "<section><h2>{path}</h2><div>{old}</div><div>{new}</div></section>"
        ));
    }
    tree::write("target/goldens.html", &page)?;
    println!("{count} changed; see target/goldens.html");
    Ok(())
}
