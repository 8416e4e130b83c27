//! A picture on a page: its true size on paper, and as wide as its lettering needs on a screen.

use super::part::Piece;
use drawing::pictures::Setting as Sheet;
use drawing::scene::Scene;
use drawing::svg::{Setting, svg};
use maud::{Markup, PreEscaped, html};

/// Air under a picture [mm].
const AIR: f64 = 3.0;

/// A picture at its own size, or turned a quarter where it is wider than the page.
pub(crate) fn figure(scene: &Scene, width: f64) -> Piece {
    let turned = scene.width > width + 0.5;
    let (across, down) =
        if turned { (scene.height, scene.width) } else { (scene.width, scene.height) };
    let class = if turned { "figure turned" } else { "figure" };
    let size = format!(
        "--w:{:.2}mm;--h:{:.2}mm;width:{across:.2}mm;height:{down:.2}mm",
        scene.width, scene.height
    );
    let html = html! {
        div class=(class) style=(size) { (picture(scene)) }
    };
    Piece::new(html, down + AIR)
}

/// The picture itself. On a screen it is never narrower than its lettering needs; the box around it
/// scrolls.
pub(crate) fn picture(scene: &Scene) -> Markup {
    let least = (scene.width * Sheet::PIXELS_PER_MM).ceil();
    html! {
        div.picture style=(format!("--least:{least:.0}px")) {
            (PreEscaped(svg(scene, Setting::Inline)))
        }
    }
}
