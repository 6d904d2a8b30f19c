//! A proxy between the browser and the server that fails as the air in a garage does.
//!
//! A dead proxy is offline for pages and for the service worker alike, which the browser's own network emulation is
//! not. Every connection carries one request: the server is asked to close after its answer, so that nothing of an
//! answer need be understood to know where it ends.

use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::runtime::Runtime;
use tokio::sync::watch;

/// What the proxy does with everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Weather {
    Pass,
    /// Nobody listens: connections are refused, and those that were open are cut.
    Refuse,
    /// Connections are taken and nothing ever comes back.
    Stall,
}

/// What the proxy does with one request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// The connection is cut after so many bytes of the request's body.
    CutBodyAfter(u64),
    /// The server gets the request, and its answer gets lost.
    DropAnswer,
}

/// A request as it came past.
#[derive(Debug, Clone, Default)]
pub struct Seen {
    pub method: String,
    pub path: String,
    /// The header `Upload-Offset`.
    pub upload_offset: Option<u64>,
    /// Bytes of the body that went on to the server.
    pub body: u64,
    /// The status that the server answered.
    pub status: Option<u16>,
}

struct Plan {
    method: &'static str,
    path: &'static str,
    fault: Fault,
}

struct Shared {
    upstream: u16,
    plans: Mutex<Vec<Plan>>,
    seen: Mutex<Vec<Seen>>,
}

pub struct Proxy {
    runtime: Runtime,
    port: u16,
    shared: Arc<Shared>,
    weather: watch::Sender<Weather>,
    listening: watch::Receiver<bool>,
}

impl Proxy {
    /// Listens on a free port and passes everything on to `upstream`.
    pub fn start(upstream: u16) -> Proxy {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
        let listener = runtime.block_on(TcpListener::bind(("127.0.0.1", 0))).unwrap();
        let port = listener.local_addr().unwrap().port();
        let shared = Arc::new(Shared { upstream, plans: Mutex::default(), seen: Mutex::default() });
        let (weather, changes) = watch::channel(Weather::Pass);
        let (open, listening) = watch::channel(true);
        runtime.spawn(listen(listener, shared.clone(), changes, open));
        Proxy { runtime, port, shared, weather, listening }
    }

    pub fn port(&self) -> u16 {
        self.port
    }

    pub fn pass(&self) {
        self.turn(Weather::Pass);
    }

    pub fn refuse(&self) {
        self.turn(Weather::Refuse);
    }

    pub fn stall(&self) {
        self.turn(Weather::Stall);
    }

    fn turn(&self, to: Weather) {
        self.weather.send(to).unwrap();
        let mut listening = self.listening.clone();
        let settled = listening.wait_for(|open| *open == (to != Weather::Refuse));
        self.runtime.block_on(async { settled.await.map(drop) }).unwrap();
    }

    /// The next request with this method whose path begins so meets this fault.
    pub fn once(&self, method: &'static str, path: &'static str, fault: Fault) {
        self.shared.plans.lock().unwrap().push(Plan { method, path, fault });
    }

    /// The requests with this method whose path begins so, in order.
    pub fn seen(&self, method: &str, path: &str) -> Vec<Seen> {
        let seen = self.shared.seen.lock().unwrap();
        seen.iter().filter(|one| one.method == method && one.path.starts_with(path)).cloned().collect()
    }
}

async fn listen(
    listener: TcpListener,
    shared: Arc<Shared>,
    mut weather: watch::Receiver<Weather>,
    open: watch::Sender<bool>,
) {
    let port = listener.local_addr().unwrap().port();
    let mut listener = Some(listener);
    loop {
        let now = *weather.borrow_and_update();
        if now == Weather::Refuse {
            listener = None;
            let _ = open.send(false);
            if weather.changed().await.is_err() {
                return;
            }
            continue;
        }
        let here = match &listener {
            Some(here) => here,
            None => listener.insert(bind_again(port).await),
        };
        let _ = open.send(true);
        tokio::select! {
            taken = here.accept() => {
                let Ok((client, _)) = taken else { continue };
                tokio::spawn(attend(client, shared.clone(), weather.clone()));
            }
            changed = weather.changed() => if changed.is_err() { return },
        }
    }
}

/// Another program may hold the port for a moment, as the near end of a connection of its own.
async fn bind_again(port: u16) -> TcpListener {
    for _ in 0..100 {
        if let Ok(listener) = TcpListener::bind(("127.0.0.1", port)).await {
            return listener;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("port {port} was taken by another program meanwhile");
}

/// One connection, until it is done or nobody listens any more.
async fn attend(client: TcpStream, shared: Arc<Shared>, mut weather: watch::Receiver<Weather>) {
    let stalled = *weather.borrow_and_update() == Weather::Stall;
    let carried = async {
        if stalled {
            std::future::pending::<()>().await;
        }
        // A side that goes away in the middle is what this proxy is for.
        let _ = carry(client, &shared).await;
    };
    let cut = async {
        let over = |now: &Weather| *now == Weather::Refuse || (stalled && *now == Weather::Pass);
        let _ = weather.wait_for(over).await;
    };
    tokio::select! { () = carried => {}, () = cut => {} }
}

async fn carry(mut client: TcpStream, shared: &Shared) -> std::io::Result<()> {
    let Some((head, rest)) = read_head(&mut client).await? else { return Ok(()) };
    let mut request = Request::read(&head);
    let number = {
        let mut seen = shared.seen.lock().unwrap();
        seen.push(request.seen.clone());
        seen.len() - 1
    };
    let note = |what: &dyn Fn(&mut Seen)| what(&mut shared.seen.lock().unwrap()[number]);
    let fault = take_plan(shared, &request.seen);
    let mut server = TcpStream::connect(("127.0.0.1", shared.upstream)).await?;
    server.write_all(request.head.as_bytes()).await?;

    let mut piece = rest;
    while request.length > 0 {
        if piece.is_empty() {
            piece = read_some(&mut client).await?;
            if piece.is_empty() {
                return Ok(());
            }
        }
        if let Some(Fault::CutBodyAfter(most)) = fault {
            let room = most.saturating_sub(request.seen.body);
            piece.truncate(usize::try_from(room).unwrap());
        }
        server.write_all(&piece).await?;
        request.seen.body += piece.len() as u64;
        request.length -= piece.len() as u64;
        note(&|seen| seen.body = request.seen.body);
        if matches!(fault, Some(Fault::CutBodyAfter(most)) if request.seen.body >= most) {
            return Ok(());
        }
        piece.clear();
    }
    let mut first = true;
    loop {
        let piece = read_some(&mut server).await?;
        if piece.is_empty() {
            return client.shutdown().await;
        }
        if first {
            let status = String::from_utf8_lossy(&piece).split(' ').nth(1).and_then(|code| code.parse().ok());
            note(&|seen| seen.status = status);
            first = false;
        }
        if fault != Some(Fault::DropAnswer) {
            client.write_all(&piece).await?;
        }
    }
}

fn take_plan(shared: &Shared, seen: &Seen) -> Option<Fault> {
    let mut plans = shared.plans.lock().unwrap();
    let at = plans.iter().position(|plan| plan.method == seen.method && seen.path.starts_with(plan.path))?;
    Some(plans.remove(at).fault)
}

/// The head of a request, and what of its body came along with it.
async fn read_head(client: &mut TcpStream) -> std::io::Result<Option<(String, Vec<u8>)>> {
    const END: &[u8] = b"\r\n\r\n";
    let mut read = Vec::new();
    loop {
        let piece = read_some(client).await?;
        if piece.is_empty() {
            return Ok(None);
        }
        read.extend(piece);
        if let Some(at) = read.windows(END.len()).position(|window| window == END) {
            let rest = read.split_off(at + END.len());
            return Ok(Some((String::from_utf8_lossy(&read).into_owned(), rest)));
        }
    }
}

async fn read_some(from: &mut TcpStream) -> std::io::Result<Vec<u8>> {
    let mut piece = vec![0; 16 * 1024];
    let count = from.read(&mut piece).await?;
    piece.truncate(count);
    Ok(piece)
}

struct Request {
    /// As it goes on to the server.
    head: String,
    length: u64,
    seen: Seen,
}

impl Request {
    fn read(head: &str) -> Request {
        let mut lines = head.trim_end().lines();
        let first = lines.next().unwrap_or_default();
        let mut words = first.split(' ').map(str::to_owned);
        let (method, path) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
        let mut request =
            Request { head: format!("{first}\r\n"), length: 0, seen: Seen { method, path, ..Seen::default() } };
        for line in lines {
            let (name, value) = line.split_once(':').unwrap_or((line, ""));
            match name.to_ascii_lowercase().as_str() {
                "connection" => continue,
                "content-length" => request.length = value.trim().parse().unwrap(),
                "upload-offset" => request.seen.upload_offset = value.trim().parse().ok(),
                _ => {}
            }
            request.head.push_str(line);
            request.head.push_str("\r\n");
        }
        request.head.push_str("connection: close\r\n\r\n");
        request
    }
}
