//! From a request to an answer, without a socket.

use super::desk::Desk;
use super::intent::read;
use super::sheet;
use super::take_away;
use super::wire::{Request, Response};
use drawing::svg::Part;
use serde::Serialize;

/// A piece of the sheet and where it is placed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub(super) struct Node {
    /// The id of the element that takes it.
    pub(super) id: String,
    /// What stands in it; of a part, the element itself.
    pub(super) html: String,
    /// It is a part of a piece and takes the place of the one of that id.
    pub(super) part: bool,
    /// Parts of it that can be sent by themselves.
    #[serde(skip)]
    pub(super) parts: Vec<Part>,
}

/// The answer to a wish.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct Answer {
    seq: u64,
    /// The sheet that the page shows with these pieces.
    sheet: u64,
    /// What is not as it was asked, in a sentence; empty when all is well.
    refused: bool,
    say: String,
    nodes: Vec<Node>,
}

/// The files of the page, built into the program.
const ASSETS: [(&str, &str, &[u8]); 11] = [
    ("/page.css", "text/css; charset=utf-8", include_bytes!("assets/page.css")),
    ("/page.js", SCRIPT, include_bytes!("assets/page.js")),
    ("/begin.js", SCRIPT, include_bytes!("assets/begin.js")),
    ("/send.js", SCRIPT, include_bytes!("assets/send.js")),
    ("/place.js", SCRIPT, include_bytes!("assets/place.js")),
    ("/hold.js", SCRIPT, include_bytes!("assets/hold.js")),
    ("/readings.js", SCRIPT, include_bytes!("assets/readings.js")),
    ("/paper.js", SCRIPT, include_bytes!("assets/paper.js")),
    ("/leaders.js", SCRIPT, include_bytes!("assets/leaders.js")),
    (
        "/lettering-400.woff2",
        "font/woff2",
        include_bytes!("../../../drawing/fonts/lettering-400.woff2"),
    ),
    (
        "/lettering-700.woff2",
        "font/woff2",
        include_bytes!("../../../drawing/fonts/lettering-700.woff2"),
    ),
];

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Answers a request that the gate has let in.
pub(crate) fn respond(desk: &mut Desk, request: &Request) -> Response {
    let session = match desk {
        Desk::Sheet(session) => session,
        Desk::Empty { folder, read_only } => {
            let page = sheet::beginning(&folder.display().to_string(), *read_only);
            return begin(desk, request, page);
        }
    };
    match (request.method.as_str(), request.path.as_str()) {
        ("GET", "/") => Response::html(sheet::page(session)),
        ("GET", path) => match path.strip_prefix(take_away::PATH) {
            Some(name) => take_away::given(session, name),
            None => asset(path),
        },
        ("POST", "/do") => {
            let body = request.body.as_deref().unwrap_or_default();
            let asked = match read(body) {
                Ok(asked) => asked,
                Err(says) => return Response::refused(400, &says),
            };
            let told = session.ask(&asked);
            let (refused, say) = match told {
                Ok(say) => (false, say),
                Err(say) => (true, say),
            };
            let nodes = sheet::nodes(session);
            let (sheet, nodes) = session.sent.changed(nodes, asked.on);
            Response::json(&Answer { seq: asked.seq, sheet, refused, say, nodes })
        }
        _ => Response::refused(404, NOTHING),
    }
}

/// Answers a request while nothing lies on the desk.
fn begin(desk: &mut Desk, request: &Request, page: String) -> Response {
    match (request.method.as_str(), request.path.as_str()) {
        ("GET", "/") => Response::html(page),
        ("GET", path) => asset(path),
        ("POST", "/begin") => match desk.begin(request.body.as_deref().unwrap_or_default()) {
            Ok(()) => Response::of(204, "text/plain; charset=utf-8", Vec::new()),
            Err(says) => Response::refused(422, &says),
        },
        _ => Response::refused(404, NOTHING),
    }
}

pub(super) const NOTHING: &str = "There is no such thing on this page.";

fn asset(path: &str) -> Response {
    match ASSETS.iter().find(|a| a.0 == path) {
        Some((_, kind, bytes)) => Response::of(200, kind, bytes.to_vec()),
        None => Response::refused(404, NOTHING),
    }
}
