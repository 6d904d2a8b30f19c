//! Certificates, checked against OpenSSL: a reader of X.509 that is not ours.
//!
//! Sources: RFC 5280 (fields, name constraints), Apple support article 103769 (825 days; from
//! memory, CA/Browser Forum baseline: 398 days for public certificates), RFC 6762 (`.local`).

use std::fs;
use std::net::IpAddr;
use std::path::Path;
use std::process::{Command, Output};

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use jiff::{SignedDuration, Timestamp};
use rcgen::{CertificateParams, Issuer, KeyPair};
use rustls::pki_types::PrivateKeyDer;
use rustls::pki_types::pem::PemObject;
use tempfile::TempDir;
use tokio::sync::watch;
use tower::ServiceExt;
use underlamp::tls::guide::{Device, Probes, Trust};
use underlamp::tls::plain::{Plain, router};
use underlamp::tls::{
    Address, Authority, Certificates, Host, HostName, Leaf, Limits, Names, Reason, TlsError, rustls_config,
};

const DAY: SignedDuration = SignedDuration::from_hours(24);

/// A fixed clock, in a year when no certificate of today is valid.
fn start() -> Timestamp {
    "2031-05-01T12:00:00Z".parse().expect("a time")
}

fn host(text: &str) -> Host {
    Host::parse(text).expect("a host")
}

fn addresses(list: &[&str]) -> Vec<IpAddr> {
    list.iter().map(|text| text.parse().expect("an address")).collect()
}

fn names_at(list: &[&str]) -> Names {
    Names::assemble(host("underlamp.local"), Some("garage"), None, addresses(list))
}

fn names() -> Names {
    names_at(&["192.168.1.20", "fd12:3456::20"])
}

struct Garage {
    dir: TempDir,
}

impl Garage {
    fn new() -> Self {
        Self { dir: TempDir::new().expect("a folder") }
    }

    fn path(&self) -> &Path {
        self.dir.path()
    }

    fn authority(&self, now: Timestamp) -> Result<Authority, TlsError> {
        Authority::open_or_create(self.path(), &host("underlamp.local"), now)
    }

    fn write(&self, file: &str, text: &str) -> std::path::PathBuf {
        let path = self.path().join(file);
        fs::write(&path, text).expect("writing");
        path
    }

    /// `openssl verify` for a server certificate, as of `at`.
    fn verify(&self, authority: &Authority, leaf_pem: &str, at: Timestamp) -> Output {
        let trusted = self.write("trusted.pem", &authority.certificate_pem());
        let shown = self.write("shown.pem", leaf_pem);
        Command::new("openssl")
            .args(["verify", "-x509_strict", "-purpose", "sslserver", "-attime"])
            .arg(at.as_second().to_string())
            .arg("-CAfile")
            .args([trusted, shown])
            .output()
            .expect("openssl runs")
    }

    fn openssl_text(&self, pem: &str) -> String {
        let path = self.write("asked.pem", pem);
        let output = Command::new("openssl")
            .args(["x509", "-noout", "-text", "-nameopt", "RFC2253", "-in"])
            .arg(path)
            .output()
            .expect("openssl runs");
        String::from_utf8(output.stdout).expect("text")
    }
}

fn said(output: &Output) -> String {
    let text = [&output.stdout[..], &output.stderr[..]].concat();
    String::from_utf8_lossy(&text).into_owned()
}

fn sentence<T>(outcome: Result<T, TlsError>) -> String {
    match outcome {
        Ok(_) => panic!("it should have been refused"),
        Err(error) => error.to_string(),
    }
}

#[test]
fn openssl_accepts_the_chain_for_every_name_and_address() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let leaf = Leaf::issue(&authority, &names(), start()).expect("a leaf");
    let verdict = garage.verify(&authority, &leaf.certificate_pem(), start());
    assert!(verdict.status.success(), "{}", said(&verdict));

    let shown = garage.write("shown.pem", &leaf.certificate_pem());
    for (flag, value) in [
        ("-checkhost", "underlamp.local"),
        ("-checkhost", "garage.local"),
        ("-checkhost", "localhost"),
        ("-checkip", "192.168.1.20"),
        ("-checkip", "127.0.0.1"),
        ("-checkip", "fd12:3456::20"),
    ] {
        let output = Command::new("openssl")
            .args(["x509", "-noout", flag, value, "-in"])
            .arg(&shown)
            .output()
            .expect("openssl runs");
        assert!(said(&output).contains("does match"), "{value}: {}", said(&output));
    }
}

#[test]
fn the_leaf_lives_at_most_397_days_and_starts_a_day_early() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let leaf = Leaf::issue(&authority, &names(), start()).expect("a leaf");
    assert_eq!(leaf.not_before(), start() - DAY);
    assert!(leaf.not_after().duration_since(leaf.not_before()) <= DAY * 397);

    let day_early = start() - DAY + SignedDuration::from_secs(1);
    assert!(garage.verify(&authority, &leaf.certificate_pem(), day_early).status.success());
    let too_late = start() + DAY * 397;
    let verdict = garage.verify(&authority, &leaf.certificate_pem(), too_late);
    assert!(said(&verdict).contains("certificate has expired"), "{}", said(&verdict));
}

#[test]
fn openssl_reads_in_the_leaf_what_browsers_ask_for() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let leaf = Leaf::issue(&authority, &names(), start()).expect("a leaf");
    let text = garage.openssl_text(&leaf.certificate_pem());
    for expected in [
        "DNS:underlamp.local, DNS:garage.local, DNS:localhost",
        "IP Address:127.0.0.1, IP Address:192.168.1.20, IP Address:FD12:3456:0:0:0:0:0:20",
        "TLS Web Server Authentication",
        "CA:FALSE",
        "Digital Signature",
        "ecdsa-with-SHA256",
        "Not Before: Apr 30 12:00:00 2031 GMT",
        "Not After : May 30 12:00:00 2032 GMT",
    ] {
        assert!(text.contains(expected), "{expected} not in\n{text}");
    }
}

#[test]
fn openssl_reads_the_fence_in_the_authority() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let text = garage.openssl_text(&authority.certificate_pem());
    for expected in [
        "CA:TRUE, pathlen:0",
        "X509v3 Key Usage: critical\n                Certificate Sign\n",
        "X509v3 Name Constraints: critical",
        "DNS:local\n",
        "DNS:lan\n",
        "DNS:home.arpa\n",
        "DNS:localhost\n",
        "DNS:internal\n",
        "IP:10.0.0.0/255.0.0.0",
        "IP:172.16.0.0/255.240.0.0",
        "IP:192.168.0.0/255.255.0.0",
        "IP:100.64.0.0/255.192.0.0",
        "IP:169.254.0.0/255.255.0.0",
        "IP:127.0.0.0/255.0.0.0",
        "IP:FC00:0:0:0:0:0:0:0/FE00:0:0:0:0:0:0:0",
        "IP:FE80:0:0:0:0:0:0:0/FFC0:0:0:0:0:0:0:0",
        "IP:0:0:0:0:0:0:0:1/FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF:FFFF",
        "Not Before: Apr 30 12:00:00 2031 GMT",
        "Not After : Apr 29 12:00:00 2041 GMT",
    ] {
        assert!(text.contains(expected), "{expected} not in\n{text}");
    }
    assert!(text.contains(&format!("Subject: CN={}", authority.name())), "{text}");
}

#[test]
fn openssl_and_we_compute_the_same_fingerprint() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let path = garage.write("asked.pem", &authority.certificate_pem());
    let output = Command::new("openssl")
        .args(["x509", "-noout", "-fingerprint", "-sha256", "-in"])
        .arg(path)
        .output()
        .expect("openssl runs");
    let expected = said(&output).trim().rsplit_once('=').expect("a fingerprint").1.to_owned();
    assert_eq!(authority.fingerprint().to_string(), expected);
    assert_eq!(authority.fingerprint().groups().concat(), expected.replace(':', ""));
}

/// What a thief of the key could do: sign for a bank. Every one must be turned away.
#[test]
fn openssl_rejects_a_leaf_outside_the_fence() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    for outside in ["bank.example", "local.example", "notlocal", "203.0.113.7", "172.32.0.1", "2001:db8::1"] {
        let forged = forged_leaf(&garage, &authority, outside);
        let verdict = garage.verify(&authority, &forged, start());
        assert!(!verdict.status.success(), "{outside} was accepted");
        assert!(said(&verdict).contains("permitted subtree violation"), "{outside}: {}", said(&verdict));
    }
    for inside in ["anything.lan", "10.1.2.3"] {
        let honest = forged_leaf(&garage, &authority, inside);
        let verdict = garage.verify(&authority, &honest, start());
        assert!(verdict.status.success(), "{inside}: {}", said(&verdict));
    }
}

fn forged_leaf(garage: &Garage, authority: &Authority, name: &str) -> String {
    let secret = fs::read(garage.path().join("authority.secret.pem")).expect("the stolen file");
    let stolen = PrivateKeyDer::from_pem_slice(&secret).expect("its key");
    let stolen = KeyPair::try_from(&stolen).expect("its key");
    let issuer = Issuer::from_ca_cert_pem(&authority.certificate_pem(), stolen).expect("an issuer");
    let mut params = CertificateParams::new(vec![name.to_owned()]).expect("a name");
    params.use_authority_key_identifier_extension = true;
    let key = KeyPair::generate().expect("a key");
    params.signed_by(&key, &issuer).expect("a forgery").pem()
}

#[cfg(unix)]
#[test]
fn files_with_keys_are_for_their_owner_only() {
    use std::os::unix::fs::PermissionsExt;
    let garage = Garage::new();
    let dir = garage.path().join("tls");
    Certificates::own(&dir, &names(), start()).expect("certificates");
    let mode = |path: &Path| fs::metadata(path).expect("it is there").permissions().mode() & 0o777;
    assert_eq!(mode(&dir), 0o700);
    let mut seen = Vec::new();
    for entry in fs::read_dir(&dir).expect("a folder") {
        let path = entry.expect("an entry").path();
        assert_eq!(mode(&path), 0o600, "{}", path.display());
        seen.push(path.file_name().expect("a name").to_string_lossy().into_owned());
    }
    seen.sort();
    assert_eq!(seen, ["authority.secret.pem", "certificate.secret.pem"]);
}

#[cfg(unix)]
#[test]
fn a_leftover_that_others_can_read_never_receives_a_key() {
    use std::os::unix::fs::PermissionsExt;
    let garage = Garage::new();
    let leftover = garage.write("authority.secret.new", "half a file");
    fs::set_permissions(&leftover, fs::Permissions::from_mode(0o644)).expect("permissions");
    garage.authority(start()).expect("an authority");
    let mode = fs::metadata(garage.path().join("authority.secret.pem")).expect("it is there").permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

#[test]
fn the_authority_outlives_restarts_while_leaves_come_and_go() {
    let garage = Garage::new();
    let open = |names: &Names, now| Certificates::own(garage.path(), names, now).expect("certificates");
    let first = open(&names(), start());
    let again = open(&names(), start() + DAY);
    assert_eq!(first.leaf().chain(), again.leaf().chain(), "nothing changed, so nothing is made");

    let moved = open(&names_at(&["192.168.1.33"]), start() + DAY * 2);
    assert_ne!(moved.leaf().chain(), again.leaf().chain());
    assert!(moved.leaf().covers(&host("192.168.1.33")));

    let late = open(&names_at(&["192.168.1.33"]), start() + DAY * 370);
    assert_ne!(late.leaf().chain(), moved.leaf().chain());

    let prints: Vec<_> = [&first, &again, &moved, &late]
        .map(|certificates| certificates.authority().expect("our own").fingerprint())
        .into();
    assert!(prints.windows(2).all(|pair| pair[0] == pair[1]), "phones would have to trust again");
    let authority = late.authority().expect("our own");
    let now = start() + DAY * 370;
    let verdict = garage.verify(authority, &late.leaf().certificate_pem(), now);
    assert!(verdict.status.success(), "{}", said(&verdict));
}

#[test]
fn a_running_server_learns_of_a_new_address_and_of_the_end() {
    let garage = Garage::new();
    let mut certificates = Certificates::own(garage.path(), &names(), start()).expect("certificates");
    let mut refresh = |names: &Names, days| certificates.refresh(names, start() + DAY * days).expect("no trouble");
    assert_eq!(refresh(&names(), 1), None);
    assert_eq!(refresh(&names_at(&["192.168.1.20"]), 1), None, "an address that went away may return");
    let new = "10.0.0.5".parse().expect("an address");
    assert_eq!(refresh(&names_at(&["10.0.0.5"]), 1), Some(Reason::AddressAdded(new)));
    assert_eq!(refresh(&names_at(&["10.0.0.5"]), 1 + 364), None);
    assert_eq!(refresh(&names_at(&["10.0.0.5"]), 1 + 366), Some(Reason::NearEnd));
}

#[test]
fn a_leaf_is_replaced_when_name_clock_or_authority_changed() {
    let garage = Garage::new();
    let other_garage = Garage::new();
    let authority = garage.authority(start() - DAY * 90).expect("an authority");
    let other = other_garage.authority(start() - DAY * 90).expect("an authority");
    let leaf = Leaf::issue(&authority, &names(), start()).expect("a leaf");
    let due = |authority: &Authority, names: &Names, now| leaf.needs_renewal(authority, names, now);
    assert_eq!(due(&authority, &names(), start()), None);
    assert_eq!(due(&other, &names(), start()), Some(Reason::OtherAuthority));
    assert_eq!(due(&authority, &names(), start() - DAY * 60), Some(Reason::NotYetValid));
    let renamed = Names::assemble(host("underlamp.local"), Some("barn.lan"), None, []);
    let barn = HostName::parse("barn.lan").expect("a name");
    assert_eq!(due(&authority, &renamed, start()), Some(Reason::NameAdded(barn)));
}

#[test]
fn a_damaged_leaf_is_made_anew() {
    let garage = Garage::new();
    let first = Certificates::own(garage.path(), &names(), start()).expect("certificates");
    garage.write("certificate.secret.pem", "-----BEGIN CERTIFICATE-----\nnonsense");
    let second = Certificates::own(garage.path(), &names(), start()).expect("certificates");
    assert_ne!(first.leaf().chain(), second.leaf().chain());
}

#[test]
fn a_damaged_authority_is_reported_and_left_alone() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let path = garage.path().join("authority.secret.pem");
    let whole = fs::read_to_string(&path).expect("text");
    let other_garage = Garage::new();
    other_garage.authority(start()).expect("an authority");
    let other = fs::read_to_string(other_garage.path().join("authority.secret.pem")).expect("text");
    let key_of = |text: &str| text[text.find("-----BEGIN PRIVATE").expect("a key")..].to_owned();
    let leaf = Leaf::issue(&authority, &names(), start()).expect("a leaf");

    let damaged = [
        String::new(),
        whole[..whole.len() / 2].to_owned(),
        authority.certificate_pem(),
        authority.certificate_pem() + &key_of(&other),
        leaf.certificate_pem() + &key_of(&whole),
        whole.replacen("MII", "AII", 1),
        "\u{0}\u{1}\u{2}".to_owned(),
    ];
    for text in damaged {
        fs::write(&path, &text).expect("writing");
        let told = sentence(garage.authority(start()));
        assert!(told.contains("is damaged (") && told.contains("backup"), "{told}");
        assert_eq!(fs::read_to_string(&path).expect("text"), text, "it was overwritten");
    }
    fs::write(&path, whole).expect("writing");
    assert_eq!(garage.authority(start()).expect("whole again").fingerprint(), authority.fingerprint());
}

#[test]
fn an_authority_and_a_clock_that_disagree_are_told_apart() {
    let garage = Garage::new();
    garage.authority(start()).expect("an authority");
    let behind = sentence(garage.authority(start() - DAY * 400));
    assert!(behind.contains("clock says 2030-03-27"), "{behind}");
    let ended = sentence(garage.authority(start() + DAY * 3660));
    assert!(ended.contains("ended on 2041-04-29"), "{ended}");
}

#[test]
fn a_leaf_never_outlives_its_authority_nor_is_renewed_in_vain() {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let now = start() + DAY * 3640;
    let leaf = Leaf::issue(&authority, &names(), now).expect("a leaf");
    assert_eq!(leaf.not_after(), authority.not_after());
    assert_eq!(leaf.needs_renewal(&authority, &names(), now), None);
}

#[test]
fn a_name_of_ones_own_is_fenced_in_at_the_first_start_only() {
    let garage = Garage::new();
    let lamp = host("lamp.example.org");
    let authority = Authority::open_or_create(garage.path(), &lamp, start()).expect("an authority");
    let names = Names::assemble(lamp, None, None, []);
    let leaf = Leaf::issue(&authority, &names, start()).expect("a leaf");
    let verdict = garage.verify(&authority, &leaf.certificate_pem(), start());
    assert!(verdict.status.success(), "{}", said(&verdict));

    let told = sentence(Authority::open_or_create(garage.path(), &host("other.example.org"), start()));
    assert!(told.contains("may not speak for 'other.example.org'"), "{told}");
}

#[test]
fn home_names_and_addresses_are_told_from_the_open_internet() {
    let home = Limits::home();
    let name = |text| home.permit_name(&HostName::parse(text).expect("a name"));
    assert!(name("underlamp.local") && name("a.b.home.arpa") && name("localhost"));
    assert!(!name("example.org") && !name("notlocal") && !name("local.example"));
    let address = |text: &str| home.permit_address(text.parse().expect("an address"));
    assert!(address("172.31.255.255") && address("100.127.0.1") && address("fe80::1"));
    assert!(!address("172.32.0.0") && !address("100.128.0.1") && !address("2001:db8::1") && !address("::2"));
}

#[test]
fn nonsense_names_get_a_reason() {
    for (text, reason) in [
        ("", "empty"),
        ("garage", "needs an ending"),
        ("two words.local", "only letters"),
        ("grün.local", "only letters"),
        ("a..local", "two dots"),
        ("-a.local", "hyphen"),
        ("10.0.0", "a number"),
        ("203.0.113.7", "open internet"),
        (&format!("{}.local", "a".repeat(64)), "63"),
        (&"a.".repeat(130), "253"),
    ] {
        let told = sentence(Host::parse(text));
        assert!(told.contains(reason), "{text}: {told}");
    }
    assert_eq!(host(" Underlamp.Local. ").to_string(), "underlamp.local");
    assert_eq!(host("[fd12::1]").to_string(), "[fd12::1]");
}

#[test]
fn addresses_of_the_open_internet_stay_out_and_the_likeliest_comes_first() {
    let found = addresses(&["172.17.0.1", "203.0.113.7", "10.0.0.9", "192.168.1.20", "127.0.0.1", "192.168.1.20"]);
    let plain = Names::assemble(host("underlamp.local"), None, None, found.clone());
    assert_eq!(plain.addresses(), addresses(&["192.168.1.20", "10.0.0.9", "172.17.0.1"]));
    let outward = Some("10.0.0.9".parse().expect("an address"));
    let known = Names::assemble(host("underlamp.local"), None, outward, found);
    assert_eq!(known.addresses(), addresses(&["10.0.0.9", "192.168.1.20", "172.17.0.1"]));
    for odd in ["", "localhost", "wörkshop", "a b"] {
        let names = Names::assemble(host("underlamp.local"), Some(odd), None, []);
        assert_eq!(names.others().count(), 0, "{odd}");
    }
}

#[test]
fn this_machine_can_be_looked_at() {
    let names = Names::discover(host("underlamp.local"));
    assert!(names.addresses().iter().all(|address| !address.is_loopback()));
}

#[test]
fn the_address_is_settled_once() {
    let garage = Garage::new();
    let settle = |name, port| Address::settle(garage.path(), name, port);
    assert_eq!(settle(None, None).expect("the default").origin(), "https://underlamp.local:8443");
    assert_eq!(settle(Some("underlamp.local"), Some(8443)).expect("the same").port, 8443);
    let told = sentence(settle(Some("garage.lan"), None));
    assert!(told.contains("know this Underlamp as underlamp.local:8443"), "{told}");
    assert!(told.contains("garage.lan:8443"), "{told}");
    assert!(sentence(settle(None, Some(9000))).contains("stranded"));
    garage.write("address.txt", "what?");
    assert!(sentence(settle(None, None)).contains("cannot be read"));

    let fixed = Garage::new();
    let address = Address::settle(fixed.path(), Some("192.168.1.20"), Some(443)).expect("a number");
    assert_eq!(address.origin(), "https://192.168.1.20");
    assert_eq!(Address::settle(fixed.path(), None, None).expect("kept"), address);
}

/// A pair made by OpenSSL, valid now, for the rules about the owner's own certificate.
fn brought(garage: &Garage, stem: &str, extra: &[&str]) -> [std::path::PathBuf; 2] {
    let paths = [garage.path().join(format!("{stem}.crt")), garage.path().join(format!("{stem}.key"))];
    let output = Command::new("openssl")
        .args(["req", "-x509", "-newkey", "rsa:2048", "-days", "30", "-subj", "/CN=lamp"])
        .args(["-addext", "subjectAltName=DNS:lamp.example.org,DNS:*.garage.example.org,IP:10.0.0.9"])
        .args(extra)
        .arg("-out")
        .arg(&paths[0])
        .arg("-keyout")
        .arg(&paths[1])
        .output()
        .expect("openssl runs");
    assert!(output.status.success(), "{}", said(&output));
    paths
}

#[test]
fn a_certificate_of_ones_own_is_taken_or_refused_with_a_sentence() {
    let garage = Garage::new();
    let [crt, key] = brought(&garage, "own", &["-nodes"]);
    let now = Timestamp::now();
    let [_, other_key] = brought(&garage, "other", &["-nodes"]);
    let [_, locked] = brought(&garage, "locked", &["-passout", "pass:secret"]);
    let take = |crt: &Path, key: &Path, now| Leaf::from_files(crt, key, now);

    let leaf = take(&crt, &key, now).expect("a good pair");
    rustls_config(&leaf).expect("it can be served");
    assert!(leaf.covers(&host("lamp.example.org")) && leaf.covers(&host("10.0.0.9")));
    assert!(leaf.covers(&host("a.garage.example.org")));
    assert!(!leaf.covers(&host("garage.example.org")) && !leaf.covers(&host("a.b.garage.example.org")));

    let nowhere = garage.path().join("nowhere.pem");
    let der = garage.path().join("own.der");
    fs::write(&der, &leaf.chain()[0]).expect("writing");
    let broken = garage.write("broken.crt", "-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n");
    for (outcome, words) in [
        (take(&crt, &other_key, now), "does not belong to the certificate"),
        (take(&crt, &locked, now), "locked with a passphrase"),
        (take(&nowhere, &key, now), "it is not there"),
        (take(&crt, &nowhere, now), "it is not there"),
        (take(garage.path(), &key, now), "it is a folder"),
        (take(&der, &key, now), "holds no certificate"),
        (take(&key, &key, now), "holds no certificate"),
        (take(&crt, &crt, now), "holds no private key"),
        (take(&broken, &key, now), "cannot be read"),
        (take(&crt, &key, now + DAY * 31), "ended on"),
        (take(&crt, &key, now - DAY * 2), "valid only from"),
    ] {
        let told = sentence(outcome);
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn a_renewed_certificate_of_ones_own_is_taken_up_and_a_broken_one_is_not() {
    let garage = Garage::new();
    let [crt, key] = brought(&garage, "own", &["-nodes"]);
    let now = Timestamp::now() + SignedDuration::from_secs(60);
    let mut certificates = Certificates::brought(&crt, &key, now).expect("a good pair");
    assert!(certificates.authority().is_none());
    assert_eq!(certificates.refresh(&names(), now).expect("no trouble"), None);
    brought(&garage, "own", &["-nodes"]);
    assert_eq!(certificates.refresh(&names(), now).expect("no trouble"), Some(Reason::FileChanged));
    let in_use = certificates.leaf().chain().to_vec();
    fs::write(&crt, "half").expect("writing");
    assert!(certificates.refresh(&names(), now).is_err());
    assert_eq!(certificates.leaf().chain(), in_use);
}

#[test]
fn the_server_offers_http_2_first() {
    let garage = Garage::new();
    let certificates = Certificates::own(garage.path(), &names(), start()).expect("certificates");
    let config = rustls_config(certificates.leaf()).expect("a configuration");
    assert_eq!(config.alpn_protocols, [b"h2".to_vec(), b"http/1.1".to_vec()]);
}

#[test]
fn the_guide_follows_the_device_unless_told() {
    let phone = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)";
    let droid = "Mozilla/5.0 (Linux; Android 14; K)";
    assert_eq!(Device::choose(None, phone), Device::Apple);
    assert_eq!(Device::choose(None, droid), Device::Android);
    assert_eq!(Device::choose(None, ""), Device::Computer);
    assert_eq!(Device::choose(Some("android"), phone), Device::Android);
    assert_eq!(Device::choose(Some("toaster"), phone), Device::Apple);
}

#[test]
fn the_page_asks_by_name_and_by_the_number_it_was_reached_at() {
    let address = Address { host: host("underlamp.local"), port: 8443 };
    let names = names_at(&["192.168.1.20", "10.0.0.9"]);
    let by_number = |reached: Option<&str>| {
        Probes::new(&address, &names, reached.map(|text| text.parse().expect("an address"))).by_number
    };
    assert_eq!(by_number(None).as_deref(), Some("https://192.168.1.20:8443"));
    assert_eq!(by_number(Some("10.0.0.9")).as_deref(), Some("https://10.0.0.9:8443"));
    assert_eq!(by_number(Some("203.0.113.7")).as_deref(), Some("https://192.168.1.20:8443"));
}

struct PlainSite {
    _garage: Garage,
    authority: Authority,
    _names: watch::Sender<Names>,
    plain: Plain,
}

fn plain_site() -> PlainSite {
    let garage = Garage::new();
    let authority = garage.authority(start()).expect("an authority");
    let (sender, names) = watch::channel(names());
    let plain = Plain {
        address: Address { host: host("underlamp.local"), port: 8443 },
        names,
        trust: Some(Trust::from(&authority)),
    };
    PlainSite { _garage: garage, authority, _names: sender, plain }
}

async fn ask(plain: &Plain, method: &str, path: &str) -> (StatusCode, axum::http::HeaderMap, Vec<u8>) {
    let request = Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, "192.168.1.20:8080")
        .header(header::COOKIE, "session=secret")
        .header(header::USER_AGENT, "Mozilla/5.0 (iPhone)")
        .body(Body::empty())
        .expect("a request");
    let response = router(plain.clone()).oneshot(request).await.expect("an answer");
    let (parts, body) = response.into_parts();
    let bytes = to_bytes(body, usize::MAX).await.expect("a body").to_vec();
    (parts.status, parts.headers, bytes)
}

#[tokio::test]
async fn the_plain_port_serves_the_certificate_as_phones_want_it() {
    let site = plain_site();
    let (status, headers, body) = ask(&site.plain, "GET", "/underlamp-authority.crt").await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(headers[header::CONTENT_TYPE], "application/x-x509-ca-cert");
    assert!(!headers.contains_key(header::CONTENT_DISPOSITION));
    assert_eq!(body, site.authority.certificate_der());
    let (_, _, pem) = ask(&site.plain, "GET", "/underlamp-authority.pem").await;
    assert_eq!(pem, site.authority.certificate_pem().into_bytes());
}

#[tokio::test]
async fn the_guide_shows_fingerprint_name_and_both_probes() {
    let site = plain_site();
    let (status, headers, body) = ask(&site.plain, "GET", "/").await;
    let page = String::from_utf8(body).expect("text");
    assert_eq!(status, StatusCode::OK);
    for group in site.authority.fingerprint().groups() {
        assert!(page.contains(&group), "{group}");
    }
    for expected in [
        site.authority.name(),
        "Certificate Trust Settings",
        "data-canonical=\"https://underlamp.local:8443/healthz\"",
        "data-by-number=\"https://192.168.1.20:8443/healthz\"",
    ] {
        assert!(page.contains(expected), "{expected} not in\n{page}");
    }
    let policy = headers[header::CONTENT_SECURITY_POLICY].to_str().expect("text");
    assert!(policy.contains("connect-src 'self' https://underlamp.local:8443 https://192.168.1.20:8443;"));
    for device in ["android", "computer", "iphone", "a&for=b"] {
        assert_eq!(ask(&site.plain, "GET", &format!("/?for={device}")).await.0, StatusCode::OK);
    }
}

#[tokio::test]
async fn the_plain_port_does_nothing_else() {
    let site = plain_site();
    for (method, path) in [
        ("GET", "/jobs/7"),
        ("GET", "/authority.secret.pem"),
        ("GET", "/../authority.secret.pem"),
        ("GET", "/healthz"),
        ("POST", "/"),
        ("POST", "/sync"),
        ("DELETE", "/underlamp-authority.crt"),
    ] {
        let (status, headers, body) = ask(&site.plain, method, path).await;
        let page = String::from_utf8(body).expect("text");
        assert!(status.is_client_error(), "{method} {path}: {status}");
        assert!(page.contains("https://underlamp.local:8443"), "{method} {path}");
        assert!(!page.contains("PRIVATE") && !page.contains("secret"), "{method} {path}");
        for absent in [header::SET_COOKIE, header::LOCATION, header::STRICT_TRANSPORT_SECURITY] {
            assert!(!headers.contains_key(&absent), "{method} {path}: {absent}");
        }
        assert_eq!(headers[header::CACHE_CONTROL], "no-store");
    }
}

#[tokio::test]
async fn with_a_certificate_of_ones_own_there_is_nothing_to_trust() {
    let mut site = plain_site();
    site.plain.trust = None;
    let (status, _, body) = ask(&site.plain, "GET", "/").await;
    assert_eq!(status, StatusCode::OK);
    assert!(!String::from_utf8(body).expect("text").contains("Show me how"));
    assert_eq!(ask(&site.plain, "GET", "/underlamp-authority.crt").await.0, StatusCode::NOT_FOUND);
}
