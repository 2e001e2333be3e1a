//! What is said when measured data are absent.

use measured_data::find;
use measured_data::page::with_tables;

#[test]
fn what_is_absent_is_told_by_the_name_of_the_test_or_fails() {
    let folder = std::env::temp_dir().join(format!("measured-data-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("stations")).expect("a folder");
    let list = folder.join("skipped-tests.txt");
    assert_eq!(find(&folder, "stations", true, &list), Some(folder.join("stations")));
    assert!(!list.exists(), "nothing was skipped");
    assert_eq!(find(&folder, "hourly", false, &list), None);
    let told = std::fs::read_to_string(&list).expect("a list");
    assert_eq!(
        told,
        "SKIPPED: what_is_absent_is_told_by_the_name_of_the_test_or_fails needs the measured data \
         (../shared/data/hourly)\n"
    );
    let must = std::panic::catch_unwind(|| find(&folder, "hourly", true, &list));
    assert!(must.is_err(), "a build server must have the data");
    std::fs::remove_dir_all(&folder).expect("removed");
}

#[test]
fn tables_stand_between_their_own_marks_and_the_rest_stays() {
    let page = "before\n<a>\nold\n</a>\n<b>\nother\n</b>\n";
    let now = with_tables(page, ("<a>\n", "</a>"), "new\n").expect("marks");
    assert_eq!(now, "before\n<a>\n\nnew\n\n</a>\n<b>\nother\n</b>\n");
    assert_eq!(with_tables(page, ("<c>\n", "</c>"), "new\n"), None);
    assert_eq!(with_tables("<a>\n", ("<a>\n", "</a>"), "new\n"), None, "an end is missing");
}
