//! The power goes: of every file of the diary only what was flushed is there, and every note that was acknowledged.
//!
//! `checks/disk/lose.c` stands between the program and the C library. Linux with a C compiler; elsewhere nothing is checked
//! here.

use std::collections::BTreeSet;
use std::process::Command;

use super::{AFTERNOON, Site};
use crate::diary::{Garden, integrity};
use crate::harness::root;

#[test]
fn what_was_acknowledged_is_there_when_the_power_comes_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let shim = folder.path().join("lose.so");
    let mut compile = Command::new("cc");
    compile.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&shim);
    compile.arg(root().join("checks/disk/lose.c")).arg("-ldl");
    if !compile.status().is_ok_and(|s| s.success()) {
        return;
    }
    let rounds = std::env::var("RIMEFOLD_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(3);
    let mut in_all = 0;
    for round in 0..rounds {
        let kept = tempfile::tempdir().expect("a folder");
        let garden = Garden::new("jura");
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
        command.arg("serve").arg(&garden.path).args(["--port", "0", "--at", AFTERNOON]);
        command.env("LD_PRELOAD", &shim).env("LOSE_TO", kept.path());
        let mut site = Site::started(garden, command);
        let acknowledged: Vec<String> = (0..1 + round * 23 % 90)
            .map(|n| {
                let id = format!("{:032x}", round * 1000 + n);
                let fields = [("id", id.as_str()), ("bed", "leeks"), ("act", "covered")];
                assert_eq!(site.post("/cover", &fields).status, 303);
                // Every third time there is a moment in which the diary is settled.
                if n == 7 && round % 3 == 1 {
                    std::thread::sleep(std::time::Duration::from_millis(1500));
                }
                id
            })
            .collect();
        let _ = site.child.kill();
        let _ = site.child.wait();
        // What was never flushed is nowhere.
        for end in ["", "-wal", "-shm", "-journal"] {
            let name = format!("diary.sqlite{end}");
            let _ = std::fs::remove_file(site.garden.path.join(&name));
            let _ = std::fs::copy(kept.path().join(&name), site.garden.path.join(&name));
        }
        let there: BTreeSet<String> = site.notes().into_iter().collect();
        for id in &acknowledged {
            assert!(there.contains(id), "round {round}: {id} was acknowledged and is gone");
        }
        assert_eq!(integrity(&site.garden.database()), "ok", "round {round}");
        in_all += acknowledged.len();
    }
    println!("the power went {rounds} times, {in_all} notes acknowledged, none lost");
}
