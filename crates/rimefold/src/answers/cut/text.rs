//! The cut list as text.

use garden::need::Wanted;
use garden::stock::SheetKind;
use purchase::cut::{Proof, lengths, sheets};
use purchase::cut_list::{ClothCut, CutList, Lack, RodCut};

use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(list: &CutList, words: &GardenFormat, width: usize) -> String {
    let mut page = Paragraphs::new(width);
    for cut in &list.rods {
        rod(&mut page, cut, words);
    }
    for cut in &list.cloths {
        cloth(&mut page, cut, words);
    }
    if list.rods.is_empty() && list.cloths.is_empty() {
        page.say("", 0, "Nothing to cut.");
    }
    if !list.without.is_empty() {
        page.head("Nothing on offer serves");
        for w in &list.without {
            page.say("  ", 4, &format!("{}: {}.", w.bed, lack(w.wanted, words)));
        }
    }
    page.head("Before you cut");
    page.say(
        "  ",
        2,
        "This is cut as if you owned nothing yet; `rimefold kit` says what you own already and what is still to buy.",
    );
    page.say(
        "  ",
        2,
        "A cut list is arithmetic: measure the roll first, its length and width vary. Cut wire springs back: wear gloves and eye \
         protection, and turn the ends away.",
    );
    page.finish()
}

fn rod(page: &mut Paragraphs, cut: &RodCut, words: &GardenFormat) {
    let hoops: u32 = cut.demands.iter().map(|d| d.count).sum();
    page.head(&format!(
        "{} from {}",
        count(hoops as usize, "hoop"),
        words.rod(cut.material, cut.section)
    ));
    for d in &cut.demands {
        page.say("  ", 4, &format!("{} × {}: {}.", d.count, words.short(d.length_m), d.name));
    }
    proof(page, &cut.layout.proof, |m| words.long(m));
    let rolls: Vec<(usize, String, f64)> = cut
        .layout
        .rolls
        .iter()
        .map(|r| (r.roll, pieces(r, &cut.demands, words), r.offcut_m))
        .collect();
    for (many, (kind, what, left_m)) in grouped(rolls) {
        let name = cut.rolls.get(kind).map_or("?", |r| r.name.as_str());
        let length = cut.rolls.get(kind).map_or(0.0, |r| r.length_m);
        let left = words.long(left_m);
        let text = format!("{many} × “{name}” ({}): {what}; {left} left.", words.long(length));
        page.say("  ", 4, &text);
    }
}

/// `4 × 76 in, 1 × 100 in`.
fn pieces(roll: &lengths::CutRoll, demands: &[lengths::Demand], words: &GardenFormat) -> String {
    let mut out: Vec<(usize, u32)> = Vec::new();
    for p in &roll.pieces {
        match out.iter_mut().find(|o| o.0 == p.demand) {
            Some(o) => o.1 += 1,
            None => out.push((p.demand, 1)),
        }
    }
    let words: Vec<String> = out
        .into_iter()
        .filter_map(|(d, n)| Some(format!("{n} × {}", words.short(demands.get(d)?.length_m))))
        .collect();
    words.join(", ")
}

fn cloth(page: &mut Paragraphs, cut: &ClothCut, words: &GardenFormat) {
    let mine = |d: &&sheets::Demand| d.material == cut.layout.material;
    let many: u32 = cut.demands.iter().filter(mine).map(|d| d.count).sum();
    page.head(&format!("{} from {}", count(many as usize, "sheet"), words.cloth(cut.kind)));
    for d in cut.demands.iter().filter(mine) {
        let size = format!("{} × {}", words.short(d.width_m), words.long(d.length_m));
        page.say("  ", 4, &format!("{} of {size}: {}.", d.count, d.name));
    }
    proof(page, &cut.layout.proof, |m2| words.area(m2));
    let mut number = 0;
    for roll in &cut.layout.rolls {
        let Some(kind) = cut.rolls.get(roll.roll) else { continue };
        number += 1;
        page.say(
            "  ",
            4,
            &format!(
                "Roll {number}, “{}” ({} × {}):",
                kind.name,
                words.short(kind.width_m),
                words.long(kind.length_m)
            ),
        );
        for strip in &roll.strips {
            page.say("    ", 6, &strip_words(strip, &cut.demands, words));
        }
        page.say("    ", 6, &format!("{} left at the end.", words.long(roll.offcut_m)));
    }
}

fn strip_words(strip: &sheets::Strip, demands: &[sheets::Demand], words: &GardenFormat) -> String {
    let name = |p: &sheets::Place| demands.get(p.demand).map_or("?", |d| d.name.as_str());
    let slit: Vec<String> = strip
        .places
        .iter()
        .map(|p| {
            let trimmed = strip.length_m - p.along_m;
            let trim = if trimmed > 0.001 {
                format!(", trim to {}", words.long(p.along_m))
            } else {
                String::new()
            };
            format!("{} wide for {}{trim}", words.short(p.across_m), name(p))
        })
        .collect();
    format!(
        "at {} cut {} off: {}; {} of width left.",
        words.long(strip.from_m),
        words.long(strip.length_m),
        slit.join(", "),
        words.short(strip.offcut_width_m)
    )
}

/// Rolls cut alike, told once.
fn grouped(rolls: Vec<(usize, String, f64)>) -> Vec<(usize, (usize, String, f64))> {
    let mut out: Vec<(usize, (usize, String, f64))> = Vec::new();
    for roll in rolls {
        match out.iter_mut().find(|(_, r)| r.0 == roll.0 && r.1 == roll.1) {
            Some(o) => o.0 += 1,
            None => out.push((1, roll)),
        }
    }
    out
}

fn proof(page: &mut Paragraphs, proof: &Proof, size: impl Fn(f64) -> String) {
    let bought = match proof.cost {
        Some(cost) => format!("Costs {cost:.2}"),
        None => format!("No price for every roll, so the least is bought: {}", size(proof.bought)),
    };
    let gap = if proof.gap <= 1e-9 {
        "no way of cutting them costs less".to_owned()
    } else {
        format!("the best possible is at most {:.1} % less", 100.0 * proof.gap)
    };
    page.say("  ", 4, &format!("{bought}; {gap}."));
}

/// What is missing.
pub fn lack(lack: Lack, words: &GardenFormat) -> String {
    match lack {
        Lack::Rod(material, section) => {
            format!("no {} for its hoops", words.rod(material, section))
        }
        Lack::Cloth(Wanted::RowCover { least_g_m2 }) => {
            format!(
                "no {} or heavier",
                words.cloth(SheetKind::RowCover { weight_g_m2: least_g_m2 })
            )
        }
        Lack::Cloth(Wanted::Film) => "no clear film".into(),
        Lack::Cloth(Wanted::InsectNet) => "no insect net".into(),
        Lack::Cloth(Wanted::ShadeCloth { least_shade }) => {
            format!("no shade cloth of {:.0} %", 100.0 * least_shade)
        }
        Lack::Size(across_m, along_m) => {
            format!(
                "no roll is large enough for {} × {}",
                words.short(across_m),
                words.long(along_m)
            )
        }
    }
}
