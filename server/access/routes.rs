//! Pairing, the list of paired devices, and leaving.

use super::pairing::{self, Code, Use, new_code};
use super::session::{self, SESSION_DAYS};
use super::{Doorkeeper, Owner, store};
use crate::app::{DoorState, OwnerState, ReaderState, Site};
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::DeviceId;
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, show, show_again};
use crate::web::words;
use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use axum_extra::extract::cookie::{Cookie, SameSite};
use serde::Deserialize;

/// How long a code shown at the desk can be used.
const CODE_MINUTES: i64 = 15;
const LONGEST_NAME: usize = 60;

#[derive(Template)]
#[template(path = "access/pair.html")]
struct PairPage {
    page: Page,
    code: String,
    called: String,
    /// A phone under the car was chosen.
    under: bool,
    error: String,
}

/// `GET /pair`: asks for the code. A scanned address carries it behind `#`, where no server or log sees it.
pub async fn ask(page: Page) -> Result<Response, AppError> {
    let (code, called, error) = (String::new(), String::new(), String::new());
    show(&PairPage { page: page.script("pair"), code, called, under: false, error })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pairing {
    code: String,
    name: String,
    kind: String,
}

/// `POST /pair`: uses the code up and gives the browser its session.
pub async fn pair(
    State(state): State<DoorState>,
    page: Page,
    jar: CookieJar,
    Form(typed): Form<Pairing>,
) -> Result<Response, AppError> {
    let kind = if typed.kind == "phone" { "phone" } else { "desk" };
    match admit(&state, &typed, kind).await {
        Ok(secret) => {
            let jar = jar.add(session::cookie(secret, state.site.secure));
            let home = if kind == "phone" { "/under" } else { "/" };
            Ok((jar, Redirect::to(home)).into_response())
        }
        Err(AppError::PairingRefused(say)) => {
            let (code, called, under) = (typed.code, typed.name, kind == "phone");
            show_again(&PairPage { page: page.script("pair"), code, called, under, error: say })
        }
        Err(other) => Err(other),
    }
}

async fn admit(state: &DoorState, typed: &Pairing, kind: &'static str) -> Result<String, AppError> {
    let now = state.clock.now();
    state.tries.check(now)?;
    let code = Code::parse(&typed.code)?;
    let mut tx = state.write.begin_at_the_door(&Doorkeeper(())).await?;
    let row = store::code(&mut tx, &code.hash()).await?;
    if let Use::Refused(say) = pairing::judge(row.as_ref(), now) {
        if row.is_none() {
            store::count_wrong_try(&mut tx, now).await?;
            tx.commit().await?;
        }
        state.tries.count_wrong(now);
        return Err(AppError::PairingRefused(say.into()));
    }
    let (device, secret) = (DeviceId::new(), session::new_secret());
    let name = device_name(&typed.name, kind);
    store::use_code(&mut tx, &code.hash(), now).await?;
    store::add_device(&mut tx, device, &name, kind, now).await?;
    store::add_session(&mut tx, &session::hash(&secret), device, now, now.plus_days(SESSION_DAYS)).await?;
    tx.commit().await?;
    tracing::info!(%device, kind, "a browser was paired");
    Ok(secret)
}

fn device_name(typed: &str, kind: &str) -> String {
    let name: String = typed.trim().chars().take(LONGEST_NAME).collect();
    if name.is_empty() { kind.to_owned() } else { name }
}

struct ShownDevice {
    id: DeviceId,
    name: String,
    kind: String,
    paired: String,
    seen: String,
    here: bool,
}

#[derive(Template)]
#[template(path = "access/devices.html")]
struct DevicesPage {
    page: Page,
    devices: Vec<ShownDevice>,
}

/// `GET /devices`: the browsers that may come in.
pub async fn devices(
    State(state): State<ReaderState>,
    page: Page,
    reader: super::Reader,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let devices = store::devices(&mut conn, state.clock.now()).await?;
    let devices = devices
        .into_iter()
        .map(|device| ShownDevice {
            id: device.id,
            here: device.id == reader.device(),
            name: device.name,
            kind: device.kind,
            paired: words::day(Moment(device.paired_at)),
            seen: words::day_and_time(Moment(device.last_seen_at)),
        })
        .collect();
    show(&DevicesPage { page, devices })
}

#[derive(Template)]
#[template(path = "access/code.html")]
struct CodePage {
    page: Page,
    groups: Vec<String>,
    minutes: i64,
    pair_qr: String,
    pair_url: String,
    /// The address without the code, to be typed.
    pair_page: String,
    /// Started for this computer only: a phone cannot reach it.
    only_here: bool,
    trust: Option<TrustStep>,
}

/// The step before pairing when the phone must first be brought to trust our own authority.
pub struct TrustStep {
    pub url: String,
    pub qr: String,
    pub fingerprint: Vec<String>,
}

/// `POST /devices/code`: a fresh code, as figures and as a picture to scan.
pub async fn code(State(state): State<OwnerState>, page: Page, owner: Owner) -> Result<Response, AppError> {
    let code = new_code(&state.write, &state.clock, state.clock.now().plus_minutes(CODE_MINUTES)).await?;
    tracing::info!(device = %owner.device(), "a pairing code was shown");
    let pair_url = pairing_url(&state.site, &code);
    let trust = state.site.trust.as_ref().map(|trust| TrustStep {
        url: trust.url.clone(),
        qr: qr_svg(&trust.url),
        fingerprint: trust.fingerprint.clone(),
    });
    let groups = code.shown().split('-').map(str::to_owned).collect();
    let (pair_qr, pair_page) = (qr_svg(&pair_url), format!("{}/pair", state.site.canonical));
    let only_here = state.site.is_only_here();
    show(&CodePage { page, groups, minutes: CODE_MINUTES, pair_qr, pair_url, pair_page, only_here, trust })
}

/// `GET /devices/code`: a code is made by asking for it; a page that is loaded again leads back to where that is done.
pub async fn no_code() -> Redirect {
    Redirect::to("/devices")
}

/// The address that a phone scans: the code stands behind `#`, which browsers never send.
pub fn pairing_url(site: &Site, code: &Code) -> String {
    format!("{}/pair#{}", site.canonical, code.shown())
}

/// A QR code (ISO/IEC 18004) as SVG markup; empty when the text is too long for one.
pub fn qr_svg(text: &str) -> String {
    let Ok(code) = qrcode::QrCode::new(text.as_bytes()) else {
        return String::new();
    };
    code.render::<qrcode::render::svg::Color>().min_dimensions(240, 240).quiet_zone(true).build()
}

/// `POST /devices/{device}/part`: this browser may no longer come in.
pub async fn part(
    State(state): State<OwnerState>,
    owner: Owner,
    jar: CookieJar,
    Path(device): Path<DeviceId>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::end_sessions(&mut tx, device).await?;
    tx.commit().await?;
    if device == owner.device() {
        return Ok((jar.remove(session::no_cookie()), Redirect::to("/pair")).into_response());
    }
    Ok(Redirect::to("/devices").into_response())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scheme {
    scheme: String,
}

/// `POST /scheme`: by which light the pages are read on this device.
pub async fn scheme(
    jar: CookieJar,
    headers: axum::http::HeaderMap,
    Form(chosen): Form<Scheme>,
) -> Result<Response, AppError> {
    if !matches!(chosen.scheme.as_str(), "day" | "night" | "lamp" | "auto") {
        return Err(AppError::Invalid("malformed", "The light is day, night, lamp or auto.".into()));
    }
    let cookie = Cookie::build(("scheme", chosen.scheme)).path("/").same_site(SameSite::Lax).permanent().build();
    let back = headers
        .get(axum::http::header::REFERER)
        .and_then(|from| from.to_str().ok())
        .and_then(|from| from.split_once("://"))
        .and_then(|(_, rest)| rest.find('/').map(|at| rest[at..].to_owned()))
        .filter(|path| !path.starts_with("//"))
        .unwrap_or_else(|| "/".into());
    Ok((jar.add(cookie), Redirect::to(&back)).into_response())
}
