//! The authority of this garage: made once, trusted by each phone once.

use std::fmt;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rcgen::{
    BasicConstraints, CertificateParams, DistinguishedName, DnType, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    PublicKeyData,
};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use sha2::{Digest, Sha256};
use x509_parser::prelude::X509Certificate;

use super::files::{make_folder, read_if_there, write_secret};
use super::{Host, Limits, TlsError, x509};

/// About ten years: as long as a restorer keeps a car, and phones need not be taught again.
const LIFE_DAYS: i64 = 3652;

/// Phones and boards without a battery-backed clock run behind; a day covers most.
pub(super) const BACK_DATED_DAYS: i64 = 1;

/// Certificate and key in one file, so that one rename puts both in place.
const FILE: &str = "authority.secret.pem";

/// The authority with its key. Never shown, logged or served: see [`Authority::certificate_pem`].
pub struct Authority {
    certificate: CertificateDer<'static>,
    issuer: Issuer<'static, KeyPair>,
    name: String,
    key_id: Vec<u8>,
    limits: Limits,
    not_before: Timestamp,
    not_after: Timestamp,
}

impl Authority {
    /// The kept authority, or on first start a new one, limited to the home and to `canonical`.
    ///
    /// # Errors
    /// [`TlsError::DamagedAuthority`], [`TlsError::AuthorityEnded`], [`TlsError::ClockBehind`],
    /// [`TlsError::OutsideAuthority`] if a kept one may not speak for `canonical`, and
    /// [`TlsError::File`]. None of them changes what is on disk.
    pub fn open_or_create(dir: &Path, canonical: &Host, now: Timestamp) -> Result<Self, TlsError> {
        let path = dir.join(FILE);
        let authority = match read_if_there(&path)? {
            Some(text) => Self::read(&path, &text)?,
            None => Self::create(&path, canonical, now)?,
        };
        authority.check_clock(path, now)?;
        if !authority.limits.permit(canonical) {
            return Err(TlsError::OutsideAuthority { host: canonical.to_string() });
        }
        Ok(authority)
    }

    fn create(path: &Path, canonical: &Host, now: Timestamp) -> Result<Self, TlsError> {
        if let Some(dir) = path.parent() {
            make_folder(dir)?;
        }
        let key = KeyPair::generate().map_err(TlsError::unusable)?;
        let certificate = params(&key, canonical, now)?.self_signed(&key).map_err(TlsError::unusable)?;
        let text = format!("{}{}", certificate.pem(), key.serialize_pem());
        write_secret(path, &text)?;
        tracing::info!("made a new authority for this garage");
        Self::read(path, &text)
    }

    fn read(path: &Path, text: &str) -> Result<Self, TlsError> {
        let damaged = |reason: String| TlsError::damaged(path, reason);
        let certificate = CertificateDer::from_pem_slice(text.as_bytes())
            .map_err(|error| damaged(format!("its certificate part: {error}")))?;
        let key = PrivateKeyDer::from_pem_slice(text.as_bytes())
            .map_err(|error| damaged(format!("its key part: {error}")))?;
        let key = KeyPair::try_from(&key).map_err(|error| damaged(format!("its key part: {error}")))?;
        let facts = x509::Facts::read(&certificate).map_err(damaged)?;
        let parsed = x509::parse(&certificate).map_err(damaged)?;
        check_is_ours(&parsed, &key).map_err(|reason| damaged(reason.to_owned()))?;
        let limits = Limits::of(&parsed).ok_or_else(|| damaged("it does not say what it may speak for".to_owned()))?;
        let key_id = x509::own_key(&parsed).ok_or_else(|| damaged("it does not identify its key".to_owned()))?;
        let name = common_name(&parsed).ok_or_else(|| damaged("it has no name".to_owned()))?;
        drop(parsed);
        let issuer = Issuer::from_ca_cert_der(&certificate, key).map_err(|error| damaged(error.to_string()))?;
        Ok(Self { issuer, name, key_id, limits, not_before: facts.not_before, not_after: facts.not_after, certificate })
    }

    fn check_clock(&self, path: PathBuf, now: Timestamp) -> Result<(), TlsError> {
        if now < self.not_before {
            return Err(TlsError::ClockBehind { now: x509::minute(now), made: x509::minute(self.not_before) });
        }
        if now >= self.not_after {
            return Err(TlsError::AuthorityEnded { path, ended: x509::day(self.not_after) });
        }
        Ok(())
    }

    /// What a phone shows in its list of authorities, such as 'Underlamp of this garage 7F3A'.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The certificate in binary form, as phones take it. Holds no secret.
    pub fn certificate_der(&self) -> &[u8] {
        &self.certificate
    }

    /// The certificate as text. Holds no secret.
    pub fn certificate_pem(&self) -> String {
        pem_of(&self.certificate)
    }

    pub fn fingerprint(&self) -> Fingerprint {
        Fingerprint::of(&self.certificate)
    }

    /// What it may speak for.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    pub fn not_before(&self) -> Timestamp {
        self.not_before
    }

    pub fn not_after(&self) -> Timestamp {
        self.not_after
    }

    pub(super) fn issuer(&self) -> &Issuer<'static, KeyPair> {
        &self.issuer
    }

    pub(super) fn key_id(&self) -> &[u8] {
        &self.key_id
    }
}

fn params(key: &KeyPair, canonical: &Host, now: Timestamp) -> Result<CertificateParams, TlsError> {
    let not_before = x509::days_from(now, -BACK_DATED_DAYS)?;
    let not_after = x509::days_from(not_before, LIFE_DAYS)?;
    let epoch = rcgen::date_time_ymd(1970, 1, 1);
    // Two authorities in one phone's list must be told apart, and neither may name the machine.
    let tag = Sha256::digest(key.subject_public_key_info());
    let name = format!("Underlamp of this garage {}", hex::encode_upper(&tag[..2]));
    let mut params = CertificateParams::default();
    params.distinguished_name = DistinguishedName::new();
    params.distinguished_name.push(DnType::CommonName, name);
    params.not_before = epoch + x509::since_epoch(not_before)?;
    params.not_after = epoch + x509::since_epoch(not_after)?;
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    params.name_constraints = Some(Limits::home_and(canonical).to_constraints());
    Ok(params)
}

fn check_is_ours(certificate: &X509Certificate<'_>, key: &KeyPair) -> Result<(), &'static str> {
    if !certificate.is_ca() {
        return Err("its certificate is not an authority's");
    }
    if certificate.public_key().raw != key.subject_public_key_info() {
        return Err("its key does not belong to its certificate");
    }
    Ok(())
}

fn common_name(certificate: &X509Certificate<'_>) -> Option<String> {
    let name = certificate.subject().iter_common_name().next()?;
    name.as_str().ok().map(str::to_owned)
}

/// A certificate as text, in lines of 64 characters. Source: RFC 7468.
pub(super) fn pem_of(certificate: &CertificateDer<'_>) -> String {
    use base64::Engine as _;
    let body = base64::engine::general_purpose::STANDARD.encode(certificate);
    let mut text = String::from("-----BEGIN CERTIFICATE-----\n");
    for (place, letter) in body.chars().enumerate() {
        if place > 0 && place % 64 == 0 {
            text.push('\n');
        }
        text.push(letter);
    }
    text.push_str("\n-----END CERTIFICATE-----\n");
    text
}

/// SHA-256 over a certificate: what two screens show to be compared by eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint([u8; 32]);

impl Fingerprint {
    pub fn of(certificate_der: &[u8]) -> Self {
        Self(Sha256::digest(certificate_der).into())
    }

    /// Sixteen groups of four upper-case hexadecimal digits.
    pub fn groups(&self) -> Vec<String> {
        self.0.chunks(2).map(hex::encode_upper).collect()
    }
}

/// Two digits at a time with colons, as phones and `openssl` write it.
impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pairs: Vec<String> = self.0.iter().map(|byte| format!("{byte:02X}")).collect();
        f.write_str(&pairs.join(":"))
    }
}
