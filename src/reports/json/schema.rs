//! The contract itself as a JSON Schema, draft 2020-12, made from the structs that are written.

use schemars::{Schema, SchemaGenerator, generate::SchemaSettings};
use serde_json::{Value, json};

use super::{
    FindingsFile, SCHEMA_VERSION, TallyFile,
    changes::ChangesFile,
    money::BuyFile,
    numbers::WhyFile,
    order::OrderFile,
    record::{LessonsFile, RecordFile},
};

/// The schema of every JSON text there is: under `$defs` a file for each of `check`, `tally`, `buy`, `order`, `record`, `learn`, `why` and `compare`, and
/// all that is in them. A field that is not told here may come with a later program of the same `schema_version`.
#[must_use]
pub fn schema() -> Value {
    let mut generator: SchemaGenerator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let files: Vec<Schema> = vec![
        generator.subschema_for::<FindingsFile<'static>>(),
        generator.subschema_for::<TallyFile<'static>>(),
        generator.subschema_for::<BuyFile<'static>>(),
        generator.subschema_for::<OrderFile<'static>>(),
        generator.subschema_for::<RecordFile<'static>>(),
        generator.subschema_for::<LessonsFile<'static>>(),
        generator.subschema_for::<WhyFile<'static>>(),
        generator.subschema_for::<ChangesFile<'static>>(),
    ];
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("Batterboard JSON, schema_version {SCHEMA_VERSION}"),
        "description": "Findings (check), quantities (tally), money (buy), the work (order), what was done (record), \
            what it teaches (learn), worked numbers (why), changes (compare). \
            Fields are only added within one schema_version.",
        "anyOf": files,
        "$defs": generator.take_definitions(true),
    })
}
