//! Tasks done: the planned cover lies on its bed from then on.

use diary::Diary;
use diary::entry::{Act, Cover, Entry, Placement, What};
use diary::predictions::Prediction;
use diary::saved_plans::SavedPlan;
use diary::state::lying;
use quantities::Moment;

use crate::id;

/// 14 May 2027, 16:00 UTC.
const ASKED: i64 = 1_810_310_400;
const DARK: i64 = ASKED + 4 * 3600;

fn plan(tasks: u32) -> SavedPlan {
    SavedPlan {
        id: id(1),
        asked_at: Moment(ASKED),
        written: Moment(ASKED),
        night: "2027-05-14".parse().expect("a date"),
        dark: Moment(DARK),
        sunrise: Moment(DARK + 8 * 3600),
        program: "0.1.0".into(),
        model: 1,
        forecast: None,
        forecast_low_c: 1.0,
        garden_low_p10_c: -2.0,
        garden_low_p50_c: 0.0,
        garden_low_p90_c: 2.0,
        wind_m_s: None,
        cloud: Some(0.1),
        clear_calm: true,
        tasks,
        report: "{}".into(),
    }
}

fn prediction(bed: &str, cover: &str, layers: u32, placement: Placement, task: u32) -> Prediction {
    Prediction {
        plan: id(1),
        bed: bed.into(),
        way: 1,
        cover: Some(cover.into()),
        layers,
        pieces: 1,
        chosen: true,
        limit_c: Some(-2.0),
        chance_of_harm: 0.1,
        air_p10_c: -1.0,
        air_p50_c: 0.0,
        air_p90_c: 1.0,
        leaf_p10_c: -2.0,
        leaf_p50_c: -1.0,
        leaf_p90_c: 0.0,
        placement: Some(placement),
        task: Some(task),
        taught_k: None,
    }
}

fn diary() -> (tempfile::TempDir, Diary, SavedPlan) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut diary = Diary::open(&folder.path().join("diary.sqlite")).expect("opened");
    let plan = plan(2);
    let predictions = [
        prediction("kale", "heavy", 2, Placement::LowTunnel, 1),
        prediction("garlic", "loose mulch", 0, Placement::LooseMulch, 2),
    ];
    diary.keep_plan(None, &plan, &predictions).expect("kept");
    (folder, diary, plan)
}

#[test]
fn a_task_done_lays_its_planned_cover_once() {
    let (_folder, mut diary, plan) = diary();
    let done = Moment(DARK - 600);
    let kale = diary.complete(&plan, 1, id(11), done, done).expect("done");
    let again = diary.complete(&plan, 1, id(12), Moment(DARK), Moment(DARK)).expect("done");
    assert_eq!(kale, again, "once");
    diary.complete(&plan, 2, id(13), done, done).expect("done");
    let beds = lying(&diary.entries().expect("entries"), done);
    let told: Vec<_> = beds
        .iter()
        .map(|b| {
            let s = &b.sheets[0];
            (b.bed.as_str(), s.sheet.as_deref(), s.layers, s.placement, s.since)
        })
        .collect();
    assert_eq!(
        told,
        [
            ("kale", Some("heavy"), Some(2), Some(Placement::LowTunnel), done),
            ("garlic", None, None, Some(Placement::LooseMulch), done),
        ]
    );
    for task in [0, 3] {
        let e = diary.complete(&plan, task, id(14), done, done).expect_err("no such task");
        assert!(!e.is_bug() && e.to_string().contains("its tasks are 1 to 2"), "{e}");
    }
    // Taken back, it lies no longer, and can be done again.
    diary.undo_once(&kale.entry, id(15), done).expect("taken back");
    assert_eq!(lying(&diary.entries().expect("entries"), done).len(), 1);
    assert_eq!(diary.complete(&plan, 1, id(16), done, done).expect("done").entry, id(16));
}

#[test]
fn a_bed_covered_as_planned_is_a_task_done() {
    let (_folder, mut diary, plan) = diary();
    let cover = |n: u128, at: i64, sheet: &str| {
        let cover = Cover::named("Kale".into(), Some(sheet.into()));
        Entry::new(id(n), Moment(at), Moment(at), What::Cover { act: Act::Covered, cover })
    };
    let at = Moment(DARK);
    // The night before, and with another sheet: neither is this task.
    diary.add(&[cover(21, DARK - 86_400, "heavy"), cover(22, DARK - 60, "light")]).expect("added");
    let done = diary.complete(&plan, 1, id(23), at, at).expect("done");
    assert_eq!(done.entry, id(23));
    diary.undo_once(&id(23), id(24), at).expect("taken back");
    diary.add(&[cover(25, DARK - 30, "heavy")]).expect("added");
    let done = diary.complete(&plan, 1, id(26), at, at).expect("done");
    assert_eq!((done.entry, done.at), (id(25), Moment(DARK - 30)), "noted as covered already");
}
