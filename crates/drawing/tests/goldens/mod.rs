//! Compares a picture with the one that was looked at and kept.

use drawing::scene::Scene;
use drawing::svg::{Setting, svg};

/// Checks a picture against its kept file; `UPDATE_EXPECT=1` keeps the new one instead.
///
/// Whoever updates one looks at it, and says in the message why it moved.
#[track_caller]
pub(crate) fn check_golden(name: &str, scene: &Scene) {
    let text = svg(scene, Setting::Inline);
    assert!(text.len() <= 20 * 1024, "{name} takes {} bytes; 20 KiB can be reviewed", text.len());
    let path = format!("{}/tests/goldens/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    #[expect(clippy::disallowed_methods, reason = "a test keeps its own files")]
    if std::env::var("UPDATE_EXPECT").is_ok() {
        std::fs::write(&path, &text).expect("the folder of goldens is there");
    }
    #[expect(clippy::disallowed_methods, reason = "a test reads its own files")]
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let differs = text.lines().zip(kept.lines()).enumerate().find(|(_, (new, old))| new != old);
    let says = differs.map(|(n, (new, old))| format!("line {}:\nnew {new}\nold {old}", n + 1));
    assert!(text == kept, "{name} is not as kept; {}", says.unwrap_or_default());
}
