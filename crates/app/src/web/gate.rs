//! Who may ask: only the browser that was opened here, and only from the page itself.
//!
//! A site that somebody visits can make their browser send requests to this machine, and a name it
//! owns can be made to point here. So the Host must be the loopback, the Origin of everything that
//! changes something must be the page, and the key is a cookie that is handed out once, for the
//! token in the address that was opened.

use super::wire::{Request, Response};

/// Longest path that the page has.
const PATH_LONGEST: usize = 120;
/// Longest body that the page sends: a file of readings with every sign of it escaped.
pub(crate) const BODY_LARGEST: usize = 1024 * 1024;
/// Random bytes behind a token or a key.
const SECRET_BYTES: usize = 24;

/// A random text that nobody can guess.
pub(crate) fn secret() -> Result<String, getrandom::Error> {
    let mut bytes = [0_u8; SECRET_BYTES];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}

/// The gate of one served page.
#[derive(Debug)]
pub(crate) struct Gate {
    /// The port it is served on.
    port: u16,
    /// Opens the gate once.
    token: Option<String>,
    /// What the browser shows from then on.
    key: String,
}

impl Gate {
    /// A gate that opens once for the token.
    pub(crate) const fn new(port: u16, token: String, key: String) -> Self {
        Self { port, token: Some(token), key }
    }

    /// The address to be opened.
    pub(crate) fn address(&self) -> String {
        let token = self.token.as_deref().unwrap_or_default();
        format!("http://127.0.0.1:{}/?token={token}", self.port)
    }

    /// Lets a request in, or answers it.
    pub(crate) fn admit(&mut self, request: &Request) -> Result<(), Box<Response>> {
        let no = |status: u16, says: &str| Err(Box::new(Response::refused(status, says)));
        if !self.is_this_host(request.host.as_deref()) {
            return no(421, "This page answers to 127.0.0.1 only.");
        }
        let post = match request.method.as_str() {
            "GET" => false,
            "POST" => true,
            _ => return no(405, "This page knows GET and POST only."),
        };
        if !is_plain(&request.path) {
            return no(400, "There is no such path on this page.");
        }
        let Some(body) = &request.body else {
            return no(413, "That is more than this page ever sends.");
        };
        if !post && !body.is_empty() {
            return no(400, "A GET carries nothing.");
        }
        if let Some(site) = request.fetch_site.as_deref()
            && !matches!(site, "none" | "same-origin")
        {
            return no(403, "Another site may not ask this page for anything.");
        }
        if !self.is_own_origin(request.origin.as_deref(), post) {
            return no(403, "Another site may not change anything here.");
        }
        if !post && request.path == "/" && request.query.is_some() {
            return Err(Box::new(self.opened(request)));
        }
        if !self.has_key(request.cookie.as_deref()) {
            let says = "Open the address that `bankwright open` printed; it works once, in one \
                        browser. Start it again for a new one.";
            return no(403, says);
        }
        if post && !is_json(request.content_type.as_deref()) {
            return no(415, "This page sends JSON only.");
        }
        Ok(())
    }

    /// The token is taken for a cookie, once.
    fn opened(&mut self, request: &Request) -> Response {
        let given = request.query.as_deref().and_then(|q| q.strip_prefix("token="));
        let fits = given.zip(self.token.as_deref()).is_some_and(|(a, b)| same(a, b));
        if fits {
            self.token = None;
            let cookie =
                format!("{}={}; HttpOnly; SameSite=Strict; Path=/", self.cookie_name(), self.key);
            return Response::see_other("/").with("set-cookie", cookie);
        }
        // The browser that has the key may follow its old address.
        if self.has_key(request.cookie.as_deref()) {
            return Response::see_other("/");
        }
        let says = "This address was used already, or is not the one that `bankwright open` \
                    printed. Start it again for a new one.";
        Response::refused(403, says)
    }

    /// Cookies do not tell ports apart, so the name does.
    fn cookie_name(&self) -> String {
        format!("bankwright-{}", self.port)
    }

    fn has_key(&self, cookies: Option<&str>) -> bool {
        let name = self.cookie_name();
        let pairs = cookies.unwrap_or_default().split(';').filter_map(|c| c.trim().split_once('='));
        pairs.into_iter().any(|(n, value)| n == name && same(value, &self.key))
    }

    fn is_this_host(&self, host: Option<&str>) -> bool {
        let port = format!(":{}", self.port);
        let name = host.and_then(|h| h.strip_suffix(port.as_str()));
        matches!(name, Some("127.0.0.1" | "localhost"))
    }

    fn is_own_origin(&self, origin: Option<&str>, post: bool) -> bool {
        match origin {
            None => !post,
            Some(origin) => self.is_this_host(origin.strip_prefix("http://")),
        }
    }
}

/// Letters, figures, dots and dashes between single slashes; nothing that climbs.
fn is_plain(path: &str) -> bool {
    let signs = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '.' | '-');
    path.starts_with('/')
        && path.len() <= PATH_LONGEST
        && path.chars().all(signs)
        && !path.contains("..")
        && !path.contains("//")
}

fn is_json(kind: Option<&str>) -> bool {
    let kind = kind.and_then(|k| k.split(';').next()).unwrap_or_default();
    kind.trim().eq_ignore_ascii_case("application/json")
}

/// Compares without telling by its time how much of it fits.
fn same(a: &str, b: &str) -> bool {
    let differ = a.bytes().zip(b.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
    a.len() == b.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::{Gate, secret};
    use crate::web::wire::Request;

    fn gate() -> Gate {
        Gate::new(4711, "t0k".to_owned(), "k3y".to_owned())
    }

    /// A request as the opened page sends it.
    fn own(method: &str, path: &str) -> Request {
        let post = method == "POST";
        Request {
            method: method.to_owned(),
            path: path.to_owned(),
            host: Some("127.0.0.1:4711".to_owned()),
            origin: post.then(|| "http://127.0.0.1:4711".to_owned()),
            cookie: Some("other=1; bankwright-4711=k3y".to_owned()),
            content_type: post.then(|| "application/json".to_owned()),
            fetch_site: Some("same-origin".to_owned()),
            body: Some(if post { b"{}".to_vec() } else { Vec::new() }),
            query: None,
        }
    }

    /// The status a request is answered with; 200 stands for let in.
    #[track_caller]
    fn check(request: &Request, want: u16) {
        let got = gate().admit(request).map_or_else(|r| r.status, |()| 200);
        assert_eq!(got, want, "{request:?}");
    }

    #[test]
    fn the_page_itself_is_let_in() {
        check(&own("GET", "/"), 200);
        check(&own("GET", "/page.css"), 200);
        check(&own("POST", "/do"), 200);
    }

    #[test]
    fn a_foreign_host_origin_or_site_is_refused() {
        for host in [None, Some("evil.example:4711"), Some("127.0.0.1"), Some("127.0.0.1:80")] {
            check(&Request { host: host.map(str::to_owned), ..own("GET", "/") }, 421);
        }
        for origin in
            [None, Some("null"), Some("http://evil.example"), Some("https://127.0.0.1:4711")]
        {
            check(&Request { origin: origin.map(str::to_owned), ..own("POST", "/do") }, 403);
        }
        let site = Some("cross-site".to_owned());
        check(&Request { fetch_site: site, ..own("GET", "/") }, 403);
    }

    #[test]
    fn tricks_with_paths_methods_bodies_and_kinds_are_refused() {
        for path in ["", "x", "/../etc/passwd", "//host/x", "/%2e%2e/x", "/a\\b", "/a b", "/ä"] {
            check(&own("GET", path), 400);
        }
        check(&own("GET", &format!("/{}", "a".repeat(500))), 400);
        for method in ["PUT", "DELETE", "OPTIONS", "get", ""] {
            check(&own(method, "/"), 405);
        }
        check(&Request { body: None, ..own("POST", "/do") }, 413);
        check(&Request { body: Some(b"x".to_vec()), ..own("GET", "/") }, 400);
        check(&Request { content_type: Some("text/plain".to_owned()), ..own("POST", "/do") }, 415);
        check(&Request { cookie: None, ..own("GET", "/") }, 403);
        let cookie = Some("bankwright-4711=k3z".to_owned());
        check(&Request { cookie, ..own("GET", "/") }, 403);
    }

    #[test]
    fn the_token_opens_once() {
        let mut gate = gate();
        let mut first = Request { cookie: None, ..own("GET", "/") };
        first.query = Some("token=t0k".to_owned());
        let opened = gate.admit(&first).expect_err("it is answered by the gate");
        assert_eq!(opened.status, 303, "on to the page");
        let cookie = opened.headers.iter().find(|h| h.0 == "set-cookie").map(|h| h.1.as_str());
        let want = "bankwright-4711=k3y; HttpOnly; SameSite=Strict; Path=/";
        assert_eq!(cookie, Some(want), "the key");
        let again = gate.admit(&first).expect_err("used up");
        assert_eq!(again.status, 403, "a second browser is not let in");
        first.cookie = Some("bankwright-4711=k3y".to_owned());
        let back = gate.admit(&first).expect_err("answered by the gate");
        assert_eq!(back.status, 303, "the first browser may follow its address again");
    }

    #[test]
    fn secrets_are_long_and_differ() {
        let (a, b) = (secret().expect("random bytes"), secret().expect("random bytes"));
        assert_eq!(a.len(), 48, "24 bytes");
        assert_ne!(a, b, "never twice");
    }
}
