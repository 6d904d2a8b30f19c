//! HTTPS on a home network, so that a phone will run the app offline.
//!
//! A browser runs a service worker only on a secure origin, and it does not accept a warning that
//! was clicked away. So Underlamp makes an authority of its own, each phone is taught to trust it
//! once, and from then on server certificates come and go without anybody noticing.
//!
//! Read in this order:
//!
//! | file | what it holds |
//! |---|---|
//! | `address.rs` | the one address phones know Underlamp by, settled at first start and kept |
//! | `names.rs` | that address plus whatever else this machine answers to right now |
//! | `limits.rs` | what the authority may speak for: home names and home addresses, nothing else |
//! | `authority.rs` | the authority: made once, about ten years |
//! | `leaf.rs` | the server's certificate: at most 397 days, a new key each time, or brought by the owner |
//! | `renewal.rs` | keeps a leaf that fits, and swaps it while the server runs |
//! | `announce.rs` | tells the network where `underlamp.local` is |
//! | `guide.rs`, `plain.rs` | the plain HTTP page that teaches a phone to trust the authority |
//!
//! Invariants:
//! - A file that holds a key is readable by its owner only and appears whole or not at all.
//! - An authority that cannot be read is reported and never replaced: every phone trusts that one.
//! - No leaf holds a name or address that its authority may not speak for: one such name and
//!   browsers refuse the whole certificate.
//! - Nothing here reads the clock: the time is a parameter.

pub mod address;
pub mod announce;
pub mod authority;
mod error;
mod files;
pub mod guide;
pub mod leaf;
pub mod limits;
pub mod names;
pub mod plain;
pub mod renewal;
mod x509;

use std::sync::Arc;

pub use address::Address;
pub use announce::Announcement;
pub use authority::{Authority, Fingerprint};
pub use error::TlsError;
pub use leaf::{Leaf, Reason};
pub use limits::Limits;
pub use names::{Host, HostName, Names};
pub use renewal::Certificates;

use rustls::crypto::{CryptoProvider, ring};

/// Makes `ring` the cryptography of every TLS connection in this process, incoming and outgoing.
/// Call it once, first thing; a second call changes nothing.
pub fn install_provider() {
    // The only failure is that a provider is installed already, which is what we want.
    let _ = ring::default_provider().install_default();
}

/// How the server greets a browser: this leaf, HTTP/2 first and HTTP/1.1 otherwise.
///
/// # Errors
/// [`TlsError::Unusable`] if the leaf's key cannot serve its certificate.
pub fn rustls_config(leaf: &Leaf) -> Result<Arc<rustls::ServerConfig>, TlsError> {
    let provider: Arc<CryptoProvider> = Arc::new(ring::default_provider());
    let mut config = rustls::ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .and_then(|builder| builder.with_no_client_auth().with_single_cert(leaf.chain().to_vec(), leaf.key()))
        .map_err(TlsError::unusable)?;
    config.alpn_protocols = vec![b"h2".to_vec(), b"http/1.1".to_vec()];
    Ok(Arc::new(config))
}
