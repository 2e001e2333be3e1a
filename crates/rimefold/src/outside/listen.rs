//! Listening for browsers.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::time::Duration;

use axum::Router;
use tokio::net::TcpListener;

use crate::exit::{Exit, Failure};
use crate::outside::terminal;

/// Requests under way get this long to end when the program is told to stop.
const FAREWELL: Duration = Duration::from_secs(5);

/// Whether a name is a numeric address.
pub fn is_address(name: &str) -> bool {
    name.parse::<IpAddr>().is_ok()
}

/// Serves until it is told to stop (control-C, or a termination signal); says where once it listens.
///
/// # Errors
/// Where the port cannot be had, with what to do.
pub fn serve(router: Router, port: u16, lan: bool, hello: impl Fn(&str)) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| Failure::new(Exit::Serve, format!("the server cannot start: {e}")))?;
    let host =
        if lan { IpAddr::V4(Ipv4Addr::UNSPECIFIED) } else { IpAddr::V4(Ipv4Addr::LOCALHOST) };
    let address = SocketAddr::new(host, port);
    runtime.block_on(async {
        let listener = TcpListener::bind(address).await.map_err(|e| {
            Failure::new(
                Exit::Serve,
                format!("cannot listen on port {port}: {e}; name another with --port"),
            )
        })?;
        let at = listener.local_addr().map_or(address, |a| a);
        hello(&format!("http://{}", SocketAddr::new(shown(host), at.port())));
        let stop = async {
            told_to_stop().await;
            terminal::aside("stopping");
        };
        let serving = axum::serve(listener, router).with_graceful_shutdown(stop);
        serving.await.map_err(|e| Failure::new(Exit::Serve, format!("the server stopped: {e}")))
    })?;
    runtime.shutdown_timeout(FAREWELL);
    Ok(())
}

/// An address that a person can type: any of this machine's is shown as this machine.
fn shown(host: IpAddr) -> IpAddr {
    match host {
        IpAddr::V4(a) if a.is_unspecified() => IpAddr::V4(Ipv4Addr::LOCALHOST),
        IpAddr::V6(a) if a.is_unspecified() => IpAddr::V6(Ipv6Addr::LOCALHOST),
        other => other,
    }
}

#[cfg(unix)]
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let Ok(mut ended) = signal(SignalKind::terminate()) else {
        let _ = tokio::signal::ctrl_c().await;
        return;
    };
    tokio::select! {
        _ = tokio::signal::ctrl_c() => {}
        _ = ended.recv() => {}
    }
}

#[cfg(not(unix))]
async fn told_to_stop() {
    let _ = tokio::signal::ctrl_c().await;
}
