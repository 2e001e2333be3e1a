//! Damaged forms and addresses: taken or refused in words by the pages themselves; never a panic, never our bug.

use std::path::Path;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use hyper::service::Service as _;
use hyper_util::service::TowerToHyperService;
use measured_data::mutations::hold_against;

use super::auth::Auth;
use super::clock::Clock;
use super::diary_writer::DiaryWriter;
use super::host_check::Names;
use super::planner::Planner;
use super::{App, router};
use crate::digest::sha256;
use crate::outside::files;

const GARDEN: &str = include_str!("../../../../demo/jura/garden.toml");
const FORECAST: &str = include_str!("../../../../demo/jura/forecast.json");
/// Stands for the digest of the garden file in what is sent.
const DIGEST: &str = "DIGEST";
/// What parts a form with a file is made of.
const BOUNDARY: &str = "parts";

/// Addresses, and forms as browsers send them: address, end of line, body.
const SENT: [&str; 37] = [
    "/\n",
    "/?by=person\n",
    "/nights\n",
    "/beds\n",
    "/beds/1\n",
    "/stock/1\n",
    "/stock/new\n",
    "/diary\n",
    "/diary.csv\n",
    "/diary.json\n",
    "/learn\n",
    "/print/cuts\n",
    "/forecast\n",
    "/cover\nid=1b6f1909a8d048d0a0ebe8e38096572e&bed=courgettes&sheet=17+g&layers=2&placement=floating+cover&act=covered&ago=12600&back=%2F",
    "/undo\nid=1b6f1909a8d048d0a0ebe8e38096572e&back=%2F",
    "/hands\npeople=2&minutes=40",
    "/diary\nid=2731600a03814c61b724f9f1e79bb045&group=reading&kind=minimum&degrees=-1%2C5&place=open&bed=&sheet=&day=2027-05-14&time=06%3A30&words=fine",
    "/diary\nid=2731600a03814c61b724f9f1e79bb046&group=seen&kind=loss&bed=leeks&percent=40&day=2027-05-14&time=&words=",
    "/diary\nid=2731600a03814c61b724f9f1e79bb047&group=sheet&kind=torn&sheet=30+g&day=2027-05-14&time=&words=%3D1%2B1",
    "/beds/1\ndigest=DIGEST&was=salads&bed.name=salads&bed.length=6&bed.width=80&bed.wetness=moist&bed.raised=&bed.position=0%2C+0&bed.pots=&planting.0.crop=lettuce&planting.0.start=transplant&planting.0.stage=seedling&planting.0.worth=60&planting.0.hardened=true&planting.0.height=&planting.0.ground_cover=&hoops.has=true&hoops.material=pvc&hoops.diameter=8&hoops.length=200&hoops.bury=15&hoops.spacing=120&hoops.span=90&mulch.kind=&mulch.depth=",
    "/beds/1\ndigest=DIGEST&was=salads&remove=yes",
    "/garden\ndigest=DIGEST&garden.name=Plateau+garden&place.latitude=46.75&place.longitude=5.9&place.elevation=520&place.zone=Europe%2FParis&site.soil=loam&site.exposure=open&site.cold_spot_offset=&labour.people=1&labour.minutes_each=40&labour.worth_of_hour=12",
    "/stock\ndigest=DIGEST&stock.pins=60&stock.weights=&stock.clips=10&stock.loose_mulch=0.4",
    "/stock/1\ndigest=DIGEST&was=30+g&sheet.name=30+g&sheet.kind=row+cover&sheet.weight=30&sheet.width=210&sheet.length=10&sheet.count=3&sheet.condition=&sheet.claim=2.5",
    "/begin\nname=Plot&town=graz&find=typed&latitude=46.75&longitude=5.9&elevation=520&zone=Europe%2FParis&units=metric&bed_length=6&bed_width=80",
    "/learn\ndo=freeze",
    "/sensors\n",
    "/calendar\n",
    "/evening.ics\n",
    "/messages\n",
    "/messages/1b6f1909a8d048d0a0ebe8e38096572e\n",
    "/messages\nid=1b6f1909a8d048d0a0ebe8e38096572e",
    "/phones\nendpoint=https%3A%2F%2Fexample.org%2Fphone&p256dh=BP4z9KsN6nGRTbVYI_c7&auth=c2VjcmV0LW9mLXRlc3Q",
    "/phones\nno_more=phone+1",
    "/readings?token=0123456789abcdef&sensor=pole&tempf=50&dateutc=2027-05-14+03%3A00%3A00\n",
    "/readings\ntoken=0123456789abcdef&ID=pole&tempc=-4.5&dateutc=now",
    "/readings?token=0123456789abcdef\n[{\"temp_c\": 1.5, \"time\": 1810000000}]",
];
/// The automatic thermometer of the garden, and what it must show.
const SENSOR: &str = "\n[[sensor]]\nname = \"pole\"\n";
const TOKEN: &str = "0123456789abcdef";

/// The pages over a folder with the garden in it.
fn pages(folder: &Path) -> Router {
    let planner = Planner::new(folder.to_path_buf(), Clock::real(), |_, _, _, _| {});
    let reading = garden::file::read(&format!("{GARDEN}{SENSOR}"));
    planner.take_up(reading.garden.expect("a garden"), Vec::new());
    let writer = DiaryWriter::start(folder.join("diary.sqlite"));
    let app = App::new(planner, writer, Auth::default());
    router(app, Names::default())
}

#[test]
fn damaged_forms_and_addresses_are_answered() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("garden.toml");
    let restore = || files::replace(&file, GARDEN).expect("written");
    restore();
    files::replace(&folder.path().join("reading-token"), TOKEN).expect("written");
    let digest = sha256(GARDEN.as_bytes());
    let service = TowerToHyperService::new(pages(folder.path()));
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build();
    let runtime = runtime.expect("a runtime");
    let upload = |path: &str, name: &str, text: &str| {
        format!(
            "{path}\n--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\r\n{}\r\n--{BOUNDARY}--\r\n",
            &text[..text.len().min(1500)]
        )
    };
    let mut corpus: Vec<Vec<u8>> = SENT.map(|s| s.as_bytes().to_vec()).into();
    corpus.push(upload("/forecast", "forecast.json", FORECAST).into());
    corpus.push(upload("/station", "station.csv", "date,tmin_c,tmax_c\n2020-01-01,-3,4\n").into());
    let (mut pages_shown, mut taken, mut refused) = (0, 0, 0);
    hold_against("forms and addresses", &corpus, 600, |bytes| {
        let end = bytes.iter().position(|b| *b == b'\n').unwrap_or(bytes.len());
        let body = bytes.get(end + 1..).unwrap_or_default();
        let body = match std::str::from_utf8(body) {
            Ok(text) => text.replace(DIGEST, &digest).into_bytes(),
            Err(_) => body.to_vec(),
        };
        let kind = if body.starts_with(b"--") {
            format!("multipart/form-data; boundary={BOUNDARY}")
        } else if body.starts_with(b"[") {
            "application/json".to_owned()
        } else {
            "application/x-www-form-urlencoded".to_owned()
        };
        let method = if body.is_empty() { "GET" } else { "POST" };
        let request = Request::builder().method(method).uri(&bytes[..end]);
        let request = request.header("host", "localhost").header("content-type", kind);
        // What is no address at all never comes this far.
        let Ok(request) = request.body(Body::from(body)) else { return };
        let (status, text) = runtime.block_on(async {
            let answer = service.call(request).await.expect("an answer");
            let status = answer.status();
            let text = to_bytes(answer.into_body(), 10_000_000).await.expect("a body");
            (status, text)
        });
        let text = String::from_utf8_lossy(&text);
        assert!(!status.is_server_error(), "{status}: {text}");
        assert!(!text.contains("bug"), "{text}");
        match status {
            StatusCode::OK => pages_shown += 1,
            StatusCode::SEE_OTHER => {
                taken += 1;
                restore();
            }
            _ => refused += 1,
        }
    });
    assert!(
        pages_shown > 30 && taken > 10 && refused > 100,
        "{pages_shown} pages shown, {taken} forms taken, {refused} refused"
    );
}
