//! The only part that waits: sockets on the loopback, one request after the other.

use super::desk::Desk;
use super::gate::{BODY_LARGEST, Gate};
use super::route::respond;
use super::wire::{HEADERS, Request, Response};
use crate::failure::Failure;
use crate::terminal::say;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::State;
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Request as Incoming, Response as Outgoing, StatusCode};
use axum::serve::ListenerExt;
use std::net::Ipv4Addr;
use std::sync::{Arc, Mutex};
use tokio::net::TcpListener;

/// What a request may touch.
struct Served {
    gate: Gate,
    desk: Desk,
}

/// Serves a desk until the program is stopped. The first line of the standard output is the address.
pub(crate) fn serve(desk: Desk, port: u16, browser: bool) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|e| Failure::not_served(&e))?;
    runtime.block_on(listen(desk, port, browser))
}

async fn listen(desk: Desk, port: u16, browser: bool) -> Result<(), Failure> {
    let failed = |e: &std::io::Error| Failure::not_served(e);
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.map_err(|e| failed(&e))?;
    let port = listener.local_addr().map_err(|e| failed(&e))?.port();
    let secret = || super::gate::secret().map_err(|e| Failure::no_secret(&e.to_string()));
    let gate = Gate::new(port, secret()?, secret()?);
    let address = gate.address();
    say(&format!("{address}\n"))?;
    if browser {
        open_browser(&address);
    }
    let served = Arc::new(Mutex::new(Served { gate, desk }));
    let app = Router::new().fallback(answer).with_state(served);
    // An answer is one piece and is sent at once.
    let listener = listener.tap_io(|stream| {
        // Where that cannot be had, it is only later.
        let _ = stream.set_nodelay(true);
    });
    axum::serve(listener, app).await.map_err(|e| failed(&e))
}

/// Asks the system for its browser. Where there is none, the address stands on the terminal.
fn open_browser(address: &str) {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    let mut command = std::process::Command::new(program);
    let quiet = std::process::Stdio::null;
    let started =
        command.args(before).arg(address).stdin(quiet()).stdout(quiet()).stderr(quiet()).spawn();
    // Nobody waits for a browser; that there is none is no failure.
    drop(started);
}

async fn answer(
    State(served): State<Arc<Mutex<Served>>>,
    incoming: Incoming<Body>,
) -> Outgoing<Body> {
    let request = plain(incoming).await;
    // A poisoned lock would mean a panic, which is a bug; the desk behind it is still whole, because
    // every change of it is made in one piece at its end.
    let mut served = served.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let Served { gate, desk } = &mut *served;
    let response = match gate.admit(&request) {
        Ok(()) => respond(desk, &request),
        Err(refused) => *refused,
    };
    outgoing(response)
}

async fn plain(incoming: Incoming<Body>) -> Request {
    let (head, body) = incoming.into_parts();
    let text = |name: HeaderName| header(&head.headers, name);
    Request {
        method: head.method.as_str().to_owned(),
        path: head.uri.path().to_owned(),
        query: head.uri.query().map(str::to_owned),
        host: text(header::HOST),
        origin: text(header::ORIGIN),
        cookie: text(header::COOKIE),
        content_type: text(header::CONTENT_TYPE),
        fetch_site: text(HeaderName::from_static("sec-fetch-site")),
        body: to_bytes(body, BODY_LARGEST).await.ok().map(|b| b.to_vec()),
    }
}

/// A header as text; one that is sent twice or is no text says nothing that can be trusted.
fn header(headers: &HeaderMap, name: HeaderName) -> Option<String> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?;
    if all.next().is_some() {
        return Some(String::new());
    }
    Some(first.to_str().unwrap_or_default().to_owned())
}

fn outgoing(response: Response) -> Outgoing<Body> {
    let mut out = Outgoing::new(Body::from(response.body));
    *out.status_mut() =
        StatusCode::from_u16(response.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let headers = out.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(response.content_type));
    for (name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    for (name, value) in response.headers {
        if let Ok(value) = HeaderValue::from_str(&value) {
            headers.insert(HeaderName::from_static(name), value);
        }
    }
    out
}
