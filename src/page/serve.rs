//! Listening, and the lives of connections.

use std::io;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

use crate::answers::serving::Serving;
use crate::page::gate::{Gate, answer};

/// Connections at once; whoever comes later waits outside.
const MOST_CONNECTIONS: usize = 64;

/// How long a header may take, and how long a connection may idle.
const HEADER: Duration = Duration::from_secs(5);

/// Most bytes of a header.
const MOST_HEADER: usize = 16 << 10;

/// How long a connection may live: a reader that takes nothing holds no place for ever.
const LIFE: Duration = Duration::from_secs(120);

/// Ledgers open at once: one a thread.
const LEDGERS: usize = 4;

/// Serves until it is stopped, and calls back with its addresses once it listens.
///
/// # Errors
/// Where the port is taken or may not be used.
pub fn serve(serving: Serving, ready: &dyn Fn(&[String])) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .max_blocking_threads(LEDGERS)
        .thread_stack_size(1 << 20)
        .build()?;
    runtime.block_on(async {
        let (listeners, port) = listen(serving.lan, serving.port).await?;
        let hosts = addresses(serving.lan, port);
        let gate = Arc::new(Gate::new(serving, &hosts));
        ready(&hosts);
        let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
        let mut doors = Vec::new();
        for listener in listeners {
            doors.push(tokio::spawn(let_in(listener, gate.clone(), places.clone())));
        }
        for door in doors {
            door.await.map_err(io::Error::other)?;
        }
        Ok(())
    })
}

async fn listen(lan: bool, port: u16) -> io::Result<(Vec<TcpListener>, u16)> {
    let (v4, v6) = match lan {
        true => (Ipv4Addr::UNSPECIFIED, Ipv6Addr::UNSPECIFIED),
        false => (Ipv4Addr::LOCALHOST, Ipv6Addr::LOCALHOST),
    };
    let first = TcpListener::bind(SocketAddr::from((v4, port))).await?;
    let port = first.local_addr()?.port();
    // No IPv6 socket where the machine has no IPv6, or where that port serves both already.
    let second = TcpListener::bind(SocketAddr::from((v6, port))).await.ok();
    Ok(([Some(first), second].into_iter().flatten().collect(), port))
}

/// The names under which this machine is asked, those a phone can reach first.
fn addresses(lan: bool, port: u16) -> Vec<String> {
    let mut names = Vec::new();
    if lan {
        let mut found: Vec<IpAddr> =
            if_addrs::get_if_addrs().unwrap_or_default().iter().map(if_addrs::Interface::ip).collect();
        found.retain(|ip| !ip.is_loopback() && !matches!(ip, IpAddr::V6(v6) if v6.is_unicast_link_local()));
        found.sort_by_key(IpAddr::is_ipv6);
        names.extend(found.into_iter().map(|ip| match ip {
            IpAddr::V4(ip) => ip.to_string(),
            IpAddr::V6(ip) => format!("[{ip}]"),
        }));
        if let Ok(name) = std::fs::read_to_string("/proc/sys/kernel/hostname") {
            let name = name.trim().to_lowercase();
            names.extend([name.clone(), format!("{name}.local")]);
        }
    }
    names.extend(["127.0.0.1", "localhost", "[::1]"].map(str::to_owned));
    names.into_iter().map(|name| format!("{name}:{port}")).collect()
}

async fn let_in(listener: TcpListener, gate: Arc<Gate>, places: Arc<Semaphore>) {
    loop {
        let Ok(place) = places.clone().acquire_owned().await else { return };
        match listener.accept().await {
            Ok((stream, _)) => {
                let gate = gate.clone();
                tokio::spawn(async move {
                    converse(stream, gate).await;
                    drop(place);
                });
            }
            // Such as too many open files: others will be closed soon.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
}

async fn converse(stream: TcpStream, gate: Arc<Gate>) {
    let service = service_fn(move |request| answer(gate.clone(), request));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEADER)
        .max_buf_size(MOST_HEADER)
        .serve_connection(TokioIo::new(stream), service);
    // What goes wrong on a connection is the phone's to notice: nothing is kept of who asked for what.
    let _ = tokio::time::timeout(LIFE, connection).await;
}
