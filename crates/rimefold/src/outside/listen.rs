//! Listening for browsers.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::pin::pin;
use std::time::Duration;

use axum::Router;
use hyper::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service as _, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::time::{sleep, timeout};

use crate::exit::{Exit, Failure};
use crate::outside::places::{Household, Peer, Places};
use crate::outside::terminal;

/// Requests under way get this long to end when the program is told to stop.
const FAREWELL: Duration = Duration::from_secs(5);
/// A browser that has not sent the head of its next request after this long is hung up on.
const HEAD: Duration = Duration::from_secs(10);
/// A connection is kept no longer than this, so that nobody holds one by reading slowly; a browser opens another.
const CONNECTION: Duration = Duration::from_secs(120);
/// Most that is kept of a head that is being read, bytes: what a stranger's connection can take.
const LONGEST_HEAD: usize = 32 * 1024;
/// Pause after a connection could not be taken, as when the system has no more file handles.
const BREATH: Duration = Duration::from_millis(100);

/// Whether a name is a numeric address.
pub fn is_address(name: &str) -> bool {
    name.parse::<IpAddr>().is_ok()
}

/// Serves until it is told to stop (control-C, or a termination signal); says where once it listens.
///
/// # Errors
/// Where the port cannot be had, with what to do.
pub fn serve(
    router: Router,
    port: u16,
    lan: bool,
    household: Household,
    hello: impl Fn(&str),
) -> Result<(), Failure> {
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
        attend(&listener, &router, Places::new(household)).await;
        Ok::<(), Failure>(())
    })?;
    runtime.shutdown_timeout(FAREWELL);
    Ok(())
}

/// Takes connections until the program is told to stop, then lets those under way end.
async fn attend(listener: &TcpListener, router: &Router, places: Places) {
    let (stop, stopped) = watch::channel(());
    let taking = async {
        loop {
            let place = places.before_anybody().await;
            let Ok((stream, from)) = listener.accept().await else {
                sleep(BREATH).await;
                continue;
            };
            let Some(place) = place.or_else(|| places.of(from.ip())) else { continue };
            let (router, stopped) = (router.clone(), stopped.clone());
            tokio::spawn(async move {
                answer(stream, Peer(from.ip()), router, stopped).await;
                drop(place);
            });
        }
    };
    tokio::select! {
        () = taking => {}
        () = told_to_stop() => terminal::aside("stopping"),
    }
    let _ = stop.send(());
    let _ = timeout(FAREWELL, places.all_free()).await;
}

/// Answers the requests of one connection.
async fn answer(stream: TcpStream, from: Peer, router: Router, mut stopped: watch::Receiver<()>) {
    let _ = stream.set_nodelay(true);
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(HEAD).max_buf_size(LONGEST_HEAD);
    let pages = TowerToHyperService::new(router);
    let pages = service_fn(move |mut request: Request<Incoming>| {
        request.extensions_mut().insert(from);
        pages.call(request)
    });
    let served = http.serve_connection(TokioIo::new(stream), pages);
    let mut served = pin!(served);
    tokio::select! {
        _ = served.as_mut() => return,
        () = sleep(CONNECTION) => {}
        _ = stopped.changed() => {}
    }
    served.as_mut().graceful_shutdown();
    let _ = timeout(FAREWELL, served).await;
}

/// An address that a person can type: any of this machine's is shown as this machine.
fn shown(host: IpAddr) -> IpAddr {
    match host {
        IpAddr::V4(a) if a.is_unspecified() => IpAddr::V4(Ipv4Addr::LOCALHOST),
        IpAddr::V6(a) if a.is_unspecified() => IpAddr::V6(Ipv6Addr::LOCALHOST),
        other => other,
    }
}

/// Waits, without listening to anybody, until the program is told to stop.
///
/// # Errors
/// Signals cannot be waited for.
pub fn wait_for_the_end() -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|e| Failure::new(Exit::Serve, format!("the program cannot wait: {e}")))?;
    runtime.block_on(told_to_stop());
    Ok(())
}

/// Control-C, a termination signal, or the closing of the terminal it was started in.
#[cfg(unix)]
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let (Ok(mut ended), Ok(mut closed)) =
        (signal(SignalKind::terminate()), signal(SignalKind::hangup()))
    else {
        let _ = tokio::signal::ctrl_c().await;
        return;
    };
    tokio::select! {
        _ = tokio::signal::ctrl_c() => {}
        _ = ended.recv() => {}
        _ = closed.recv() => {}
    }
}

#[cfg(not(unix))]
async fn told_to_stop() {
    let _ = tokio::signal::ctrl_c().await;
}
