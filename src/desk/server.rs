//! Listening: on this machine, or on the network where that was asked for.

use super::{Desk, router};
use crate::error::DeskFault;
use crate::{Error, Result};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use tokio::net::TcpListener;

/// The port tried first where none is chosen.
const FIRST_PORT: u16 = 7450;
/// How many ports after it are tried.
const MORE_PORTS: u16 = 20;

/// Where the desk listens.
#[derive(Debug, Clone)]
pub struct Listening {
    /// The address to open on this machine.
    pub here: String,
    /// The address to open from the network, if it is open to the network.
    pub network: Option<String>,
}

/// Serves `desk` until the program is ended; says where it listens before the first request. A chosen
/// `port` that is taken is an error; the usual one moves on to the next that is free.
pub fn serve(desk: Desk, port: Option<u16>, opened: impl FnOnce(&Listening)) -> Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| Error::from(DeskFault::Broken).because(e))?;
    runtime.block_on(async {
        let open = desk.door.is_open();
        let listener =
            listen(if open { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST }, port).await?;
        let port = listener.local_addr().map(|a| a.port()).unwrap_or(FIRST_PORT);
        let network = open.then(own_address).flatten().map(|a| format!("http://{a}:{port}/"));
        opened(&Listening { here: format!("http://127.0.0.1:{port}/"), network });
        let service = router(desk).into_make_service_with_connect_info::<SocketAddr>();
        axum::serve(listener, service).await.map_err(|e| Error::from(DeskFault::Broken).because(e))
    })
}

async fn listen(at: Ipv4Addr, port: Option<u16>) -> Result<TcpListener> {
    let ports = port.map_or(FIRST_PORT..=FIRST_PORT + MORE_PORTS, |port| port..=port);
    let mut last = None;
    for port in ports {
        match TcpListener::bind((at, port)).await {
            Ok(listener) => return Ok(listener),
            Err(error) => last = Some((port, error)),
        }
    }
    let (port, error) = last.unzip();
    let refused =
        Error::from(DeskFault::NoPort { at: format!("{at}:{}", port.unwrap_or(FIRST_PORT)) });
    Err(match error {
        Some(error) => refused.because(error),
        None => refused,
    })
}

/// This machine's address on its network. Nothing is sent: connecting a datagram socket only looks up
/// the way to an address (this one is reserved for documentation, RFC 5737).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    Some(socket.local_addr().ok()?.ip())
}
