//! The JSON contract: valid, versioned, with the figures of the papers, and with every text in one piece.

use batterboard::{
    compile::{check, compile, compile_text},
    language::Limits,
    reports::json,
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
