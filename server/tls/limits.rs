//! What an authority may speak for, written into it as X.509 name constraints.
//!
//! A phone that trusts our authority must not be open to whoever steals its key. So the authority
//! carries its own fence: home names and home addresses. Browsers check it on every visit.
//! Source: RFC 5280 section 4.2.1.10.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

use rcgen::{CidrSubnet, GeneralSubtree, NameConstraints};
use x509_parser::extensions::GeneralName;
use x509_parser::prelude::X509Certificate;

use super::{Host, HostName};

/// Endings that never leave a home: RFC 6762 (`local`), RFC 8375 (`home.arpa`), RFC 6761
/// (`localhost`), `internal` as set aside by ICANN in 2024, and `lan`, common practice of routers.
const HOME_ENDINGS: [&str; 5] = ["local", "lan", "home.arpa", "localhost", "internal"];

/// Home addresses: RFC 1918, RFC 6598 (overlays and carriers), RFC 3927, RFC 1122.
const HOME_RANGES_V4: [(Ipv4Addr, u8); 6] = [
    (Ipv4Addr::new(10, 0, 0, 0), 8),
    (Ipv4Addr::new(172, 16, 0, 0), 12),
    (Ipv4Addr::new(192, 168, 0, 0), 16),
    (Ipv4Addr::new(100, 64, 0, 0), 10),
    (Ipv4Addr::new(169, 254, 0, 0), 16),
    (Ipv4Addr::new(127, 0, 0, 0), 8),
];

/// The same for IPv6: RFC 4193, RFC 4291.
const HOME_RANGES_V6: [(Ipv6Addr, u8); 3] = [
    (Ipv6Addr::new(0xfc00, 0, 0, 0, 0, 0, 0, 0), 7),
    (Ipv6Addr::new(0xfe80, 0, 0, 0, 0, 0, 0, 0), 10),
    (Ipv6Addr::LOCALHOST, 128),
];

/// A range of addresses: the first one and how many leading bits count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Range {
    V4(u32, u32),
    V6(u128, u128),
}

impl Range {
    fn holds(self, address: IpAddr) -> bool {
        match (self, address) {
            (Self::V4(base, mask), IpAddr::V4(v4)) => u32::from(v4) & mask == base & mask,
            (Self::V6(base, mask), IpAddr::V6(v6)) => u128::from(v6) & mask == base & mask,
            (Self::V4(..), IpAddr::V6(_)) | (Self::V6(..), IpAddr::V4(_)) => false,
        }
    }

    fn subtree(self) -> GeneralSubtree {
        GeneralSubtree::IpAddress(match self {
            Self::V4(base, mask) => CidrSubnet::V4(base.to_be_bytes(), mask.to_be_bytes()),
            Self::V6(base, mask) => CidrSubnet::V6(base.to_be_bytes(), mask.to_be_bytes()),
        })
    }

    /// Address and mask one after the other, as X.509 writes them.
    fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let (base, mask) = bytes.split_at(bytes.len() / 2);
        let v4 = |half: &[u8]| <[u8; 4]>::try_from(half).ok().map(u32::from_be_bytes);
        let v6 = |half: &[u8]| <[u8; 16]>::try_from(half).ok().map(u128::from_be_bytes);
        match (v4(base), v4(mask)) {
            (Some(base), Some(mask)) => Some(Self::V4(base, mask)),
            _ => Some(Self::V6(v6(base)?, v6(mask)?)),
        }
    }
}

/// The names and addresses an authority may speak for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limits {
    endings: Vec<String>,
    ranges: Vec<Range>,
}

impl Limits {
    /// Home names and home addresses.
    pub fn home() -> Self {
        let v4 = HOME_RANGES_V4.map(|(base, bits)| Range::V4(base.into(), u32::MAX << (u32::BITS - u32::from(bits))));
        let v6 = HOME_RANGES_V6.map(|(base, bits)| Range::V6(base.into(), u128::MAX << (u128::BITS - u32::from(bits))));
        Self { endings: HOME_ENDINGS.map(str::to_owned).to_vec(), ranges: v4.into_iter().chain(v6).collect() }
    }

    /// Home, and the one name its owner chose besides, with everything below that name.
    pub fn home_and(canonical: &Host) -> Self {
        let mut limits = Self::home();
        if let Host::Name(name) = canonical
            && !limits.permit_name(name)
        {
            limits.endings.push(name.as_str().to_owned());
        }
        limits
    }

    pub fn permit(&self, host: &Host) -> bool {
        match host {
            Host::Name(name) => self.permit_name(name),
            Host::Address(address) => self.permit_address(*address),
        }
    }

    pub fn permit_name(&self, name: &HostName) -> bool {
        self.endings.iter().any(|ending| {
            name.as_str().strip_suffix(ending.as_str()).is_some_and(|rest| rest.is_empty() || rest.ends_with('.'))
        })
    }

    pub fn permit_address(&self, address: IpAddr) -> bool {
        self.ranges.iter().any(|range| range.holds(address))
    }

    pub(super) fn to_constraints(&self) -> NameConstraints {
        let names = self.endings.iter().cloned().map(GeneralSubtree::DnsName);
        let ranges = self.ranges.iter().map(|range| range.subtree());
        NameConstraints { permitted_subtrees: names.chain(ranges).collect(), excluded_subtrees: Vec::new() }
    }

    /// What a kept authority says of itself; `None` if it carries no fence we can read.
    pub(super) fn of(certificate: &X509Certificate<'_>) -> Option<Self> {
        let constraints = certificate.name_constraints().ok()??;
        let permitted = constraints.value.permitted_subtrees.as_deref()?;
        let endings = permitted.iter().filter_map(|subtree| match subtree.base {
            GeneralName::DNSName(ending) => Some(ending.to_owned()),
            _ => None,
        });
        let ranges = permitted.iter().filter_map(|subtree| match subtree.base {
            GeneralName::IPAddress(bytes) => Range::from_bytes(bytes),
            _ => None,
        });
        Some(Self { endings: endings.collect(), ranges: ranges.collect() })
    }
}
