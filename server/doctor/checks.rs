//! The checks themselves.

use super::Found;
use crate::clock::Clock;
use crate::config::{DataFolder, Serve};
use crate::db;
use crate::tls::{self, Address, Authority, Host, Leaf, Names};
use std::net::Ipv4Addr;
use std::time::Duration;

/// Below this a few dozen photos fill the disk.
const LITTLE_ROOM: u64 = 500 * 1024 * 1024;
/// 2026-01-01 UTC: a clock before this is certainly wrong.
const NOT_BEFORE: i64 = 1_767_225_600_000;
const PATIENCE: Duration = Duration::from_secs(3);

/// The clock is wrong when it says a year long gone, or a time before what was stored already.
pub async fn clock(folder: &DataFolder) -> Found {
    let now = Clock::system().now();
    if now.0 < NOT_BEFORE {
        return Found::Wrong(format!("This computer thinks it is {}. Set its clock.", now.local().date()));
    }
    let Some(latest) = latest_stored(folder).await else {
        return Found::Well(format!("{}", now.local().strftime("%Y-%m-%d %H:%M")));
    };
    if latest > now.0 + 60_000 {
        return Found::Wrong("Work is stored from later than this computer’s clock says it is. Set its clock.".into());
    }
    Found::Well(format!("{}", now.local().strftime("%Y-%m-%d %H:%M")))
}

async fn latest_stored(folder: &DataFolder) -> Option<i64> {
    let file = folder.database();
    if !file.exists() {
        return None;
    }
    db::latest_receipt(&file).await.ok().flatten()
}

pub fn disk(folder: &DataFolder) -> Found {
    let path = folder.path();
    if !path.exists() {
        return Found::Note(format!("There is no garage in {} yet; the first start makes it.", path.display()));
    }
    if let Err(cause) = tempfile::tempfile_in(path) {
        return Found::Wrong(format!("{} cannot be written: {cause}. Give this user the folder.", path.display()));
    }
    match fs4::available_space(path) {
        Ok(bytes) if bytes < LITTLE_ROOM => {
            Found::Wrong(format!("Only {} MB are free. Make room before photos stop fitting.", bytes / 1_000_000))
        }
        Ok(bytes) => Found::Well(format!("{} MB are free", bytes / 1_000_000)),
        Err(cause) => Found::Note(format!("The room on the disk is not told: {cause}")),
    }
}

pub async fn database(folder: &DataFolder) -> Found {
    let file = folder.database();
    if !file.exists() {
        return Found::Note("There is none yet; the first start makes it.".into());
    }
    if let Err(cause) = db::integrity(&file).await {
        return Found::Wrong(cause.to_string());
    }
    match db::newer_than_this_program(&file).await {
        Ok(false) => Found::Well("whole, and of a version that this Underlamp knows".into()),
        Ok(true) => Found::Wrong("It was made by a newer Underlamp. Start the newer one.".into()),
        Err(cause) => Found::Wrong(cause.to_string()),
    }
}

/// A port is well when it is free, or when an Underlamp answers there.
pub async fn port(port: u16, flag: &str) -> Found {
    if tokio::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.is_ok() {
        return Found::Well(format!("{port} is free; no garage is running on it"));
    }
    let asked = tokio::time::timeout(PATIENCE, tokio::net::TcpStream::connect((Ipv4Addr::LOCALHOST, port))).await;
    match asked {
        Ok(Ok(_)) => Found::Well(format!("{port} is open; ‘answer’ below says by whom, if phones may come")),
        _ => Found::Wrong(format!("{port} can be neither opened nor reached. Choose another with {flag}.")),
    }
}

/// What phones see of this garage.
pub struct Lan {
    pub address: Address,
    names: Names,
    leaf: Leaf,
    authority: Option<Authority>,
}

pub fn lan(folder: &DataFolder, options: &Serve) -> Result<Lan, Found> {
    let dir = folder.tls();
    if !dir.exists() {
        return Err(Found::Note("There is none yet; the first start makes it.".into()));
    }
    let wrong = |cause: tls::TlsError| Found::Wrong(cause.to_string());
    tls::install_provider();
    let now = Clock::system().now().timestamp();
    let address = Address::settle(&dir, options.name.as_deref(), options.port).map_err(wrong)?;
    let names = Names::discover(address.host.clone());
    let (leaf, authority) = match (&options.cert, &options.key) {
        (Some(cert), Some(key)) => (Leaf::from_files(cert, key, now).map_err(wrong)?, None),
        _ => {
            let authority = Authority::open_or_create(&dir, &address.host, now).map_err(wrong)?;
            let leaf = Leaf::kept(&dir).map_err(wrong)?;
            let leaf = leaf.ok_or_else(|| Found::Note("There is none yet; the next start makes it.".into()))?;
            (leaf, Some(authority))
        }
    };
    Ok(Lan { address, names, leaf, authority })
}

pub fn certificate(lan: &Lan) -> Found {
    let now = Clock::system().now().timestamp();
    if !lan.leaf.covers(&lan.address.host) {
        return Found::Wrong(format!("It does not name {}. The next start makes a new one.", lan.address.host));
    }
    if now > lan.leaf.not_after() || now < lan.leaf.not_before() {
        return Found::Wrong("It has ended, or this computer’s clock is wrong. The next start makes a new one.".into());
    }
    let due = lan.authority.as_ref().and_then(|authority| lan.leaf.needs_renewal(authority, &lan.names, now));
    let until = lan.leaf.not_after().to_zoned_datetime(jiff::tz::TimeZone::system()).date();
    match due {
        Some(reason) => Found::Note(format!("good until {until}; a new one is due ({reason}) and made by itself")),
        None => Found::Well(format!("names {}, good until {until}", lan.address.host)),
    }
}

/// Whether this computer itself can find the name that phones are given.
pub async fn name(lan: &Lan) -> Found {
    let Host::Name(name) = &lan.address.host else {
        return Found::Well(format!("{} is an address; nothing to look up", lan.address.host));
    };
    let looked_up = tokio::net::lookup_host((name.as_str(), lan.address.port)).await;
    match looked_up.map(|mut found| found.next()) {
        Ok(Some(at)) => Found::Well(format!("{name} leads to {}", at.ip())),
        _ => Found::Note(format!(
            "{name} is not found from this computer. A phone on the same network may still find it while the garage is \
             running; if it does not, start with --name and this computer’s address on the network."
        )),
    }
}

/// Asks the running garage through its own certificate, without looking the name up.
pub async fn answer(lan: &Lan) -> Found {
    let reached = match ask(lan).await {
        Ok(reached) => reached,
        Err(cause) => return Found::Note(format!("No garage answers at {} ({cause}).", lan.address.origin())),
    };
    if reached {
        return Found::Well(format!("a garage answers at {}", lan.address.origin()));
    }
    Found::Wrong(format!("Something else answers at {}. Stop it, or choose another --port.", lan.address.origin()))
}

async fn ask(lan: &Lan) -> Result<bool, reqwest::Error> {
    let mut client = reqwest::Client::builder().timeout(PATIENCE);
    if let Some(authority) = &lan.authority {
        let root = reqwest::Certificate::from_der(authority.certificate_der())?;
        client = client.tls_certs_only([root]);
    }
    if let Host::Name(name) = &lan.address.host {
        client = client.resolve(name.as_str(), (Ipv4Addr::LOCALHOST, lan.address.port).into());
    }
    let answer = client.build()?.get(format!("{}/healthz", lan.address.origin())).send().await?;
    let said: serde_json::Value = answer.json().await.unwrap_or_default();
    Ok(said.get("underlamp") == Some(&serde_json::Value::Bool(true)))
}
