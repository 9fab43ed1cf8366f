//! The JSON contract: valid, versioned, with the figures of the papers, and with every text in one piece.

use std::io;

use batterboard::{
    comparing::compare,
    compile::{Compiled, check, compile, compile_text},
    language::Limits,
    reports::{Sides, json},
    source::Shelf,
};
use serde_json::Value;

fn boathouse() -> Shelf {
    let read = |name: &str| (name.to_owned(), std::fs::read(format!("examples/boathouse/{name}")).unwrap());
    Shelf::new([read("boathouse.job"), read("shop.job")])
}

fn tally() -> Value {
    let compiled = compile(&boathouse(), "boathouse.job", &Limits::default()).unwrap();
    let mut out = Vec::new();
    json::tally(&[("boathouse.job", &compiled)], &mut out).unwrap();
    serde_json::from_slice(&out).unwrap()
}

/// The lead example's own figures, worked by hand in the cases: 26 880 in3, 28 bags, 24 holes.
#[test]
fn the_tally_has_the_figures_of_the_lead_example() {
    let tally = tally();
    assert_eq!(tally["schema_version"], 1);
    let job = &tally["jobs"][0];
    assert_eq!(job["draft"], false);
    let pour = &job["concrete"][0];
    let placed = pour["placed"]["m3"].as_f64().unwrap();
    assert!((placed - 26_880.0 * 1.638_706_4e-5).abs() < 1e-11, "{placed}");
    assert_eq!(pour["mixing"]["bags"], 28);
    assert_eq!(job["holes"][0]["count"], 24);
    let rows = job["holes"][0]["rows"].as_array().unwrap();
    assert_eq!(rows.iter().map(|row| row["count"].as_u64().unwrap()).collect::<Vec<_>>(), [9, 9, 3, 3]);
    // The rows of the back are moved out of the way and listed; those of the side are even.
    assert_eq!(rows[0].get("gap"), None);
    assert_eq!(rows[0]["places"].as_array().unwrap().len(), 9);
    assert_eq!(rows[2]["gap"]["shown"], "11\"");
    assert_eq!(rows[2].get("places"), None);
}

/// Every worked number leads back to words that were typed, or to a habit that is named.
#[test]
fn worked_numbers_lead_back_to_what_was_typed() {
    let tally = tally();
    let numbers = tally["jobs"][0]["numbers"].as_array().unwrap().clone();
    let bags = numbers.iter().find(|number| number["name"] == "wall.bags").unwrap();
    assert_eq!(bags["shown"], "28");
    let mut seen = Vec::new();
    let mut waiting = vec![bags.clone()];
    while let Some(number) = waiting.pop() {
        for input in number["inputs"].as_array().unwrap() {
            if let Some(name) = input["worked"].as_str() {
                waiting.push(numbers.iter().find(|number| number["name"] == name).unwrap().clone());
            } else if let Some(typed) = input.get("typed") {
                seen.push(typed["text"].as_str().unwrap().to_owned());
            }
        }
    }
    seen.sort();
    let low = ["along old.back 0 to 6'", "height -4\" to 12\"", "thick 8\""];
    let high = ["along old.back 6' to old.side 3'", "height -4\" to 20\"", "thick 8\""];
    let mut wanted: Vec<&str> = low.into_iter().chain(high).chain(["bag 80 lb, yields 0.60 ft3", "waste 8%"]).collect();
    wanted.sort_unstable();
    assert_eq!(seen, wanted);
}

/// `why`: one number with all that it is made from, raw figures beside the shown ones; all numbers if none is named.
#[test]
fn why_tells_a_number_with_all_that_it_is_made_from() {
    let compiled = compile(&boathouse(), "boathouse.job", &Limits::default()).unwrap();
    let asked = |number| {
        let mut out = Vec::new();
        json::why(&[("boathouse.job", &compiled)], number, &mut out).unwrap();
        serde_json::from_slice::<Value>(&out).unwrap()
    };
    let file = asked(Some("wall.bags"));
    assert_eq!(file["schema_version"], 1);
    let job = &file["jobs"][0];
    assert_eq!((&job["number"], &job["draft"]), (&Value::from("wall.bags"), &Value::from(false)));
    let numbers = job["numbers"].as_array().unwrap();
    let bags = &numbers[0];
    assert_eq!((&bags["name"], &bags["value"], &bags["shown"]), (&"wall.bags".into(), &28.0.into(), &"28".into()));
    assert!((bags["rounded_from"].as_f64().unwrap() - 28.0).abs() < 1e-9);
    assert_eq!(bags["formula"], "mixed / yields, up to whole bags");
    assert_eq!(bags["arithmetic"], "16.8 ft3 / 0.6 ft3 = 28");
    assert_eq!(bags["inputs"][0], serde_json::json!({ "symbol": "mixed", "worked": "wall.mixed" }));
    let yields = &bags["inputs"][1]["typed"];
    assert_eq!((&yields["text"], &yields["at"]["file"]), (&"bag 80 lb, yields 0.60 ft3".into(), &"shop.job".into()));
    assert_eq!((&yields["shown"], &yields["unit"]), (&"0.60 ft3".into(), &"m3".into()));
    assert!((yields["value"].as_f64().unwrap() - 0.6 * 0.028_316_846_592).abs() < 1e-9);
    // What a worked input names stands in the same answer.
    let names: Vec<&str> = numbers.iter().map(|number| number["name"].as_str().unwrap()).collect();
    for input in numbers.iter().flat_map(|number| number["inputs"].as_array().unwrap()) {
        assert!(input.get("worked").is_none_or(|name| names.contains(&name.as_str().unwrap())), "{input}");
    }
    let all = asked(None);
    assert!(all["jobs"][0].get("number").is_none());
    assert_eq!(all["jobs"][0]["numbers"], tally()["jobs"][0]["numbers"]);
    assert_eq!(asked(Some("wall.nothing"))["jobs"][0]["numbers"], serde_json::json!([]));
}

/// A mere check keeps no ledger, and finds the same.
#[test]
fn a_check_keeps_no_ledger() {
    let shelf = boathouse();
    let checked = check(&shelf, "boathouse.job", &Limits::default()).unwrap();
    let compiled = compile(&shelf, "boathouse.job", &Limits::default()).unwrap();
    assert!(checked.works.ledger.entries().is_empty());
    assert!(compiled.works.ledger.entries().len() > 5);
    assert_eq!(checked.problems.len(), compiled.problems.len());
    assert_eq!(checked.works.solids.total, compiled.works.solids.total);
}

/// Row 62: control characters, line separators and quotes come back as they were; places are lines and characters from 1.
#[test]
fn row_62_texts_come_back_whole() {
    let title = "A \\\"quoted\\\" wall </script> \u{2028} é";
    let text = format!("job \"{title}\" {{\n    site \"x\"\n    thikc 8\"\n}}\n");
    let compiled = compile_text(&Shelf::default(), "a.job", &text, &Limits::default());
    let mut out = Vec::new();
    json::findings(&[("a.job", &compiled)], &mut out).unwrap();
    let file: Value = serde_json::from_slice(&out).unwrap();
    let job = &file["jobs"][0];
    assert_eq!(job["title"], "A \"quoted\" wall </script> \u{2028} é");
    let found = job["findings"].as_array().unwrap().iter().find(|found| found["rule"] == "clause-unknown").unwrap();
    assert_eq!((&found["at"][0]["line"], &found["at"][0]["column"]), (&Value::from(3), &Value::from(5)));
    assert_eq!(found["level"], "error");
}

/// Accepted warnings stay in the contract, with the reason.
#[test]
fn accepted_warnings_are_told() {
    let text = "job \"Thin\" { show feet }\nwall old { leg back 6'; thick 7\"; height 0 to 24\" }\n\
        section new { along old.back; thick 6\"; height 0 to 12\" }\n\
        holes pins { into old; along new; rows height 6\"; space every 12\"; bore 5/8\" by 5 1/2\" }\n\
        accept back-thin on pins down to 1 1/2\" because \"seen by the engineer\"\n";
    let compiled = compile_text(&Shelf::default(), "thin.job", text, &Limits::default());
    let mut out = Vec::new();
    json::findings(&[("thin.job", &compiled)], &mut out).unwrap();
    let file: Value = serde_json::from_slice(&out).unwrap();
    let accepted = &file["jobs"][0]["accepted"][0];
    assert_eq!(accepted["because"], "seen by the engineer");
    assert_eq!(accepted["finding"]["rule"], "back-thin");
    let open = file["jobs"][0]["findings"].as_array().unwrap();
    assert!(open.iter().all(|found| found["rule"] != "back-thin"));
    // A later, worse edit warns again.
    let worse = text.replace("by 5 1/2\"", "by 6\"");
    let compiled = compile_text(&Shelf::default(), "thin.job", &worse, &Limits::default());
    let rules: Vec<&str> = compiled.problems.iter().map(|problem| problem.rule.name).collect();
    assert!(rules.contains(&"back-thin") && rules.contains(&"accept-idle"), "{rules:?}");
}

/// The bill: amounts are decimals between quotes, stages and suppliers come to the sum.
#[test]
fn the_bill_is_exact_in_json() {
    let compiled = compile(&boathouse(), "boathouse.job", &Limits::default()).unwrap();
    let mut out = Vec::new();
    json::buying(&[("boathouse.job", &compiled)], &mut out).unwrap();
    let file: Value = serde_json::from_slice(&out).unwrap();
    assert_eq!(file["schema_version"], 1);
    let money = &file["jobs"][0]["money"];
    let cents = |amount: &Value| {
        assert_eq!(amount["currency"], "USD");
        let text = amount["amount"].as_str().unwrap();
        assert_eq!(text.split_once('.').unwrap().1.len(), 2, "{text}");
        text.replace('.', "").parse::<u64>().unwrap()
    };
    for shares in ["stages", "suppliers"] {
        let all: u64 = money[shares].as_array().unwrap().iter().map(|share| cents(&share["cost"])).sum();
        assert_eq!(all, cents(&money["sum"]), "{shares}");
    }
    let total = cents(&money["sum"]) + cents(&money["tax"]) + cents(&money["contingency"]);
    assert_eq!(total, cents(&money["total"]));
    assert_eq!(tally()["jobs"][0]["money"]["total"], money["total"]);
}

/// What is written, read back.
fn read_back(write: impl Fn(&mut dyn io::Write) -> io::Result<()>) -> Value {
    let mut out = Vec::new();
    write(&mut out).unwrap();
    serde_json::from_slice(&out).unwrap()
}

/// A reader of the schema that asks for one of the files in it.
fn asks_for(file: &str) -> jsonschema::Validator {
    let mut schema = json::schema();
    assert!(schema["$defs"].get(file).is_some(), "{file}");
    let fields = schema.as_object_mut().unwrap();
    fields.remove("anyOf");
    fields.insert("$ref".into(), format!("#/$defs/{file}").into());
    jsonschema::draft202012::new(&schema).unwrap()
}

/// An example by its folder.
fn example(name: &str) -> Compiled {
    let read = |file: String| Some((file.clone(), std::fs::read(format!("examples/{name}/{file}")).ok()?));
    let shelf = Shelf::new([format!("{name}.job"), "shop.job".into()].into_iter().filter_map(read));
    compile(&shelf, &format!("{name}.job"), &Limits::default()).unwrap()
}

/// The published schema holds of all that is written of every example, and of a job with mistakes.
#[test]
fn the_schema_holds_of_every_example() {
    let mut jobs: Vec<Compiled> = std::fs::read_dir("examples")
        .unwrap()
        .map(|entry| example(entry.unwrap().file_name().to_str().unwrap()))
        .collect();
    assert!(jobs.len() >= 7);
    let mistakes = std::fs::read_to_string("tests/ten-mistakes.job").unwrap();
    jobs.push(compile_text(&Shelf::default(), "ten-mistakes.job", &mistakes, &Limits::default()));
    let validators = ["FindingsFile", "TallyFile", "OrderFile", "WhyFile", "ChangesFile"].map(asks_for);
    let whole = jsonschema::draft202012::new(&json::schema()).unwrap();
    let sides = Sides { before: "one".into(), after: "two".into() };
    for (job, other) in jobs.iter().zip(jobs.iter().cycle().skip(1)) {
        let one = [("a.job", job)];
        let comparison = compare(other, job, &Limits::default());
        let files = [
            read_back(|out| json::findings(&one, out)),
            read_back(|out| json::tally(&[("a.job", job), ("b.job", other)], out)),
            read_back(|out| json::order(&one, out)),
            read_back(|out| json::why(&one, None, out)),
            read_back(|out| json::changes(&comparison, &sides, out)),
        ];
        for (file, validator) in files.iter().zip(&validators) {
            let wrong: Vec<String> =
                validator.iter_errors(file).map(|error| format!("{}: {error}", error.instance_path())).collect();
            assert!(wrong.is_empty(), "{}: {wrong:#?}", job.job.title);
            assert!(whole.is_valid(file));
        }
    }
}

/// What the contract does not have is refused: a field that is missing, a number that is a text.
#[test]
fn the_schema_refuses_what_is_not_in_the_contract() {
    let validator = asks_for("TallyFile");
    assert!(validator.is_valid(&tally()));
    let mut file = tally();
    file["jobs"][0]["concrete"][0]["placed"].as_object_mut().unwrap().remove("m3");
    assert!(!validator.is_valid(&file));
    let mut file = tally();
    file["jobs"][0]["holes"][0]["count"] = "24".into();
    assert!(!validator.is_valid(&file));
    let mut file = tally();
    file.as_object_mut().unwrap().remove("schema_version");
    assert!(!validator.is_valid(&file));
    // More fields than are known may come.
    let mut file = tally();
    file["jobs"][0]["later"] = 1.into();
    assert!(validator.is_valid(&file));
}

/// A change of the contract is seen, and thought about: fields are only added within one version.
#[test]
fn the_schema_is_published() {
    insta::assert_snapshot!("json-schema", format!("{:#}", json::schema()));
}

/// The work of the lead example, with raw figures.
#[test]
fn the_order_has_days_pours_forms_curing_and_hazards() {
    let compiled = example("boathouse");
    let file = read_back(|out| json::order(&[("boathouse.job", &compiled)], out));
    let job = &file["jobs"][0];
    let works = &compiled.works;
    let names: Vec<&str> = job["steps"].as_array().unwrap().iter().map(|step| step["name"].as_str().unwrap()).collect();
    assert_eq!(names.len(), works.plan.order.len());
    let step = |name: &str| job["steps"].as_array().unwrap().iter().find(|step| step["name"] == name).unwrap();
    assert_eq!(step("drill")["lasts"]["value"], 24.0 * 6.0 * 60.0);
    assert!(step("drill")["after"].as_array().unwrap().contains(&"mark".into()));
    let harms = step("saw")["hazards"]["harms"].as_array().unwrap();
    assert!(harms.contains(&"dust".into()) && harms.contains(&"noise".into()), "{harms:?}");
    assert!(step("saw")["hazards"]["noise"]["level"]["value"].as_f64().unwrap() > 80.0);
    let days = &job["days"];
    assert_eq!((&days["start"], &days["people"]), (&"2027-05-03".into(), &1.into()));
    let cast = days["done"].as_array().unwrap().iter().find(|dated| dated["name"] == "cast").unwrap();
    assert_eq!(cast["start"], serde_json::json!({ "date": "2027-05-17", "second": 16 * 3600 + 1800 }));
    let pour = &job["pours"][0];
    assert_eq!(pour["batches"].as_array().unwrap().len(), 14);
    assert_eq!(pour["lasts"]["value"], works.placings[0].went.lasts as f64);
    assert!(pour["longest_wait"]["value"].as_f64().unwrap() <= pour["knits"]["value"].as_f64().unwrap());
    let volume: f64 =
        pour["batches"].as_array().unwrap().iter().map(|batch| batch["volume"]["m3"].as_f64().unwrap()).sum();
    assert!((volume - works.mixings[0].wanted.cubic_metres()).abs() < 1e-9);
    let forms = &job["forms"][0];
    let members = forms["members"].as_array().unwrap();
    assert!(members.len() >= 4 && members.iter().all(|member| member["holds"] == true), "{members:?}");
    for member in members {
        let number = |key: &str| member[key]["value"].as_f64().unwrap();
        assert!((number("load") / number("capacity") - member["ratio"].as_f64().unwrap()).abs() < 1e-4, "{member}");
    }
    assert!(!job["boards"][0]["bought"].as_array().unwrap().is_empty());
    let cure = &job["cures"][0];
    let strip = cure["ready"].as_array().unwrap().iter().find(|ready| ready["act"] == "strip").unwrap();
    assert_eq!((&strip["planned"]["value"], &strip["is_soon"]), (&(3.0 * 86_400.0).into(), &false.into()));
    assert!(cure["ages"].as_array().unwrap().len() >= 5);
}
