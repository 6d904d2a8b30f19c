//! Taking a request apart. Whatever cannot be read becomes an [`AppError`] with a sentence, so that a
//! slip never ends in a blank page.

use crate::error::AppError;
use axum::extract::rejection::{FormRejection, JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts};
use axum::http::StatusCode;

const TOO_LARGE: &str = "This is more than is taken at once: send it in parts.";

/// A submitted form.
#[derive(FromRequest)]
#[from_request(via(axum::Form), rejection(AppError))]
pub struct Form<T>(pub T);

/// A submitted form in which a field may stand several times.
#[derive(FromRequest)]
#[from_request(via(axum_extra::extract::Form), rejection(AppError))]
pub struct Lists<T>(pub T);

/// A JSON body.
#[derive(FromRequest)]
#[from_request(via(axum::Json), rejection(AppError))]
pub struct Json<T>(pub T);

/// The ids in a path. An id that is none is a page that does not exist.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Path), rejection(AppError))]
pub struct Path<T>(pub T);

/// What stands behind the question mark.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(AppError))]
pub struct Query<T>(pub T);

impl From<FormRejection> for AppError {
    fn from(cause: FormRejection) -> AppError {
        if cause.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return AppError::TooLarge(TOO_LARGE.into());
        }
        AppError::Invalid("malformed", format!("This form could not be read: {}.", cause.body_text()))
    }
}

impl From<axum_extra::extract::FormRejection> for AppError {
    fn from(cause: axum_extra::extract::FormRejection) -> AppError {
        if cause.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return AppError::TooLarge(TOO_LARGE.into());
        }
        AppError::Invalid("malformed", format!("This form could not be read: {}.", cause.body_text()))
    }
}

impl From<JsonRejection> for AppError {
    fn from(cause: JsonRejection) -> AppError {
        if cause.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return AppError::TooLarge(TOO_LARGE.into());
        }
        AppError::Invalid("malformed", format!("This could not be read: {}.", cause.body_text()))
    }
}

impl From<PathRejection> for AppError {
    fn from(_: PathRejection) -> AppError {
        AppError::NotFound("such page")
    }
}

impl From<QueryRejection> for AppError {
    fn from(cause: QueryRejection) -> AppError {
        AppError::Invalid("malformed", format!("This address could not be read: {}.", cause.body_text()))
    }
}
