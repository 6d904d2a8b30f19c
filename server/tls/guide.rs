//! The words and facts of the page that teaches a phone to trust this garage's authority.
//!
//! Why a plain `.crt` file and no configuration profile for iPhones: iOS turns the certificate into
//! a profile by itself, in exactly the same taps, and a profile of ours would be unsigned and shown
//! in red as 'not verified'. The switch in step 3 would be needed all the same.

use std::net::IpAddr;

use askama::Template;

use super::{Address, Authority, Fingerprint, Host, Limits, Names};

/// Where the authority's certificate is fetched. The last part becomes the name of the file on the
/// phone, which the person has to find again among other downloads.
pub const CERTIFICATE_PATH: &str = "/underlamp-authority.crt";

/// The same as text, for desktop programs that want it so.
pub const CERTIFICATE_TEXT_PATH: &str = "/underlamp-authority.pem";

/// Asked on every address to see whether it is trusted. The app answers it without a login.
pub const PROBE_PATH: &str = "/healthz";

/// Which of the guides to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Device {
    Apple,
    Android,
    Computer,
}

impl Device {
    pub const ALL: [Self; 3] = [Self::Apple, Self::Android, Self::Computer];

    /// What the person chose, else what the browser says it runs on. An iPad may call itself a
    /// Mac, which is why the page always offers the other guides.
    pub fn choose(asked: Option<&str>, user_agent: &str) -> Self {
        let chosen = Self::ALL.into_iter().find(|device| Some(device.word()) == asked);
        chosen.unwrap_or_else(|| Self::guess(user_agent))
    }

    fn guess(user_agent: &str) -> Self {
        let says = |word| user_agent.contains(word);
        if says("iPhone") || says("iPad") {
            return Self::Apple;
        }
        if says("Android") {
            return Self::Android;
        }
        Self::Computer
    }

    /// As it stands in the page's address.
    pub fn word(self) -> &'static str {
        match self {
            Self::Apple => "iphone",
            Self::Android => "android",
            Self::Computer => "computer",
        }
    }

    pub fn label(self) -> &'static str {
        match self {
            Self::Apple => "iPhone or iPad",
            Self::Android => "Android",
            Self::Computer => "Computer",
        }
    }

    /// How the page speaks of it.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Apple | Self::Android => "phone",
            Self::Computer => "computer",
        }
    }
}

/// What a phone is asked to trust. Holds no secret.
#[derive(Debug, Clone)]
pub struct Trust {
    pub name: String,
    pub fingerprint: Fingerprint,
    pub certificate_der: Vec<u8>,
    pub certificate_pem: String,
}

impl From<&Authority> for Trust {
    fn from(authority: &Authority) -> Self {
        Self {
            name: authority.name().to_owned(),
            fingerprint: authority.fingerprint(),
            certificate_der: authority.certificate_der().to_vec(),
            certificate_pem: authority.certificate_pem(),
        }
    }
}

/// The addresses the page tries, to see what this phone can reach and trusts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Probes {
    /// The app's own origin.
    pub canonical: String,
    /// The same server by number, to tell 'not trusted' from 'name not found'. Absent where it
    /// would be the same, or where only IPv6 is known: a content policy cannot name those.
    pub by_number: Option<String>,
}

impl Probes {
    /// `reached` is the number by which the phone opened the page, if it used one.
    pub fn new(address: &Address, names: &Names, reached: Option<IpAddr>) -> Self {
        let known = names.addresses();
        let number = reached
            .filter(|number| known.contains(number))
            .or_else(|| known.first().copied())
            .filter(IpAddr::is_ipv4)
            .map(Host::Address)
            .filter(|host| *host != address.host);
        let by_number = number.map(|host| {
            let port = address.port;
            Address { host, port }.origin()
        });
        Self { canonical: address.origin(), by_number }
    }

    /// What the page may load and ask: its own files, and these addresses.
    pub fn content_policy(&self) -> String {
        let by_number = self.by_number.as_deref().unwrap_or_default();
        format!(
            "default-src 'none'; style-src 'self'; script-src 'self'; \
             connect-src 'self' {} {by_number}; base-uri 'none'; form-action 'none'; \
             frame-ancestors 'none'",
            self.canonical
        )
    }
}

/// The guide.
#[derive(Template)]
#[template(path = "tls/trust.html")]
pub struct TrustPage<'a> {
    pub device: Device,
    pub trust: &'a Trust,
    pub host: &'a Host,
    pub probes: &'a Probes,
}

impl TrustPage<'_> {
    /// The owner's own name, where the authority may speak for it besides the home's.
    fn name_beyond_home(&self) -> Option<&Host> {
        (!Limits::home().permit(self.host)).then_some(self.host)
    }

    fn certificate_path(&self) -> &'static str {
        CERTIFICATE_PATH
    }

    fn certificate_text_path(&self) -> &'static str {
        CERTIFICATE_TEXT_PATH
    }

    fn probe_path(&self) -> &'static str {
        PROBE_PATH
    }
}

/// What any other plain address answers: where the app is.
#[derive(Template)]
#[template(path = "tls/elsewhere.html")]
pub struct ElsewherePage<'a> {
    pub origin: &'a str,
    /// Whether there is an authority to trust first.
    pub has_guide: bool,
}
