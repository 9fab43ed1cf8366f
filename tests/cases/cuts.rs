//! Cutting plans through the language: what is bought, what is cut from it, and that the plan is proved.

use batterboard::{
    compile::Compiled,
    cutting::Proof,
    steel::CutPlan,
    units::{Length, show},
};

use super::fine;

/// Eight straight bars of 5 ft, side by side.
fn eight(stock: &str) -> Compiled {
    fine(&format!(
        r#"line edge {{ leg a 10' }}
section s {{ along edge; thick 6'; height 0 to 10" }}
bars b {{ size #4; along s; space every 14"; inset 8"; from offset 6", height 5"; legs out 5' }}
{stock}
pour p {{ fill s; mix bag-80-lb }}"#
    ))
}

fn plan(job: &Compiled) -> &CutPlan {
    assert_eq!(job.works.cuts.len(), 1);
    let plan = &job.works.cuts[0];
    // Every piece is cut once, and what is cut fits its bar.
    for (mark, (_, count)) in &plan.pieces {
        let cut: u64 = plan
            .cuts
            .iter()
            .map(|cut| cut.times * cut.pieces.iter().filter(|(of, _)| of == mark).map(|(_, count)| count).sum::<u64>())
            .sum();
        assert_eq!(cut, *count);
    }
    for cut in &plan.cuts {
        let count: u64 = cut.pieces.iter().map(|(_, count)| count).sum();
        let mut used = plan.kerf * i64::try_from(count - 1).unwrap();
        for (mark, count) in &cut.pieces {
            used += plan.pieces[mark].0 * i64::try_from(*count).unwrap();
        }
        assert!(used <= plan.sources[cut.source].length);
    }
    assert!(!matches!(plan.proof, Proof::NotProven));
    plan
}

/// Length in feet and number of the bars that are bought.
fn bought(job: &Compiled) -> Vec<(i64, u64)> {
    plan(job).bought().map(|(source, count)| (source.length.nm() / (12 * Length::INCH.nm()), count)).collect()
}

#[test]
fn a_cut_that_takes_something_takes_a_bar_more() {
    // Published beside the solver's instances K0 and K8: eight pieces of 60 in from bars of 240 in.
    let job = eight("");
    assert_eq!(bought(&job), [(20, 2)]);
    let job = eight("stock rods { for #4; length 20'; kerf 1/8\" }");
    assert_eq!(bought(&job), [(20, 3)]);
}

#[test]
fn prices_decide_and_what_lies_at_hand_is_used_first() {
    let job =
        eight("stock long { for #4; length 20'; price 12.00 USD }\nstock short { for #4; length 10'; price 5.50 USD }");
    assert_eq!(bought(&job), [(10, 4)]);
    assert_eq!(show::money(plan(&job).cost.unwrap()).to_string(), "22.00 USD");
    let job = eight(
        "stock long { for #4; length 20'; price 10.00 USD }\nstock short { for #4; length 10'; price 5.50 USD }\nstock shelf { for #4; length 5'-2\"; on-hand 3 }",
    );
    // Three from the shelf; five are left: one long bar and one short one.
    let mixed = plan(&job);
    assert_eq!(bought(&job), [(20, 1), (10, 1)]);
    assert_eq!(show::money(mixed.cost.unwrap()).to_string(), "15.50 USD");
    let at_hand: u64 = mixed.cuts.iter().filter(|cut| mixed.sources[cut.source].at_hand).map(|cut| cut.times).sum();
    assert_eq!(at_hand, 3);
}

#[test]
fn without_prices_the_least_steel_is_bought() {
    let job = eight("stock long { for #4; length 20' }\nstock odd { for #4; length 16' }");
    // Two of 20 ft and nothing left; three of 16 ft would be 48 ft.
    assert_eq!((bought(&job), plan(&job).cost), (vec![(20, 2)], None));
}

/// A row of 36 ft, lapped by 2 ft, and short bars beside it.
fn lapped(stock: &str, rows: &str, places: &str, legs: &str) -> Compiled {
    fine(&format!(
        r#"line edge {{ leg a 36'-4" }}
section s {{ along edge; thick 6'; height 0 to 60" }}
bars rails {{ size #4; along s; rows height {rows}; offset 4"; lap 24" }}
bars b {{ size #4; along s; space {places}; from offset 10", height 5"; legs out {legs} }}
{stock}
pour p {{ fill s; mix bag-80-lb }}"#
    ))
}

#[test]
fn laps_are_chosen_with_the_plan() {
    // A row of 36 ft takes 38 ft of bars: two of 19 ft, or 20 ft and 18 ft; only then the 2 ft behind are the short bar.
    let job = lapped("", "8\"", "at 18'", "2'");
    assert_eq!(bought(&job), [(20, 2)]);
    let rails = job.works.bars.iter().find(|made| job.job.name(made.id) == "rails").unwrap();
    let mut cuts: Vec<i64> = rails.groups.iter().map(|group| group.shape.cut.nm() / (12 * Length::INCH.nm())).collect();
    cuts.sort_unstable();
    assert_eq!(cuts, [18, 20]);
    // Without the short bar nothing is to be had of a change, and nothing changes what was chosen by the least steel.
    let alone = lapped("", "8\"", "at 18'", "1'");
    assert_eq!(bought(&alone), [(20, 2)]);
}
