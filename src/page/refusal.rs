//! Why something could not be done, in words for the page.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

/// A refusal in words.
pub(super) fn fault(status: StatusCode, why: &str) -> Response {
    (status, axum::Json(serde_json::json!({ "fault": why }))).into_response()
}

/// Why something could not be done, for the page.
#[derive(Debug)]
pub(super) struct Refusal(pub(super) StatusCode, pub(super) String);

impl Refusal {
    /// Something that the person at the page can put right.
    pub(super) fn told(why: impl Into<String>) -> Self {
        Self(StatusCode::UNPROCESSABLE_ENTITY, why.into())
    }
}

impl From<String> for Refusal {
    fn from(why: String) -> Self {
        Self::told(why)
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        fault(self.0, &self.1)
    }
}
