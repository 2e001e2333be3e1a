//! docs/crops.md, made from the crop table.

use std::fmt::Write as _;

use super::table::{Bloom, Row, table};

const HEAD: &str = "\
# Crops

What cold does, by crop and stage: the tissue temperature at which a tenth (T10) and nine tenths (T90) of a planting are lost
in 30 minutes, °C. Between and beyond the share lost is logistic (`evening::harm`). Plants harden on cold days and lose it on
warm ones: the limits run from *tender* over *hardened* (hardened off, or grown cold in place) to *winter* (weeks of cold), by
the days before where they are known. Chill harms some crops above freezing, by its dose below 12 °C.

A variety of your own, with limits of its own, goes into the garden file as `[[crop]]`: see [garden.md](garden.md).

This page is made from `crates/garden/src/crops/table.toml`. After a change there, renew it:
`cargo run -p garden --example crops_reference > docs/crops.md`

## Where sources disagree

- **Strawberry, open blossom**: 30 °F in two issues of the Delaware update, 28 °F in a third, \"30 some damage, 28 considerable\" in a North Carolina leaflet. Taken: T10 30 °F, T90 25 °F (\"below 26 most blooms damaged or killed\"): a bloom lost cannot be had back.
- **Green fruit** 28 or 26 °F, **tight bud** 22 or 20 °F: the warmer number, for the same reason.
- **Potato, lettuce, pea** are called hard-frost hardy in one extension list and tender in nearly all others: taken as tender (journal class table; potato foliage 0 to −2 °C).
- **Kale**: −4 to −7 °C in the class table, below −6.7 °C in Georgia: both hold, hardening makes the difference.
- **Chard**: the lists of Michigan and Georgia have its leaves burnt, not killed, at 26 to 31 °F. Those are temperatures of the air, and leaves under a clear sky are 1 to 3 K colder (Leuning & Cremer 1988), so the leaf itself stands more than these figures say; chard has the range of its species, beet, −4 to −7 °C in the class table. It was −2.5 °C, which called half of all established chard harmed on a clear night of 0 °C.
- **Spinach**: half of the leaf injured at −9 to −16 °C in winter (Tamura 2000, 2002), −10 to −11 °C after a fortnight at 5/2 °C (from memory): one course of hardening cannot meet both; it comes to −12 °C in that fortnight. Leaves gain 2 to 4 K in their first cold day (Fennell & Li 1985), 0.8 K here.
- **Freezing points** of produce (USDA Handbook 66) are ice temperatures, not damage limits: above them no frost is counted, no more.
- **Apricot, plum, sour cherry**: only the first row of the published apricot table could be read; these rows are marked as from memory.
";

/// The reference page. Checked by `crops::the_reference_page_is_as_the_table_says`.
#[must_use]
pub fn page() -> String {
    let mut out = HEAD.to_owned();
    out += "\n## Sources\n\n";
    for source in &table().source {
        let _ = writeln!(out, "- `{}`: {}", source.key, source.cite);
    }
    out += "\nHardening is written after Bergjord, Bonesmo & Skjelvåg 2008 (FROSTOL). Its speed (winter wheat 1) and the winter \
            limits are from memory but for spinach, tatsoi and cabbage: the heads of the tables say where they come from. Doses of \
            chill are rough; cucumber's meets leaves that live a week at 10 °C, suffer after three days at 8 °C and recover from \
            one or two days at 5 °C.\n";
    out += "\n## Grown plants\n\nT10/T90, °C; speed of hardening; dose of chill that takes a tenth/nine tenths, K h.\n\n";
    out += "| crop | also called | tender | hardened | winter | speed | chill | source |\n|---|---|---|---|---|--:|---|---|\n";
    for row in &table().crop {
        grown(&mut out, row);
    }
    out += "\n## Bloom\n\nT10/T90, °F as published.\n\n| crop | stages |\n|---|---|\n";
    for row in table().crop.iter().filter(|r| !r.bloom.is_empty()) {
        let stage = |b: &Bloom| format!("{} {}/{} ({})", b.stage, b.t10_f, b.t90_f, b.source);
        let stages: Vec<String> = row.bloom.iter().map(stage).collect();
        let _ = writeln!(out, "| {} | {} |", row.name, stages.join("; "));
    }
    out
}

fn grown(out: &mut String, row: &Row) {
    let [a, b, c, d] = row.grown_limits().unwrap_or_default();
    let pair = |p: Option<[f64; 2]>| p.map_or(String::new(), |[a, b]| format!("{a}/{b}"));
    let _ = writeln!(
        out,
        "| {} | {} | {a}/{b} | {c}/{d} | {} | {} | {} | {} |",
        row.name,
        row.also.join(", "),
        pair(row.winter),
        row.hardens.map_or(String::new(), |s| s.to_string()),
        pair(row.chill),
        row.source,
    );
}
