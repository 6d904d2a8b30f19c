//! Styles, scripts, fonts and icons, embedded in the program and served under a folder that names the build.
//!
//! The build id is in the folder, so that relative imports keep working, every file may be cached for
//! ever, and a page and its modules always come from the same build.

use crate::error::AppError;
use crate::web::extract::Path;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "static/"]
struct Static;

/// Identifies this build's templates, scripts, styles and code (set by the build script).
pub const BUILD: &str = env!("UNDERLAMP_BUILD");

/// The address of an asset: `css/base.css` → `/a/<build>/css/base.css`.
pub fn url(path: &str) -> String {
    format!("/a/{BUILD}/{path}")
}

/// The bytes of an embedded file.
pub fn bytes(path: &str) -> Option<std::borrow::Cow<'static, [u8]>> {
    Static::get(path).map(|file| file.data)
}

/// The faces of the pages.
pub fn fonts() -> Vec<String> {
    Static::iter().filter(|path| path.ends_with(".woff2")).map(std::borrow::Cow::into_owned).collect()
}

/// Every asset that the phone needs to work without the server.
pub fn shell() -> Vec<String> {
    let mut paths: Vec<String> = Static::iter().filter(|path| is_shell(path)).map(|path| url(&path)).collect();
    paths.sort();
    paths
}

fn is_shell(path: &str) -> bool {
    let wanted = [".css", ".js", ".woff2", ".svg"].iter().any(|ending| path.ends_with(ending));
    wanted && path != "sw.js" && !path.contains("/trust.")
}

/// `GET /a/{build}/{*path}`
pub async fn serve(Path((build, path)): Path<(String, String)>) -> Result<Response, AppError> {
    if build != BUILD {
        return Err(AppError::NotFound("file of that build"));
    }
    let file = Static::get(&path).ok_or(AppError::NotFound("such file"))?;
    let kind = HeaderValue::from_str(file.metadata.mimetype()).map_err(AppError::internal)?;
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable")),
    ];
    Ok((headers, file.data).into_response())
}
