//! Keeps a certificate that fits, and swaps it while the server runs.

use std::path::{Path, PathBuf};
use std::time::Duration;

use axum_server::tls_rustls::RustlsConfig;
use jiff::Timestamp;
use tokio::sync::watch;

use super::{Authority, Leaf, Names, Reason, TlsError, rustls_config};

/// How often the machine's names, the date and the owner's files are looked at.
pub const LOOK_EVERY: Duration = Duration::from_secs(60);

enum Source {
    /// Issued by the garage's own authority.
    Own { dir: PathBuf, authority: Box<Authority> },
    /// Given with `--cert` and `--key`, and renewed by its owner.
    Brought { certificate: PathBuf, key: PathBuf },
}

/// Where certificates come from, and the one in use.
pub struct Certificates {
    source: Source,
    leaf: Leaf,
}

impl Certificates {
    /// Opens or makes the authority in `dir`, and a certificate for `names` if the kept one no
    /// longer fits.
    ///
    /// # Errors
    /// As [`Authority::open_or_create`] and [`Leaf::issue`].
    pub fn own(dir: &Path, names: &Names, now: Timestamp) -> Result<Self, TlsError> {
        let authority = Authority::open_or_create(dir, names.canonical(), now)?;
        let due = |leaf: &Leaf| leaf.needs_renewal(&authority, names, now);
        let leaf = match Leaf::kept(dir)? {
            Some(leaf) => match due(&leaf) {
                Some(reason) => issue(dir, &authority, names, now, &reason)?,
                None => leaf,
            },
            None => issue(dir, &authority, names, now, &Reason::Missing)?,
        };
        let source = Source::Own { dir: dir.to_path_buf(), authority: Box::new(authority) };
        Ok(Self { source, leaf })
    }

    /// Takes the owner's certificate.
    ///
    /// # Errors
    /// As [`Leaf::from_files`].
    pub fn brought(certificate: &Path, key: &Path, now: Timestamp) -> Result<Self, TlsError> {
        Ok(Self {
            leaf: Leaf::from_files(certificate, key, now)?,
            source: Source::Brought { certificate: certificate.to_path_buf(), key: key.to_path_buf() },
        })
    }

    pub fn leaf(&self) -> &Leaf {
        &self.leaf
    }

    /// `None` if the owner brought a certificate: then there is nothing for a phone to learn.
    pub fn authority(&self) -> Option<&Authority> {
        match &self.source {
            Source::Own { authority, .. } => Some(authority),
            Source::Brought { .. } => None,
        }
    }

    /// Makes or takes up a new certificate if one is due, and says why.
    ///
    /// # Errors
    /// As the constructor used; the certificate in use stays.
    pub fn refresh(&mut self, names: &Names, now: Timestamp) -> Result<Option<Reason>, TlsError> {
        match &self.source {
            Source::Own { dir, authority } => {
                let Some(reason) = self.leaf.needs_renewal(authority, names, now) else {
                    return Ok(None);
                };
                self.leaf = issue(dir, authority, names, now, &reason)?;
                Ok(Some(reason))
            }
            Source::Brought { certificate, key } => {
                let fresh = Leaf::from_files(certificate, key, now)?;
                if fresh.chain() == self.leaf.chain() {
                    return Ok(None);
                }
                self.leaf = fresh;
                Ok(Some(Reason::FileChanged))
            }
        }
    }
}

fn issue(dir: &Path, authority: &Authority, names: &Names, now: Timestamp, reason: &Reason) -> Result<Leaf, TlsError> {
    let leaf = Leaf::issue(authority, names, now)?;
    leaf.save(dir)?;
    tracing::info!(%reason, "made a new server certificate");
    Ok(leaf)
}

/// Looks every [`LOOK_EVERY`] whether a new certificate is due, swaps it into the running server,
/// and tells `names` what the machine is called now. A failure is logged and tried again; the
/// certificate in use stays. Runs until it is dropped.
pub async fn keep_renewed(
    mut certificates: Certificates,
    server: RustlsConfig,
    names: watch::Sender<Names>,
    clock: impl Fn() -> Timestamp,
) {
    let mut ticks = tokio::time::interval(LOOK_EVERY);
    ticks.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        ticks.tick().await;
        let canonical = names.borrow().canonical().clone();
        let found = Names::discover(canonical);
        match swap_if_due(&mut certificates, &server, &found, clock()) {
            Ok(Some(reason)) => tracing::info!(%reason, "the server shows a new certificate"),
            Ok(None) => {}
            Err(error) => tracing::warn!(%error, "the server keeps its old certificate"),
        }
        names.send_if_modified(|known| {
            let changed = *known != found;
            *known = found;
            changed
        });
    }
}

fn swap_if_due(
    certificates: &mut Certificates,
    server: &RustlsConfig,
    names: &Names,
    now: Timestamp,
) -> Result<Option<Reason>, TlsError> {
    let reason = certificates.refresh(names, now)?;
    if reason.is_some() {
        server.reload_from_config(rustls_config(certificates.leaf())?);
    }
    Ok(reason)
}
