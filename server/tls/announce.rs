//! Tells the home network where Underlamp is, by multicast DNS (RFC 6762) and service discovery
//! (RFC 6763). A network that refuses costs the name, never the start.

use std::net::IpAddr;
use std::time::Duration;

use mdns_sd::{DaemonEvent, IfKind, Receiver, ServiceDaemon, ServiceInfo};

use super::{Address, Host, Names, TlsError};

const SERVICE: &str = "_https._tcp.local.";

/// How long a goodbye may take at shutdown.
const GOODBYE: Duration = Duration::from_secs(2);

/// The running announcement. Withdraw it before the process ends, or others remember the name for
/// up to two minutes.
pub struct Announcement {
    daemon: ServiceDaemon,
    service: String,
}

impl Announcement {
    /// Announces the canonical name. `Ok(None)` if it does not end in `.local`: then it is the
    /// router's business. If another machine already goes by the name, that is logged.
    ///
    /// # Errors
    /// [`TlsError::Announce`]; the caller goes on without.
    pub fn start(address: &Address, names: &Names) -> Result<Option<Self>, TlsError> {
        let Host::Name(name) = &address.host else {
            return Ok(None);
        };
        if !name.is_multicast() {
            return Ok(None);
        }
        let daemon = ServiceDaemon::new().map_err(refused)?;
        let watched = daemon.monitor().map_err(refused)?;
        let service = service(&format!("{name}."), address.port, names)?;
        let full_name = service.get_fullname().to_owned();
        // Nobody but this machine is on its loopback, and an answer from there would name an
        // address that leads a phone to itself.
        daemon
            .disable_interface(vec![IfKind::LoopbackV4, IfKind::LoopbackV6])
            .and_then(|()| daemon.register(service))
            .map_err(refused)?;
        std::thread::spawn(move || log_trouble(&watched));
        Ok(Some(Self { daemon, service: full_name }))
    }

    /// Tells the network that the name is gone, waiting at most [`GOODBYE`] for each of two steps.
    pub fn withdraw(self) {
        let farewell = self.daemon.unregister(&self.service).map_err(refused);
        if let Ok(told) = farewell {
            // Whether or not it was heard in time, the process is about to end.
            let _ = told.recv_timeout(GOODBYE);
        }
        if let Ok(stopped) = self.daemon.shutdown() {
            let _ = stopped.recv_timeout(GOODBYE);
        }
    }
}

fn service(host: &str, port: u16, names: &Names) -> Result<ServiceInfo, TlsError> {
    let instance = host.split('.').next().unwrap_or("underlamp");
    let addresses: Vec<IpAddr> = names.addresses().to_vec();
    let properties: &[(&str, &str)] = &[("path", "/")];
    ServiceInfo::new(SERVICE, instance, host, &addresses[..], port, properties)
        .map(ServiceInfo::enable_addr_auto)
        .map_err(refused)
}

fn refused(error: mdns_sd::Error) -> TlsError {
    TlsError::Announce(error.to_string())
}

/// Ends when the daemon does, since the daemon holds the other end.
fn log_trouble(events: &Receiver<DaemonEvent>) {
    while let Ok(event) = events.recv() {
        match event {
            DaemonEvent::NameChange(change) => tracing::warn!(
                name = %change.original,
                "another machine on this network already goes by this name: start one of the two \
                 with another --name"
            ),
            DaemonEvent::Error(reason) => {
                tracing::warn!(%reason, "the name could not be announced on part of this network");
            }
            // The rest reports success, and the list is open.
            _ => {}
        }
    }
}
