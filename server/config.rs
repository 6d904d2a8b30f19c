//! Settings: what can be said on the command line or in the environment.

use crate::error::StartError;
use axum::http::Uri;
use clap::{Args, Parser, Subcommand};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// Carries a home restorer through bringing an old car back to dependable use: offline on the phone under
/// the car, planned at the desk.
#[derive(Debug, Parser)]
#[command(
    name = "underlamp",
    version,
    after_help = "First time? ‘underlamp demo’ shows an invented car. ‘underlamp serve’ starts your own garage.\n\
                  Everything is kept in one folder (see --data); ‘underlamp backup’ copies it whole."
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,

    /// The folder that holds the database, the photos and the certificates
    /// [default: the user's data folder]
    #[arg(long, global = true, env = "UNDERLAMP_DATA", value_name = "FOLDER")]
    pub data: Option<PathBuf>,

    /// How much is logged, for instance ‘warn’ or ‘underlamp=debug’
    #[arg(long, global = true, env = "UNDERLAMP_LOG", default_value = "warn,underlamp=info", value_name = "WHAT")]
    pub log: String,

    /// Log as JSON, one event a line
    #[arg(long, global = true)]
    pub log_json: bool,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a garage with an invented car, to try everything on; kept apart from your own
    Demo(Serve),
    /// Start the garage
    Serve(Serve),
    /// Print a fresh pairing code, also while the garage is running
    Pair,
    /// Save database, photos and certificates into one file, also while the garage is running
    Backup {
        /// The file to make; it must not exist yet
        file: PathBuf,
    },
    /// Put a backup into an empty data folder; a damaged one is refused
    Restore {
        /// The file that ‘underlamp backup’ made
        #[arg(required_unless_present = "from", conflicts_with = "from")]
        file: Option<PathBuf>,
        #[command(flatten)]
        from: FromPlace,
    },
    /// Take one car or the whole garage out into one file, to bring into another garage; also while it is running
    Export {
        /// The file to make, named .tar.gz; it must not exist yet
        file: PathBuf,
        /// Only the car of this name
        #[arg(long, value_name = "NAME")]
        car: Option<String>,
    },
    /// Bring an export into this garage: all of it or nothing
    ///
    /// Everything is checked first. Stop the garage before; a running one takes files in under ‘Moving house’.
    Import {
        /// The file that ‘underlamp export’ or the desk made
        file: PathBuf,
        /// Leave cars as they are that are here already, and bring in the others
        #[arg(long)]
        leave_known: bool,
        /// Leave the tool chest where it was
        #[arg(long)]
        without_chest: bool,
    },
    /// Say what is wrong: name, certificate, port, disk, database, clock
    Doctor(Serve),
    /// Work on the texts of pattern cards
    #[command(subcommand)]
    Patterns(Patterns),
}

#[derive(Debug, Subcommand)]
pub enum Patterns {
    /// Say what is wrong in pattern files, with file and line
    ///
    /// First the text itself: what cannot be read, what is not known, what refers to nothing. Then the card checker, once
    /// for each way in which the pattern's choices can be made: what would go wrong if the card were worked in this order
    /// on a car at rest, why, and how to mend it.
    #[command(
        after_help = "Put a file that is without fault into the folder ‘patterns’ of the data folder, and it shows at the \
                      desk beside the others. One named like one of the program's own takes its place. The format stands \
                      in seed/patterns/README.md.\n\n\
                      Ends with 0 where there is nothing to say, and with 1 otherwise."
    )]
    Check {
        /// The files, each one pattern in TOML
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
}

/// A place in which a garage keeps its backups.
#[derive(Clone, Args)]
pub struct FromPlace {
    /// The folder, or the address of the WebDAV folder, that holds the garage's backups: the newest is taken
    #[arg(long, value_name = "PLACE")]
    pub from: Option<String>,

    /// Show what is kept there, and change nothing
    #[arg(long, requires = "from")]
    pub list: bool,

    /// This one, as --list shows it, in place of the newest
    #[arg(long, requires = "from", value_name = "NAME")]
    pub which: Option<String>,

    /// The user, where the server asks for one; the password is asked for, or taken from the environment
    #[arg(long, requires = "from", value_name = "USER")]
    pub user: Option<String>,

    #[arg(skip = std::env::var("UNDERLAMP_WEBDAV_PASSWORD").ok())]
    pub password: Option<String>,
}

/// Without the password.
impl std::fmt::Debug for FromPlace {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("FromPlace").field("from", &self.from).field("which", &self.which).finish_non_exhaustive()
    }
}

#[derive(Debug, Clone, Args)]
pub struct Serve {
    /// Port of the desk's door, open to this computer only (plain HTTP)
    #[arg(long, default_value_t = 8470, value_name = "PORT")]
    pub desk_port: u16,

    /// Serve this computer only; no phones
    #[arg(long)]
    pub only_here: bool,

    /// The one name or address phones know this garage by; settled at first start
    /// [default: underlamp.local]
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,

    /// Port for phones (HTTPS); settled at first start [default: 8443]
    #[arg(long, value_name = "PORT")]
    pub port: Option<u16>,

    /// Port of the page that teaches a phone to trust this garage (plain HTTP, nothing private on it)
    #[arg(long, default_value_t = 8480, value_name = "PORT")]
    pub guide_port: u16,

    /// Your own certificate chain (PEM), in place of the garage's own authority
    #[arg(long, requires = "key", value_name = "FILE")]
    pub cert: Option<PathBuf>,

    /// The key of --cert (PEM)
    #[arg(long, requires = "cert", value_name = "FILE")]
    pub key: Option<PathBuf>,

    /// Do not announce the name on the network (multicast DNS)
    #[arg(long)]
    pub no_announce: bool,

    /// The one address that browsers use when something stands in front of the garage, such as a reverse proxy;
    /// for instance https://garage.example
    #[arg(long, value_name = "ADDRESS")]
    pub address: Option<Origin>,
}

/// Scheme, host and port of a site, written as browsers write them, so that both can be compared as text:
/// lower case, no port where it is the scheme's usual one, nothing behind it.
///
/// Source: RFC 6454 section 6.2 (the serialization of an origin).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Origin(String);

impl Origin {
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether browsers come over HTTPS.
    pub fn is_secure(&self) -> bool {
        self.0.starts_with("https:")
    }
}

impl FromStr for Origin {
    type Err = String;

    fn from_str(text: &str) -> Result<Origin, String> {
        let wrong =
            || "write it like https://garage.example or http://localhost:9000, with nothing behind it".to_owned();
        let uri: Uri = text.to_ascii_lowercase().parse().map_err(|_| wrong())?;
        let (Some(scheme), Some(authority)) = (uri.scheme_str(), uri.authority()) else {
            return Err(wrong());
        };
        if uri.path() != "/" || uri.query().is_some() || authority.as_str().contains('@') {
            return Err(wrong());
        }
        let usual = match scheme {
            "http" => 80,
            "https" => 443,
            _ => return Err(wrong()),
        };
        match authority.port_u16().filter(|port| *port != usual) {
            Some(port) => Ok(Origin(format!("{scheme}://{}:{port}", authority.host()))),
            None => Ok(Origin(format!("{scheme}://{}", authority.host()))),
        }
    }
}

/// The browser that makes PDFs: the one that UNDERLAMP_BROWSER names (an empty value: none), else the first that is on the
/// path. All of them are of one family, which prints from the command line.
pub fn browser() -> Option<PathBuf> {
    const NAMES: [&str; 5] = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "msedge"];
    if let Some(named) = std::env::var_os("UNDERLAMP_BROWSER") {
        return (!named.is_empty()).then(|| PathBuf::from(named));
    }
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let found = |name: &str| folders.iter().map(|folder| folder.join(name)).find(|program| program.is_file());
    NAMES.iter().find_map(|name| found(name))
}

/// Where everything is kept.
#[derive(Debug, Clone)]
pub struct DataFolder(PathBuf);

impl DataFolder {
    /// The folder asked for, or the user's own data folder. The demo has one of its own.
    pub fn choose(asked: Option<&Path>, demo: bool) -> Result<DataFolder, StartError> {
        if let Some(folder) = asked {
            return Ok(DataFolder(folder.to_owned()));
        }
        let dirs = directories::ProjectDirs::from("", "", "underlamp").ok_or_else(|| {
            StartError::Said("There is no home folder to keep things in. Say where with --data.".into())
        })?;
        let name = if demo { "demo" } else { "garage" };
        Ok(DataFolder(dirs.data_dir().join(name)))
    }

    /// Makes the folder if it is not there.
    pub fn make(&self) -> Result<(), StartError> {
        std::fs::create_dir_all(&self.0).map_err(StartError::file("The data folder cannot be made:", &self.0))
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    pub fn database(&self) -> PathBuf {
        self.0.join("underlamp.db")
    }

    pub fn photos(&self) -> PathBuf {
        self.0.join("photos")
    }

    /// Patterns of one's own; the folder need not be there.
    pub fn patterns(&self) -> PathBuf {
        self.0.join("patterns")
    }

    /// Areas of the survey of one's own; the folder need not be there.
    pub fn survey(&self) -> PathBuf {
        self.0.join("survey")
    }

    /// Room for what is put together or taken apart; nothing in it outlives the program.
    pub fn scratch(&self) -> PathBuf {
        self.0.join("scratch")
    }

    /// Where and when backups are kept; holds a password.
    pub fn backup_settings(&self) -> PathBuf {
        self.0.join("backups.json")
    }

    /// What became of them.
    pub fn backup_record(&self) -> PathBuf {
        self.0.join("backups-made.json")
    }

    pub fn tls(&self) -> PathBuf {
        self.0.join("certificates")
    }

    /// Held while a server uses the folder.
    pub fn lock(&self) -> PathBuf {
        self.0.join("in-use.lock")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_written_as_browsers_write_it() {
        let written = |text: &str| text.parse::<Origin>().map(|origin| origin.0);
        assert_eq!(written("https://Garage.Example:443/"), Ok("https://garage.example".into()));
        assert_eq!(written("http://localhost:9000"), Ok("http://localhost:9000".into()));
        assert_eq!(written("https://[2001:DB8::1]:8443"), Ok("https://[2001:db8::1]:8443".into()));
        for wrong in
            ["garage.example", "/garage", "https://garage.example/under", "ftp://garage.example", "https://me@x", ""]
        {
            assert!(written(wrong).is_err(), "{wrong}");
        }
    }
}
