//! What we need to know of a certificate, read from its bytes.

use std::net::IpAddr;

use jiff::Timestamp;
use rustls::pki_types::CertificateDer;
use x509_parser::extensions::{GeneralName, ParsedExtension};
use x509_parser::prelude::{ASN1Time, X509Certificate};

use super::TlsError;

/// Dates, names and relations of one certificate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Facts {
    pub not_before: Timestamp,
    pub not_after: Timestamp,
    /// Lower case; may start with `*.` in a certificate that the owner brought.
    pub names: Vec<String>,
    pub addresses: Vec<IpAddr>,
    /// Identifier of the issuer's key, if the certificate tells.
    pub issuer_key: Option<Vec<u8>>,
}

/// Takes the bytes apart; the error is half a sentence.
pub(super) fn parse<'a>(der: &'a CertificateDer<'_>) -> Result<X509Certificate<'a>, String> {
    match x509_parser::parse_x509_certificate(der) {
        Ok(([], certificate)) => Ok(certificate),
        Ok(_) => Err("bytes are left over after the certificate".to_owned()),
        Err(error) => Err(format!("it is not a certificate: {error}")),
    }
}

impl Facts {
    pub fn read(der: &CertificateDer<'_>) -> Result<Self, String> {
        let certificate = parse(der)?;
        let alternatives = certificate
            .subject_alternative_name()
            .map_err(|error| format!("its names cannot be read: {error}"))?
            .map(|extension| extension.value.general_names.as_slice())
            .unwrap_or_default();
        Ok(Self {
            not_before: instant(certificate.validity().not_before)?,
            not_after: instant(certificate.validity().not_after)?,
            names: alternatives.iter().filter_map(host_name).collect(),
            addresses: alternatives.iter().filter_map(address).collect(),
            issuer_key: issuer_key(&certificate),
        })
    }
}

fn instant(time: ASN1Time) -> Result<Timestamp, String> {
    Timestamp::from_second(time.timestamp()).map_err(|error| format!("its dates are absurd: {error}"))
}

fn host_name(name: &GeneralName<'_>) -> Option<String> {
    match name {
        GeneralName::DNSName(text) => Some(text.to_ascii_lowercase()),
        _ => None,
    }
}

fn address(name: &GeneralName<'_>) -> Option<IpAddr> {
    match name {
        GeneralName::IPAddress(bytes) => <[u8; 4]>::try_from(*bytes)
            .map(IpAddr::from)
            .or_else(|_| <[u8; 16]>::try_from(*bytes).map(IpAddr::from))
            .ok(),
        _ => None,
    }
}

fn issuer_key(certificate: &X509Certificate<'_>) -> Option<Vec<u8>> {
    certificate.iter_extensions().find_map(|extension| match extension.parsed_extension() {
        ParsedExtension::AuthorityKeyIdentifier(id) => id.key_identifier.as_ref().map(|key| key.0.to_vec()),
        _ => None,
    })
}

/// Identifier of the certificate's own key, if it tells.
pub(super) fn own_key(certificate: &X509Certificate<'_>) -> Option<Vec<u8>> {
    certificate.iter_extensions().find_map(|extension| match extension.parsed_extension() {
        ParsedExtension::SubjectKeyIdentifier(id) => Some(id.0.to_vec()),
        _ => None,
    })
}

/// A time moved by whole days, without fractions of a second, which certificates cannot hold.
pub(super) fn days_from(now: Timestamp, days: i64) -> Result<Timestamp, TlsError> {
    now.as_second()
        .checked_add(days * 24 * 60 * 60)
        .and_then(|second| Timestamp::from_second(second).ok())
        .ok_or_else(|| TlsError::ClockUnusable { now: now.to_string() })
}

/// Seconds since 1970, as the certificate writer takes them.
pub(super) fn since_epoch(time: Timestamp) -> Result<std::time::Duration, TlsError> {
    u64::try_from(time.as_second())
        .map(std::time::Duration::from_secs)
        .map_err(|_| TlsError::ClockUnusable { now: time.to_string() })
}

/// `2026-03-09`, for sentences.
pub(super) fn day(time: Timestamp) -> String {
    time.strftime("%Y-%m-%d").to_string()
}

/// `2026-03-09 18:30 UTC`, where the hour can matter.
pub(super) fn minute(time: Timestamp) -> String {
    time.strftime("%Y-%m-%d %H:%M UTC").to_string()
}
