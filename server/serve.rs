//! Starts the garage: opens its doors, says where they are, and closes them in order.

use crate::access::{Code, Tries, new_code};
use crate::app::{self, OwnerState, Site, SiteFacts, TrustFacts};
use crate::clock::Clock;
use crate::config::{DataFolder, Origin, Serve};
use crate::error::StartError;
use crate::garage::{Garage, hold};
use crate::say::say;
use crate::tls::guide::Trust;
use crate::tls::plain::{self, Plain};
use crate::tls::renewal::keep_renewed;
use crate::tls::{self, Address, Announcement, Certificates, Names};
use axum::Router;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};
use std::time::Duration;
use tokio::sync::watch;

/// The code printed at start stays good for a day: the phone may be in the house.
const START_CODE_DAYS: i64 = 1;
/// How long work in progress may take to finish when the garage closes.
const CLOSING: Duration = Duration::from_secs(10);

/// Opens the garage and serves it until it is told to stop.
pub async fn run(folder: &DataFolder, options: &Serve, demo: bool) -> Result<(), StartError> {
    let clock = Clock::system();
    let garage = Garage::open(folder, clock.clone()).await?;
    let handle = Handle::new();
    let tries = Tries::default();
    let lan = if options.only_here { None } else { Some(Lan::prepare(folder, options, &clock)?) };
    let desk_url = format!("http://localhost:{}", options.desk_port);
    let canonical = canonical(options, lan.as_ref(), &desk_url);
    let site = |secure, trust| Site::new(SiteFacts { canonical: canonical.clone(), secure, trust });
    let in_front_is_secure = options.address.as_ref().is_some_and(Origin::is_secure);
    let desk = garage.state(site(in_front_is_secure, lan.as_ref().and_then(Lan::trust_facts)), tries.clone());
    if demo {
        crate::demo::load_if_empty(&desk).await?;
    }

    let mut doors = Vec::new();
    doors.push(spawn_plain(bind_here(options.desk_port, "--desk-port")?, app::router(desk.clone()), &handle)?);
    let announcement = match lan {
        Some(lan) => {
            let secure = app::router(garage.state(site(true, lan.trust_facts()), tries));
            let announcement = lan.announce(options);
            doors.extend(lan.open(secure, options, &handle, &clock)?);
            announcement
        }
        None => None,
    };
    greet(&desk, &desk_url, options.only_here).await?;

    let keeper = tokio::spawn(garage.backups.clone().keep_making());
    close_when_told(handle.clone());
    for door in doors {
        let _ = door.await;
    }
    if let Some(announcement) = announcement {
        // Saying farewell waits for the network; it must not hold up the runtime.
        let _ = tokio::task::spawn_blocking(|| announcement.withdraw()).await;
    }
    // One that is half-way is made again after the next start; nothing that was kept before is touched by it.
    keeper.abort();
    garage.db.close().await;
    tracing::info!("the garage is closed");
    Ok(())
}

/// The one address of this garage: what was said, else that of the door for phones, else that of the desk.
fn canonical(options: &Serve, lan: Option<&Lan>, desk_url: &str) -> String {
    match (&options.address, lan) {
        (Some(said), _) => said.as_str().to_owned(),
        (None, Some(lan)) => lan.address.origin(),
        (None, None) => desk_url.to_owned(),
    }
}

type Door = tokio::task::JoinHandle<()>;

fn bind_here(port: u16, flag: &'static str) -> Result<TcpListener, StartError> {
    bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)), flag)
}

/// On every address of this machine, old and new kind; on the old kind alone where there is no new.
fn bind_everywhere(port: u16, flag: &'static str) -> Result<TcpListener, StartError> {
    let both = SocketAddr::from((Ipv6Addr::UNSPECIFIED, port));
    bind(both, flag).or_else(|cause| match cause {
        StartError::PortTaken { .. } => Err(cause),
        _ => bind(SocketAddr::from((Ipv4Addr::UNSPECIFIED, port)), flag),
    })
}

fn bind(address: SocketAddr, flag: &'static str) -> Result<TcpListener, StartError> {
    let port = address.port();
    let listener = TcpListener::bind(address).map_err(|cause| match cause.kind() {
        std::io::ErrorKind::AddrInUse => StartError::PortTaken { port, flag },
        _ => StartError::Said(format!("Port {port} cannot be opened: {cause}. Choose another with {flag}.")),
    })?;
    listener
        .set_nonblocking(true)
        .map_err(|cause| StartError::Said(format!("Port {port} cannot be used: {cause}.")))?;
    Ok(listener)
}

fn spawn_plain(listener: TcpListener, router: Router, handle: &Handle<SocketAddr>) -> Result<Door, StartError> {
    let server = axum_server::from_tcp(listener)
        .map_err(|cause| StartError::Said(format!("The door cannot be opened: {cause}.")))?
        .handle(handle.clone());
    Ok(tokio::spawn(async move {
        if let Err(cause) = server.serve(router.into_make_service()).await {
            tracing::error!(%cause, "a door failed");
        }
    }))
}

fn close_when_told(handle: Handle<SocketAddr>) {
    tokio::spawn(async move {
        told_to_stop().await;
        tracing::info!("closing: work in progress is finished first");
        handle.graceful_shutdown(Some(CLOSING));
    });
}

async fn told_to_stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! { _ = interrupt => {}, _ = terminate.recv() => {} }
            return;
        }
    }
    let _ = interrupt.await;
}

/// The doors for phones.
struct Lan {
    address: Address,
    names: Names,
    certificates: Certificates,
    guide_url: String,
}

impl Lan {
    fn prepare(folder: &DataFolder, options: &Serve, clock: &Clock) -> Result<Lan, StartError> {
        tls::install_provider();
        let said = |cause: tls::TlsError| StartError::Tls(cause.to_string());
        let dir = folder.tls();
        let address = Address::settle(&dir, options.name.as_deref(), options.port).map_err(said)?;
        let names = Names::discover(address.host.clone());
        let now = clock.now().timestamp();
        let certificates = match (&options.cert, &options.key) {
            (Some(cert), Some(key)) => Certificates::brought(cert, key, now),
            _ => Certificates::own(&dir, &names, now),
        }
        .map_err(said)?;
        let host = names.addresses().first().map_or_else(
            || address.host.to_string(),
            |ip| match ip {
                std::net::IpAddr::V4(ip) => ip.to_string(),
                std::net::IpAddr::V6(ip) => format!("[{ip}]"),
            },
        );
        let guide_url = format!("http://{host}:{}/", options.guide_port);
        Ok(Lan { address, names, certificates, guide_url })
    }

    fn trust_facts(&self) -> Option<TrustFacts> {
        let authority = self.certificates.authority()?;
        Some(TrustFacts { url: self.guide_url.clone(), fingerprint: authority.fingerprint().groups() })
    }

    fn announce(&self, options: &Serve) -> Option<Announcement> {
        if options.no_announce {
            return None;
        }
        Announcement::start(&self.address, &self.names).unwrap_or_else(|cause| {
            tracing::warn!(%cause, "the name is not announced on this network; phones may need the address in figures");
            None
        })
    }

    /// HTTPS for phones, and the plain page that teaches them to trust it.
    fn open(
        self,
        secure: Router,
        options: &Serve,
        handle: &Handle<SocketAddr>,
        clock: &Clock,
    ) -> Result<Vec<Door>, StartError> {
        let config =
            tls::rustls_config(self.certificates.leaf()).map_err(|cause| StartError::Tls(cause.to_string()))?;
        let config = RustlsConfig::from_config(config);
        let (names, names_now) = watch::channel(self.names.clone());
        let trust = self.certificates.authority().map(Trust::from);
        let plain = Plain { address: self.address.clone(), names: names_now, trust };

        let listener = bind_everywhere(self.address.port, "--port")?;
        let guide = bind_everywhere(options.guide_port, "--guide-port")?;
        let server = axum_server::from_tcp_rustls(listener, config.clone())
            .map_err(|cause| StartError::Said(format!("The door for phones cannot be opened: {cause}.")))?
            .handle(handle.clone());
        let phones = tokio::spawn(async move {
            if let Err(cause) = server.serve(secure.into_make_service()).await {
                tracing::error!(%cause, "the door for phones failed");
            }
        });
        let clock = clock.clone();
        let renewal = keep_renewed(self.certificates, config, names, move || clock.now().timestamp());
        tokio::spawn(renewal);
        Ok(vec![phones, spawn_plain(guide, plain::router(plain), handle)?])
    }
}

/// Says where the doors are and how to come in.
async fn greet(state: &OwnerState, desk_url: &str, only_here: bool) -> Result<(), StartError> {
    let code = new_code(&state.write, &state.clock, state.clock.now().plus_days(START_CODE_DAYS)).await?;
    say("");
    say("  Underlamp is lit.");
    say("");
    say(format_args!("  At this desk   {desk_url}"));
    if only_here && state.site.canonical != desk_url {
        say(format_args!("  In browsers    {}", state.site.canonical));
    }
    say(format_args!("  Pairing code   {}   (works once; ‘underlamp pair’ gives another)", code.shown()));
    if !only_here {
        greet_phones(&state.site, &code);
    }
    say("");
    say("  Stop with Ctrl-C. Everything entered is already on disk.");
    say("");
    Ok(())
}

/// Prints a fresh code for a garage that may be running in another process.
pub async fn print_code(folder: &DataFolder) -> Result<(), StartError> {
    let database = folder.database();
    if !database.exists() {
        return Err(StartError::Said(format!("There is no garage in {} yet.", folder.path().display())));
    }
    let clock = Clock::system();
    let db = match hold(folder) {
        Ok(_held) => crate::db::open(&database, &clock).await?,
        Err(_) => crate::db::open_beside(&database, &clock).await?,
    };
    let code = new_code(&db.write, &clock, clock.now().plus_days(START_CODE_DAYS)).await?;
    db.close().await;
    say(code.shown());
    Ok(())
}

fn greet_phones(site: &Site, code: &Code) {
    let pair = crate::access::routes::pairing_url(site, code);
    if let Some(trust) = &site.trust {
        say("");
        say(format_args!("  A phone, the first time: scan this and follow the pictures ({}).", trust.url));
        print_qr(&trust.url);
        say("  The phone must show this fingerprint:");
        for line in trust.fingerprint.chunks(8) {
            say(format_args!("    {}", line.join(" ")));
        }
    }
    say("");
    say(format_args!("  Then, or once it trusts this garage: scan this to pair it ({pair})."));
    print_qr(&pair);
}

fn print_qr(text: &str) {
    let Ok(code) = qrcode::QrCode::new(text.as_bytes()) else { return };
    let picture = code
        .render::<qrcode::render::unicode::Dense1x2>()
        .dark_color(qrcode::render::unicode::Dense1x2::Light)
        .light_color(qrcode::render::unicode::Dense1x2::Dark)
        .build();
    for line in picture.lines() {
        say(format_args!("    {line}"));
    }
}
