//! The JSON Schema of every answer, written from the types and compared with the files in `docs/schema`.

use schemars::{JsonSchema, SchemaGenerator, generate::SchemaSettings};

use crate::outside::files;

fn schema<T: JsonSchema>(verb: &str) -> String {
    titled::<T>(&format!("rimefold {verb} --json"))
}

fn titled<T: JsonSchema>(title: &str) -> String {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = SchemaGenerator::new(settings).into_root_schema_for::<T>();
    schema.insert("title".into(), title.into());
    format!("{:#}\n", schema.to_value())
}

#[test]
fn schema_files_are_those_of_the_types() {
    use super::{
        cut, hoops, kit, learn, messages, notes, replay, sensors, skill, station, tonight, week,
        year,
    };
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/schema");
    let schemas = [
        ("tonight", schema::<tonight::json::Tonight>("tonight")),
        ("week", schema::<week::json::Week>("week")),
        ("hoops", schema::<hoops::json::Hoops>("hoops")),
        ("cut", schema::<cut::json::Cut>("cut")),
        ("kit", schema::<kit::json::Kit>("kit")),
        ("station", schema::<station::json::Record>("station use")),
        ("station-find", schema::<station::find::Found>("station find")),
        ("replay", schema::<replay::json::Replay>("replay")),
        ("year", schema::<year::json::Year>("year")),
        ("note-list", schema::<notes::Notes>("note list")),
        ("learn", schema::<learn::json::Learn>("learn")),
        ("sensor-list", schema::<sensors::json::Sensors>("sensor list")),
        ("message", titled::<messages::json::Posted<'_>>("a message of rimefold watch")),
        ("diary-skill", schema::<skill::json::Skill>("diary skill")),
    ];
    for (verb, wanted) in schemas {
        let path = folder.join(format!("{verb}.json"));
        if option_env!("RIMEFOLD_RENEW").is_some() {
            files::replace(&path, &wanted).expect("it is written");
        }
        let found = files::read(&path).unwrap_or_default();
        let shown = path.display();
        assert_eq!(String::from_utf8_lossy(&found), wanted, "{shown}: renew with RIMEFOLD_RENEW=1");
    }
}
