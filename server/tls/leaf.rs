//! The server's own certificate: short-lived, replaced without troubling the phones.

use std::fmt;
use std::net::IpAddr;
use std::path::Path;

use jiff::Timestamp;
use rcgen::{
    CertificateParams, DistinguishedName, DnType, ExtendedKeyUsagePurpose, IsCa, KeyPair, KeyUsagePurpose, SanType,
};
use rustls::crypto::ring;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use rustls::sign::CertifiedKey;

use super::authority::BACK_DATED_DAYS;
use super::files::{make_folder, read_if_there, write_secret};
use super::x509::{self, Facts};
use super::{Authority, Host, HostName, Names, TlsError};

/// From the back-dated start to the end. Browsers cap public certificates at 398 days, iOS caps
/// those of a person's own authority at 825 (Apple support article 103769); we keep to the lower.
const LIFE_DAYS: i64 = 396;

/// Renewed when fewer days than this are left.
const RENEW_WITHIN_DAYS: i64 = 30;

const FILE: &str = "certificate.secret.pem";

/// A certificate the server can show, with its key.
pub struct Leaf {
    chain: Vec<CertificateDer<'static>>,
    key: PrivateKeyDer<'static>,
    facts: Facts,
}

/// Why a new certificate was made or taken up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// There was none that could be read.
    Missing,
    /// Fewer than thirty days were left.
    NearEnd,
    /// It starts in the future: it was made while the clock was wrong.
    NotYetValid,
    /// The machine is called something the certificate does not list.
    NameAdded(HostName),
    /// The machine has an address the certificate does not list.
    AddressAdded(IpAddr),
    /// It was made by an authority that is no longer ours.
    OtherAuthority,
    /// The owner put another certificate in place.
    FileChanged,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing => f.write_str("there was none"),
            Self::NearEnd => f.write_str("the old one was near its end"),
            Self::NotYetValid => f.write_str("the old one starts in the future"),
            Self::NameAdded(name) => write!(f, "this machine is now also called {name}"),
            Self::AddressAdded(address) => write!(f, "this machine is now also at {address}"),
            Self::OtherAuthority => f.write_str("the old one is from another authority"),
            Self::FileChanged => f.write_str("its file was replaced"),
        }
    }
}

impl Leaf {
    /// A new certificate with a new key, for every name and address the authority may speak for.
    ///
    /// # Errors
    /// [`TlsError::OutsideAuthority`] if the canonical address is not among them;
    /// [`TlsError::ClockUnusable`]; [`TlsError::Unusable`].
    pub fn issue(authority: &Authority, names: &Names, now: Timestamp) -> Result<Self, TlsError> {
        if !authority.limits().permit(names.canonical()) {
            return Err(TlsError::OutsideAuthority { host: names.canonical().to_string() });
        }
        let key = KeyPair::generate().map_err(TlsError::unusable)?;
        let certificate =
            params(authority, names, now)?.signed_by(&key, authority.issuer()).map_err(TlsError::unusable)?;
        Self::assemble(vec![certificate.into()], PrivateKeyDer::from(key)).map_err(TlsError::Unusable)
    }

    fn assemble(chain: Vec<CertificateDer<'static>>, key: PrivateKeyDer<'static>) -> Result<Self, String> {
        let own = chain.first().ok_or("there is no certificate")?;
        let facts = Facts::read(own)?;
        Ok(Self { chain, key, facts })
    }

    /// Keeps certificate and key in `dir`, for the next start.
    ///
    /// # Errors
    /// [`TlsError::File`].
    pub fn save(&self, dir: &Path) -> Result<(), TlsError> {
        make_folder(dir)?;
        let key = KeyPair::try_from(&self.key).map_err(TlsError::unusable)?;
        let certificates: String = self.chain.iter().map(super::authority::pem_of).collect();
        write_secret(&dir.join(FILE), &(certificates + &key.serialize_pem()))
    }

    /// The kept certificate; `None` if there is none that can be read, since a new one costs nothing.
    ///
    /// # Errors
    /// [`TlsError::File`] if the file is there and may not be read.
    pub fn kept(dir: &Path) -> Result<Option<Self>, TlsError> {
        let text = read_if_there(&dir.join(FILE))?;
        Ok(text.and_then(|text| {
            let chain = certificates_in(&text).ok()?;
            let key = PrivateKeyDer::from_pem_slice(text.as_bytes()).ok()?;
            Self::assemble(chain, key).ok().filter(Self::pair_matches)
        }))
    }

    /// The owner's own certificate. Both may be in one file. The certificate comes first, then
    /// those of its issuers.
    ///
    /// # Errors
    /// A sentence for each way it can be unusable: unreadable, not in text form, locked, not a
    /// pair, ended, not yet valid.
    pub fn from_files(certificate_path: &Path, key_path: &Path, now: Timestamp) -> Result<Self, TlsError> {
        let bad = |reason: String| TlsError::BadCertificate { path: certificate_path.to_path_buf(), reason };
        let chain = certificates_in(&read(certificate_path)?).map_err(bad)?;
        if chain.is_empty() {
            return Err(TlsError::NoCertificate { path: certificate_path.to_path_buf() });
        }
        let key = brought_key(key_path)?;
        let leaf = Self::assemble(chain, key).map_err(bad)?;
        if !leaf.pair_matches() {
            return Err(TlsError::KeyMismatch {
                certificate: certificate_path.to_path_buf(),
                key: key_path.to_path_buf(),
            });
        }
        leaf.check_dates(certificate_path, now)?;
        Ok(leaf)
    }

    fn pair_matches(&self) -> bool {
        CertifiedKey::from_der(self.chain.clone(), self.key(), &ring::default_provider()).is_ok()
    }

    fn check_dates(&self, path: &Path, now: Timestamp) -> Result<(), TlsError> {
        if now >= self.facts.not_after {
            return Err(TlsError::CertificateEnded {
                path: path.to_path_buf(),
                ended: x509::day(self.facts.not_after),
            });
        }
        if now < self.facts.not_before {
            return Err(TlsError::CertificateNotYet {
                path: path.to_path_buf(),
                starts: x509::minute(self.facts.not_before),
                now: x509::minute(now),
            });
        }
        Ok(())
    }

    /// Whether a new one is due. An address that went away is no reason: it may come back, and a
    /// certificate that lists one address too many harms nobody.
    pub fn needs_renewal(&self, authority: &Authority, names: &Names, now: Timestamp) -> Option<Reason> {
        if self.facts.issuer_key.as_deref() != Some(authority.key_id()) {
            return Some(Reason::OtherAuthority);
        }
        if now < self.facts.not_before {
            return Some(Reason::NotYetValid);
        }
        let soon = x509::days_from(now, RENEW_WITHIN_DAYS).unwrap_or(Timestamp::MAX);
        if self.facts.not_after < soon && self.facts.not_after < authority.not_after() {
            return Some(Reason::NearEnd);
        }
        let permitted = permitted_names(authority, names);
        if let Some(name) = permitted.into_iter().find(|name| !self.lists_name(name)) {
            return Some(Reason::NameAdded(name));
        }
        permitted_addresses(authority, names)
            .into_iter()
            .find(|address| !self.facts.addresses.contains(address))
            .map(Reason::AddressAdded)
    }

    /// Whether a browser that opens this host is content with the certificate. A name `*.x` covers
    /// one label more than `x`. Source: RFC 6125 section 6.4.3.
    pub fn covers(&self, host: &Host) -> bool {
        match host {
            Host::Name(name) => self.lists_name(name),
            Host::Address(address) => self.facts.addresses.contains(address),
        }
    }

    fn lists_name(&self, name: &HostName) -> bool {
        let above = name.as_str().split_once('.').map(|(_, above)| above);
        self.facts
            .names
            .iter()
            .any(|listed| listed == name.as_str() || listed.strip_prefix("*.").is_some_and(|rest| Some(rest) == above))
    }

    pub fn not_before(&self) -> Timestamp {
        self.facts.not_before
    }

    pub fn not_after(&self) -> Timestamp {
        self.facts.not_after
    }

    /// The certificate, then those of its issuers if the owner brought them.
    pub fn chain(&self) -> &[CertificateDer<'static>] {
        &self.chain
    }

    /// The certificate as text. Holds no secret.
    pub fn certificate_pem(&self) -> String {
        self.chain.iter().map(super::authority::pem_of).collect()
    }

    pub(super) fn key(&self) -> PrivateKeyDer<'static> {
        self.key.clone_key()
    }
}

fn params(authority: &Authority, names: &Names, now: Timestamp) -> Result<CertificateParams, TlsError> {
    let start = x509::days_from(now, -BACK_DATED_DAYS)?;
    let not_before = start.max(authority.not_before());
    let not_after = x509::days_from(start, LIFE_DAYS)?.min(authority.not_after());
    let epoch = rcgen::date_time_ymd(1970, 1, 1);
    let mut params = CertificateParams::default();
    params.distinguished_name = DistinguishedName::new();
    params.distinguished_name.push(DnType::CommonName, "Underlamp");
    params.not_before = epoch + x509::since_epoch(not_before)?;
    params.not_after = epoch + x509::since_epoch(not_after)?;
    params.is_ca = IsCa::ExplicitNoCa;
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.use_authority_key_identifier_extension = true;
    for name in permitted_names(authority, names) {
        let name = name.as_str().try_into().map_err(TlsError::unusable)?;
        params.subject_alt_names.push(SanType::DnsName(name));
    }
    let addresses = permitted_addresses(authority, names);
    params.subject_alt_names.extend(addresses.into_iter().map(SanType::IpAddress));
    Ok(params)
}

fn permitted_names(authority: &Authority, names: &Names) -> Vec<HostName> {
    let mut permitted = names.host_names();
    permitted.retain(|name| authority.limits().permit_name(name));
    permitted
}

fn permitted_addresses(authority: &Authority, names: &Names) -> Vec<IpAddr> {
    let all = names.all_addresses().into_iter();
    all.filter(|address| authority.limits().permit_address(*address)).collect()
}

fn certificates_in(text: &str) -> Result<Vec<CertificateDer<'static>>, String> {
    CertificateDer::pem_slice_iter(text.as_bytes()).collect::<Result<_, _>>().map_err(|error| error.to_string())
}

fn read(path: &Path) -> Result<String, TlsError> {
    let missing = || std::io::Error::from(std::io::ErrorKind::NotFound);
    read_if_there(path)?.ok_or_else(|| TlsError::file("read", path, missing()))
}

fn brought_key(path: &Path) -> Result<PrivateKeyDer<'static>, TlsError> {
    let text = read(path)?;
    // PKCS #8 says so in its heading (RFC 7468 section 11), the older form on a line of its own.
    if text.contains("ENCRYPTED") {
        return Err(TlsError::LockedKey { path: path.to_path_buf() });
    }
    PrivateKeyDer::from_pem_slice(text.as_bytes()).map_err(|_| TlsError::NoKey { path: path.to_path_buf() })
}
