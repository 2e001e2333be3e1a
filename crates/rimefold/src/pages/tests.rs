//! What guards the pages, where the real program cannot be made to fail.

use axum::Router;
use axum::body::Body;
use axum::http::Request;
use axum::response::Response;
use axum::routing::get;
use hyper::service::Service as _;
use hyper_util::service::TowerToHyperService;

use super::auth::Auth;
use super::clock::Clock;
use super::diary_writer::DiaryWriter;
use super::host_check::Names;
use super::planner::Planner;
use super::{App, guarded};

/// Asks pages of our own making, guarded as the real ones are.
fn ask(pages: Router) -> Response {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_path_buf();
    let planner = Planner::new(path.clone(), Clock::real(), |_, _, _, _| {});
    let writer = DiaryWriter::start(path.join("diary.sqlite"));
    let app = App::new(planner, writer, Auth::default());
    let service = TowerToHyperService::new(guarded(pages, app, Names::default()));
    let request = Request::get("/").header("host", "localhost").body(Body::empty()).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build();
    runtime.unwrap().block_on(service.call(request)).unwrap()
}

async fn breaks() -> String {
    let nothing: &[&str] = &[];
    nothing[nothing.len()].to_owned()
}

#[test]
fn a_page_that_breaks_is_answered_under_the_same_rules() {
    let answer = ask(Router::new().route("/", get(breaks)));
    assert_eq!(answer.status(), 500);
    let policy = answer.headers()["content-security-policy"].to_str().unwrap();
    assert!(policy.starts_with("default-src 'none'"));
    assert_eq!(answer.headers()["x-content-type-options"], "nosniff");
}
