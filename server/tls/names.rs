//! What this machine is called, and where it is, on the home network.

use std::collections::BTreeSet;
use std::fmt;
use std::net::{IpAddr, Ipv4Addr, UdpSocket};

use super::{Limits, TlsError};

/// The name Underlamp goes by unless it is told another. It is ours rather than the machine's, so
/// that it survives a renamed or replaced machine: what waits on a phone belongs to this name.
pub const DEFAULT_NAME: &str = "underlamp.local";

/// A valid host name in lower case, without a final dot: at most 253 characters, in labels of
/// 1 to 63 letters, digits and inner hyphens, the last label not a number.
/// Source: RFC 1123 section 2.1, RFC 1035 section 2.3.4.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HostName(String);

impl HostName {
    /// # Errors
    /// [`TlsError::BadName`] with the reason.
    pub fn parse(text: &str) -> Result<Self, TlsError> {
        let name = text.trim().trim_end_matches('.').to_ascii_lowercase();
        match fault_in(&name) {
            Some(reason) => Err(TlsError::BadName { name: text.trim().to_owned(), reason }),
            None => Ok(Self(name)),
        }
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// A name without a dot, such as `garage`.
    pub fn is_bare(&self) -> bool {
        !self.0.contains('.')
    }

    /// Multicast DNS answers for names that end in `.local` only. Source: RFC 6762 section 3.
    pub fn is_multicast(&self) -> bool {
        self.0.ends_with(".local")
    }
}

impl fmt::Display for HostName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

fn fault_in(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        return Some("it is empty");
    }
    if name.len() > 253 {
        return Some("it is longer than 253 characters");
    }
    if let Some(fault) = name.split('.').find_map(fault_in_label) {
        return Some(fault);
    }
    match name.rsplit('.').next() {
        Some(last) if last.bytes().all(|byte| byte.is_ascii_digit()) => {
            Some("its last part is a number, so it would be taken for an address")
        }
        Some(_) | None => None,
    }
}

fn fault_in_label(label: &str) -> Option<&'static str> {
    if label.is_empty() {
        return Some("two dots stand side by side, or it starts with one");
    }
    if label.len() > 63 {
        return Some("a part between dots is longer than 63 characters");
    }
    if label.starts_with('-') || label.ends_with('-') {
        return Some("a part between dots starts or ends with a hyphen");
    }
    let known = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-';
    match label.bytes().all(known) {
        true => None,
        false => Some("only letters a to z, digits, hyphens and dots can stand in it"),
    }
}

/// Where a browser finds Underlamp: a name, or an address fixed in the router.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Host {
    Name(HostName),
    Address(IpAddr),
}

impl Host {
    /// Reads what was typed after `--name`.
    ///
    /// # Errors
    /// [`TlsError::BadName`] for nonsense, for a bare name, and for an address outside the home.
    /// A bare name is refused because an authority that may speak for `garage` may, by RFC 5280
    /// section 4.2.1.10, speak for everything that ends in `.garage`: such endings exist.
    pub fn parse(text: &str) -> Result<Self, TlsError> {
        let bad = |reason| TlsError::BadName { name: text.trim().to_owned(), reason };
        if let Ok(address) = text.trim().trim_matches(['[', ']']).parse() {
            return match Limits::home().permit_address(address) {
                true => Ok(Self::Address(address)),
                false => Err(bad("it is an address of the open internet, not of a home network")),
            };
        }
        let name = HostName::parse(text)?;
        if name.is_bare() && name.as_str() != "localhost" {
            return Err(bad("it needs an ending, such as .local or .lan"));
        }
        Ok(Self::Name(name))
    }
}

impl fmt::Display for Host {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(name) => name.fmt(f),
            Self::Address(IpAddr::V4(address)) => address.fmt(f),
            Self::Address(IpAddr::V6(address)) => write!(f, "[{address}]"),
        }
    }
}

/// Everything this machine answers to at the moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Names {
    canonical: Host,
    others: BTreeSet<HostName>,
    addresses: Vec<IpAddr>,
}

impl Names {
    /// Looks at the machine: its own name, and its addresses on the home network.
    /// A machine that tells neither still gets its canonical address.
    pub fn discover(canonical: Host) -> Self {
        let machine = gethostname::gethostname();
        let found = if_addrs::get_if_addrs().unwrap_or_else(|reason| {
            tracing::warn!(%reason, "this machine does not list its addresses");
            Vec::new()
        });
        let addresses = found
            .iter()
            .filter(|interface| !interface.is_loopback() && !interface.is_link_local())
            .map(if_addrs::Interface::ip);
        Self::assemble(canonical, machine.to_str(), outward_address(), addresses)
    }

    /// The same, from given facts. `outward` is the address that faces the router, if known.
    /// Addresses of the open internet are left out: the authority may not speak for them.
    pub fn assemble(
        canonical: Host,
        machine: Option<&str>,
        outward: Option<IpAddr>,
        addresses: impl IntoIterator<Item = IpAddr>,
    ) -> Self {
        let home = Limits::home();
        let mut addresses: Vec<IpAddr> =
            addresses.into_iter().filter(|address| home.permit_address(*address) && !address.is_loopback()).collect();
        addresses.sort_by_key(|address| (Some(*address) != outward, likelihood(*address), *address));
        addresses.dedup();
        let others = machine
            .map(names_of_machine)
            .unwrap_or_default()
            .into_iter()
            .filter(|name| canonical != Host::Name(name.clone()))
            .collect();
        Self { canonical, others, addresses }
    }

    /// The one address phones are to use.
    pub fn canonical(&self) -> &Host {
        &self.canonical
    }

    /// Other names that lead here; on these the app only says 'please open …'.
    pub fn others(&self) -> impl Iterator<Item = &HostName> {
        self.others.iter()
    }

    /// Addresses on the home network, the likeliest to be reached by a phone first.
    pub fn addresses(&self) -> &[IpAddr] {
        &self.addresses
    }

    /// Host names for a certificate, canonical first; `localhost` is always among them.
    pub fn host_names(&self) -> Vec<HostName> {
        let canonical = match &self.canonical {
            Host::Name(name) => Some(name.clone()),
            Host::Address(_) => None,
        };
        let local = HostName("localhost".to_owned());
        let others = self.others.iter().cloned().chain([local]);
        let others: Vec<_> = others.filter(|name| Some(name) != canonical.as_ref()).collect();
        canonical.into_iter().chain(others).collect()
    }

    /// Addresses for a certificate: the home network's, this machine's own, and the canonical one.
    pub fn all_addresses(&self) -> BTreeSet<IpAddr> {
        let canonical = match &self.canonical {
            Host::Address(address) => Some(*address),
            Host::Name(_) => None,
        };
        let local = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let known = self.addresses.iter().copied();
        known.chain(canonical).chain([local]).collect()
    }
}

/// `garage` and `garage.lan` both lead to `garage.local`; a name with an ending is kept as well.
fn names_of_machine(machine: &str) -> Vec<HostName> {
    let Ok(full) = HostName::parse(machine) else {
        return Vec::new();
    };
    let first = full.as_str().split('.').next().unwrap_or_default();
    if first == "localhost" {
        return Vec::new();
    }
    let local = HostName::parse(&format!("{first}.local")).ok();
    let full = Some(full).filter(|name| !name.is_bare());
    local.into_iter().chain(full).collect()
}

/// The address that faces the router. Nothing is sent: connecting a datagram socket only asks the
/// operating system which way it would go. 192.0.2.0/24 is set aside for examples by RFC 5737.
fn outward_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    Some(socket.local_addr().ok()?.ip())
}

/// Lower is likelier to be the home network rather than a container's or an overlay's.
/// Common practice of home routers, no source.
fn likelihood(address: IpAddr) -> u8 {
    match address {
        IpAddr::V4(v4) => match v4.octets() {
            [192, 168, ..] => 0,
            [10, ..] => 1,
            [172, ..] => 2,
            [100, ..] => 3,
            [_, ..] => 4,
        },
        IpAddr::V6(_) => 5,
    }
}
