//! The one address phones know Underlamp by.
//!
//! What a phone stores belongs to scheme, name and port together. Open the app once by name and
//! once by number and there are two apps, and the notes of one are stranded. So the address is
//! settled at first start, kept beside the keys, and a later start that asks for another is stopped.
//!
//! Which address: the one given with `--name`, else [`DEFAULT_NAME`]. A number works on every phone
//! but changes when the router hands out another; the machine's own name changes when it is renamed
//! or replaced; a `.local` name of our own survives both, and iPhones, desktops and Android 12 and
//! later find it. For an older Android phone, or one whose private DNS gets in the way, give the
//! machine a fixed address or a name in the router and pass that with `--name` at first start. The
//! trust page tells a phone that cannot find the name from a phone that does not trust us yet.

use std::fmt;
use std::path::Path;

use super::files::{make_folder, read_if_there, write_secret};
use super::names::DEFAULT_NAME;
use super::{Host, TlsError};

/// Port for HTTPS unless told another: the customary second one, open to an ordinary user.
pub const DEFAULT_PORT: u16 = 8443;

const FILE: &str = "address.txt";

/// Name and port of the app; the scheme is always `https`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address {
    pub host: Host,
    pub port: u16,
}

impl Address {
    /// The kept address, or on first start the one asked for, which is then kept in `dir`.
    /// What is not asked for (`None`) is taken as kept, or from the defaults.
    ///
    /// # Errors
    /// [`TlsError::AddressSettled`] if another is asked for than phones know; [`TlsError::BadName`];
    /// [`TlsError::DamagedAddress`]; [`TlsError::File`].
    pub fn settle(dir: &Path, name: Option<&str>, port: Option<u16>) -> Result<Self, TlsError> {
        let name = name.map(Host::parse).transpose()?;
        let path = dir.join(FILE);
        let Some(text) = read_if_there(&path)? else {
            let chosen =
                Self { host: name.map_or_else(|| Host::parse(DEFAULT_NAME), Ok)?, port: port.unwrap_or(DEFAULT_PORT) };
            make_folder(dir)?;
            write_secret(&path, &format!("{chosen}\n"))?;
            return Ok(chosen);
        };
        let kept = Self::parse(&text).map_err(|reason| TlsError::DamagedAddress { path: path.clone(), reason })?;
        let asked = Self { host: name.unwrap_or_else(|| kept.host.clone()), port: port.unwrap_or(kept.port) };
        match asked == kept {
            true => Ok(kept),
            false => Err(TlsError::AddressSettled { kept, asked, path }),
        }
    }

    fn parse(text: &str) -> Result<Self, String> {
        let (host, port) = text.trim().rsplit_once(':').ok_or("it has no port after a colon")?;
        Ok(Self {
            host: Host::parse(host).map_err(|error| error.to_string())?,
            port: port.parse().map_err(|_| "its port is not a number up to 65535")?,
        })
    }

    /// `https://underlamp.local:8443`, without a final slash: the origin phones use.
    pub fn origin(&self) -> String {
        match self.port {
            443 => format!("https://{}", self.host),
            port => format!("https://{}:{port}", self.host),
        }
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.host, self.port)
    }
}
