//! Bags, batches, trips.

use batterboard::units::System;

use super::fine;

/// Whole bags of the only pour.
fn bags(text: &str) -> u64 {
    fine(text).works.mixings[0].bags
}

/// A block of concrete on a line.
fn block(length: &str, thick: &str, high: &str, mix: &str, waste: &str) -> String {
    format!(
        "line edge {{ leg a {length} }}
section s {{ along edge; thick {thick}; height 0 to {high} }}
pour p {{ fill s; mix {mix}; waste {waste} }}"
    )
}

#[test]
fn an_exact_number_of_bags_is_not_pushed_over() {
    // S1 with 8 % in bags of 0.60 ft3: 15.5556 · 1.08 / 0.60 = 28; binary floating point gives 28.000000000000004.
    let s1 = "wall old { leg a 10'; corner outside; leg b 3'; thick 8\"; height -12\" to 26\" }
section low { along old.a 0 to 6'; thick 8\"; height -4\" to 12\" }
section high { along old.a 6' to old.b 3'; thick 8\"; height -4\" to 20\" }
mix m { bag 80 lb, yields 0.60 ft3 }
pour p { fill low, high; mix m; waste 8% }";
    assert_eq!(bags(s1), 28);
}

#[test]
fn bags_of_known_blocks() {
    // By hand: 10 ft · 8 in · 2 ft = 13.333 ft3; with 5 % 14 ft3, 23.33 bags of 0.60 ft3.
    assert_eq!(bags(&block("10'", "8\"", "2'", "bag-80-lb", "5%")), 24);
    // 1 m3 in bags of 11.71 L: 85.4.
    assert_eq!(bags(&block("1 m", "1 m", "1 m", "bag-25-kg", "0%")), 86);
    assert_eq!(bags(&block("1'", "1'", "0.6'", "bag-80-lb", "0%")), 1);
    assert_eq!(bags(&block("1'", "1'", "0.6001'", "bag-80-lb", "0%")), 2);
}

#[test]
fn batches_are_full_but_the_last() {
    let text = block("10'", "8\"", "2'", "bag-80-lb", "5%").replace("waste", "mixer 5 bags; carry 4 gal; waste");
    let job = fine(&text);
    let mixing = &job.works.mixings[0];
    let sizes: Vec<u64> = mixing.each_batch().map(|batch| batch.bags).collect();
    assert_eq!(sizes, [5, 5, 5, 5, 4]);
    assert_eq!(mixing.batches, Some(5));
    // By hand: 5 · 0.6 ft3 are 22.44 gal, 6 trips of 4 gal; 4 · 0.6 ft3 are 17.95 gal, 5 trips.
    assert_eq!(mixing.trips, Some(29));
}

#[test]
fn a_quart_too_much_costs_strength() {
    // Two published forms: with 14 lb of cement (17.5 % of 80 lb) and 7 lb of water a quart more takes 31 % by the table of
    // the Portland Cement Association and 27 % by Abrams as textbooks have it.
    let job = fine(
        "line edge { leg a 10' }\nsection s { along edge; thick 8\"; height 0 to 12\" }
mix m { bag 80 lb, yields 0.60 ft3; water 3.3610 qt to 4.2 qt }\npour p { fill s; mix m }",
    );
    let wet = batterboard::concrete::too_wet(&job.job.mixes[0].say, System::Feet).unwrap();
    let lost: Vec<f64> = wet.lost.iter().map(|lost| lost.value.percent().round()).collect();
    assert_eq!(lost, [-31.0, -27.0]);
    let number = |name: &str| job.works.ledger.find(name).unwrap().value;
    assert_eq!(number("p.too-wet.1"), batterboard::ledger::Figure::Ratio(wet.lost[0].value));
    // Without water on the label nothing is said.
    let dry = fine(
        "line edge { leg a 10' }\nsection s { along edge; thick 8\"; height 0 to 12\" }
mix m { bag 80 lb, yields 0.60 ft3 }\npour p { fill s; mix m }",
    );
    assert_eq!(batterboard::concrete::too_wet(&dry.job.mixes[0].say, System::Feet), None);
}
