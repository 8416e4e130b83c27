//! What comes in and goes out, without a socket.

/// One request as it came over the wire.
#[derive(Clone, Debug, Default)]
pub(crate) struct Request {
    /// GET, POST or whatever was sent.
    pub(crate) method: String,
    /// The path, still as written.
    pub(crate) path: String,
    /// What follows the question mark.
    pub(crate) query: Option<String>,
    /// The header of that name, and so on.
    pub(crate) host: Option<String>,
    pub(crate) origin: Option<String>,
    pub(crate) cookie: Option<String>,
    pub(crate) content_type: Option<String>,
    /// Where the browser says that the request comes from.
    pub(crate) fetch_site: Option<String>,
    /// The body; `None` when it was larger than anything the page sends.
    pub(crate) body: Option<Vec<u8>>,
}

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Response {
    /// The status code.
    pub(crate) status: u16,
    /// What the body is.
    pub(crate) content_type: &'static str,
    /// Headers beside those that every answer has.
    pub(crate) headers: Vec<(&'static str, String)>,
    /// The body.
    pub(crate) body: Vec<u8>,
}

/// Headers of every answer: nothing from elsewhere, nothing kept, nothing told to others.
pub(crate) const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; \
         img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; \
         frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("cache-control", "no-store"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

impl Response {
    /// A page.
    pub(crate) fn html(body: String) -> Self {
        Self::of(200, "text/html; charset=utf-8", body.into_bytes())
    }

    /// An answer to the script.
    pub(crate) fn json(value: &impl serde::Serialize) -> Self {
        // The answers hold texts, whole numbers and lists, all of which JSON can say.
        let body = serde_json::to_vec(value).unwrap_or_default();
        Self::of(200, "application/json", body)
    }

    /// Anything.
    pub(crate) const fn of(status: u16, content_type: &'static str, body: Vec<u8>) -> Self {
        Self { status, content_type, headers: Vec::new(), body }
    }

    /// No, and why, in one sentence.
    pub(crate) fn refused(status: u16, says: &str) -> Self {
        Self::of(status, "text/plain; charset=utf-8", format!("{says}\n").into_bytes())
    }

    /// On to another path of this page.
    pub(crate) fn see_other(path: &str) -> Self {
        let mut response = Self::of(303, "text/plain; charset=utf-8", Vec::new());
        response.headers.push(("location", path.to_owned()));
        response
    }

    /// The same with one header more.
    pub(crate) fn with(mut self, name: &'static str, value: String) -> Self {
        self.headers.push((name, value));
        self
    }
}
