//! Who may ask the page, and what every answer carries.
//!
//! A page on another site can send requests to this computer, and can name its own address so that the browser takes the answer for its own
//! (DNS rebinding). So `Host` must be an address that was printed, `Origin` must be the page itself, and everything but the page's own
//! files needs the token, which stands in the address behind `#` and so never reaches a log or another site.

use super::refusal::fault;
use super::shared::Shared;
use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;
use std::sync::Arc;
use std::time::Duration;

/// The header of the token.
const TOKEN: &str = "x-coatday-token";
/// Most bytes of a request: two texts of a scenario, each with its escapes.
const LARGEST: usize = 8 * 1024 * 1024;
/// Longest time for a request to arrive. A local one takes a moment.
const PATIENCE: Duration = Duration::from_secs(15);

/// What a browser may do with the page: its own files and nothing else.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
     base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// A token that cannot be guessed: 256 bits.
///
/// # Errors
/// When the system gives no random numbers.
pub(super) fn token() -> Result<String, String> {
    let mut bytes = [0_u8; 32];
    getrandom::fill(&mut bytes).map_err(|e| format!("The system gives no random numbers: {e}."))?;
    let digits = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    Ok(digits
        .filter_map(|digit| char::from_digit(digit.into(), 16))
        .collect())
}

/// Whether two texts are the same, in a time that does not tell where they differ.
fn same(a: &str, b: &str) -> bool {
    let differ = a
        .bytes()
        .zip(b.bytes())
        .fold(0, |all, (a, b)| all | (a ^ b));
    a.len() == b.len() && differ == 0
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name)?.to_str().ok()
}

/// Why a request is refused; none if it may pass.
fn refused(shared: &Shared, request: &Request) -> Option<(StatusCode, &'static str)> {
    let headers = request.headers();
    let known = |host: &str| shared.hosts.iter().any(|known| known == host);
    let only = |name: &HeaderName| headers.get_all(name).iter().count() <= 1;
    if !only(&header::HOST) || !text(headers, &header::HOST).is_some_and(known) {
        return Some((
            StatusCode::MISDIRECTED_REQUEST,
            "This address is not the page's. Open the address that coatday serve printed.",
        ));
    }
    if let Some(origin) = headers.get(header::ORIGIN) {
        let origin = origin.to_str().ok();
        let own = origin.and_then(|origin| origin.strip_prefix("http://"));
        if !own.is_some_and(known) || !only(&header::ORIGIN) {
            return Some((
                StatusCode::FORBIDDEN,
                "Another site may not use this page. Open the address that coatday serve printed.",
            ));
        }
    }
    if !matches!(*request.method(), Method::GET | Method::POST) {
        return Some((
            StatusCode::METHOD_NOT_ALLOWED,
            "Only GET and POST are answered.",
        ));
    }
    if request.uri().path().starts_with("/api/") {
        let given = headers.get(TOKEN).and_then(|token| token.to_str().ok());
        if !given.is_some_and(|given| same(given, &shared.token)) {
            return Some((
                StatusCode::UNAUTHORIZED,
                "The page has lost its key. Open the address that coatday serve printed.",
            ));
        }
    }
    None
}

/// Lets pass what may, with its body read whole.
pub(super) async fn guard(
    State(shared): State<Arc<Shared>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refused(&shared, &request) {
        Some((status, why)) => fault(status, why),
        None => match whole(request).await {
            Ok(request) => next.run(request).await,
            Err((status, why)) => fault(status, why),
        },
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// A request whose body has arrived, within its size and time.
async fn whole(request: Request) -> Result<Request, (StatusCode, &'static str)> {
    const TOO_LARGE: (StatusCode, &str) = (
        StatusCode::PAYLOAD_TOO_LARGE,
        "This is larger than any scenario. Weather belongs in a file beside it.",
    );
    let (parts, body) = request.into_parts();
    let told = text(&parts.headers, &header::CONTENT_LENGTH);
    let told = told.and_then(|length| length.parse::<usize>().ok());
    if told.is_some_and(|length| length > LARGEST) {
        return Err(TOO_LARGE);
    }
    match tokio::time::timeout(PATIENCE, to_bytes(body, LARGEST)).await {
        Ok(Ok(bytes)) => Ok(Request::from_parts(parts, Body::from(bytes))),
        Ok(Err(_)) => Err(TOO_LARGE),
        Err(_) => Err((
            StatusCode::REQUEST_TIMEOUT,
            "The request took too long to arrive. Try again.",
        )),
    }
}
