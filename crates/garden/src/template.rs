//! A commented garden file from a few answers: a start that a grower edits by hand.

use std::fmt::Write as _;

use quantities::UnitSystem;

/// What the grower was asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// Name of the garden.
    pub name: String,
    /// Units.
    pub units: UnitSystem,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Feet or metres.
    pub elevation: f64,
    /// IANA zone.
    pub zone: String,
    /// Soil word.
    pub soil: String,
    /// Exposure word.
    pub exposure: String,
    /// People.
    pub people: u32,
    /// Minutes each.
    pub minutes: f64,
    /// Number of beds.
    pub beds: u32,
}

/// The garden file. Reads back without faults when the answers are sound; else its faults tell which are not.
/// Checked by `template::what_new_writes_reads_back`.
#[must_use]
pub fn write(a: &Answers) -> String {
    let us = a.units == UnitSystem::Us;
    let pick = |us_text: &'static str, metric: &'static str| if us { us_text } else { metric };
    let quote = |s: &str| toml::Value::String(s.to_owned()).to_string();
    let mut out = String::new();
    let _ = write!(
        out,
        "# A garden for rimefold. Edit it freely; `rimefold check` shows every mistake at its place.\n\
         name = {name}\n\
         units = \"{units}\"\n\n\
         [place]\n\
         latitude = {latitude:?}\n\
         longitude = {longitude:?}    # east is positive\n\
         {elevation_key} = {elevation:?}\n\
         zone = {zone}\n\n\
         [site]\n\
         # sand, sandy loam, loam, silt loam, clay loam, clay, peat\n\
         soil = {soil}\n\
         # valley floor, slope, hilltop, open, walled\n\
         exposure = {exposure}\n\
         # How much colder (negative) the garden is than the forecast on a clear calm night, once you know it:\n\
         # {offset} = -2\n\n\
         [labour]\n\
         people = {people}\n\
         minutes_each = {minutes:?}    # before dark\n\
         worth_of_hour = 15.0    # in your own money; covers must save more than their work costs\n",
        name = quote(&a.name),
        units = if us { "us" } else { "metric" },
        latitude = a.latitude,
        longitude = a.longitude,
        elevation_key = pick("elevation_ft", "elevation_m"),
        elevation = a.elevation,
        zone = quote(&a.zone),
        soil = quote(&a.soil),
        exposure = quote(&a.exposure),
        offset = pick("cold_spot_offset_f", "cold_spot_offset_c"),
        people = a.people,
        minutes = a.minutes,
    );
    for n in 1..=a.beds {
        let _ = write!(
            out,
            "\n[[bed]]\n\
             name = \"bed {n}\"\n\
             {size}\n\
             wetness = \"damp\"    # dry, damp, wet: how the top soil feels\n\
             # mulch = {{ kind = \"straw\", {mulch} }}\n\
             # need = [{{ kind = \"row cover\", from = \"04-10\", to = \"05-25\" }}]    # for `kit` and `cut`\n\
             {hoops}\n\
             [[bed.planting]]\n\
             crop = \"lettuce\"\n\
             start = \"transplant\"    # or direct-sown\n\
             stage = \"transplant\"    # seed bed, seedling, transplant, established, mature, or a bloom stage\n\
             hardened = true\n\
             worth = 60    # what the whole planting is worth at harvest\n",
            size = pick("length_ft = 20\nwidth_in = 30", "length_m = 6\nwidth_cm = 75"),
            mulch = pick("depth_in = 2", "depth_cm = 5"),
            hoops = pick(
                "# Leave this line out where there are no hoops. Materials: soft wire, spring wire, fibreglass, pvc pipe,\n\
                 # polyethylene pipe, conduit (pipes with wall_in); height_in instead of span_in; shape = \"half ellipse\";\n\
                 # purlin = true where one runs under the crowns.\n\
                 hoops = { material = \"soft wire\", wire_gauge = 10, length_in = 76, bury_in = 6, spacing_in = 48, span_in = 34 }",
                "# Leave this line out where there are no hoops. Materials: soft wire, spring wire, fibreglass, pvc pipe,\n\
                 # polyethylene pipe, conduit (pipes with wall_mm); height_cm instead of span_cm; shape = \"half ellipse\";\n\
                 # purlin = true where one runs under the crowns.\n\
                 hoops = { material = \"soft wire\", diameter_mm = 3.4, length_cm = 193, bury_cm = 15, spacing_cm = 120, span_cm = 85 }",
            ),
        );
    }
    let _ = write!(
        out,
        "\n[stock]\n\
         pins = 60\n\
         # pin = {{ {pin}, legs = 2 }}\n\
         # What it took to pull pins out of a bed with a luggage scale, if you tried:\n\
         # {pull}\n\
         clips = 0\n\
         # {loose}    # dry straw or leaves to strew over low plants\n\n\
         [[stock.sheet]]\n\
         name = \"medium\"\n\
         kind = \"row cover\"    # row cover, film, insect net, shade cloth\n\
         {sheet}\n\
         count = 2\n\
         condition = \"good\"    # good, worn, torn\n\
         # What its label claims; shown beside the computed gain, never used in it:\n\
         # {claim} = 4\n\n\
         # What you could buy, for `rimefold cut` and `rimefold kit`; prices in your own money.\n\
         # [supply]\n\
         # budget = 150    # a year\n\
         # years = 2\n\
         # pin_price = 0.15\n\
         # clip_price = 0.5\n\
         # [[supply.rod]]\n\
         # name = \"coil\"\n\
         # material = \"soft wire\"\n\
         # {rod}\n\
         # price = 60\n\
         # [[supply.cloth]]\n\
         # name = \"roll\"\n\
         # kind = \"row cover\"\n\
         # {roll}\n\
         # price = 70\n\
         # lasts_seasons = 3    # if you know better than `rimefold kit` assumes\n",
        pin = pick("wire_gauge = 11, length_in = 6", "diameter_mm = 3, length_cm = 15"),
        pull = pick("pull_test_lb = [7, 9, 6]", "pull_test_kg = [3.2, 4.1, 2.8]"),
        loose = pick("loose_mulch_ft3 = 10", "loose_mulch_m3 = 0.3"),
        sheet = pick(
            "weight_oz_yd2 = 0.9\nwidth_in = 83\nlength_ft = 50",
            "weight_g_m2 = 30\nwidth_cm = 210\nlength_m = 15",
        ),
        claim = pick("claim_f", "claim_c"),
        rod = pick("wire_gauge = 10, length_ft = 500", "diameter_mm = 3.4, length_m = 150")
            .replace(", ", "\n# "),
        roll = pick(
            "weight_oz_yd2 = 0.9, width_in = 83, length_ft = 250",
            "weight_g_m2 = 30, width_cm = 210, length_m = 100",
        )
        .replace(", ", "\n# "),
    );
    out
}
