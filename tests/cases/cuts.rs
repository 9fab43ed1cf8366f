//! Cutting plans through the language: what is bought, what is cut from it, and that the plan is proved.

use batterboard::{compile::Compiled, cutting::Proof, steel::CutPlan, units::show};

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

#[test]
fn a_cut_that_takes_something_takes_a_bar_more() {
    // Published beside the solver's instances K0 and K8: eight pieces of 60 in from bars of 240 in.
    let job = eight("");
    assert_eq!(plan(&job).bought, 2);
    let job = eight("stock rods { for #4; length 20'; kerf 1/8\" }");
    assert_eq!(plan(&job).bought, 3);
}

#[test]
fn prices_decide_and_what_lies_at_hand_is_used_first() {
    let job =
        eight("stock long { for #4; length 20'; price 12.00 USD }\nstock short { for #4; length 10'; price 5.50 USD }");
    let cheap = plan(&job);
    assert_eq!((cheap.bought, show::money(cheap.cost.unwrap()).to_string()), (4, "22.00 USD".to_owned()));
    let job = eight(
        "stock long { for #4; length 20'; price 10.00 USD }\nstock short { for #4; length 10'; price 5.50 USD }\nstock shelf { for #4; length 5'-2\"; on-hand 3 }",
    );
    // Three from the shelf; five are left: one long bar and one short one.
    let mixed = plan(&job);
    assert_eq!((mixed.bought, show::money(mixed.cost.unwrap()).to_string()), (2, "15.50 USD".to_owned()));
    let at_hand: u64 = mixed.cuts.iter().filter(|cut| mixed.sources[cut.source].at_hand).map(|cut| cut.times).sum();
    assert_eq!(at_hand, 3);
}

#[test]
fn without_prices_the_least_steel_is_bought() {
    let job = eight("stock long { for #4; length 20' }\nstock odd { for #4; length 16' }");
    // Two of 20 ft and nothing left; three of 16 ft would be 48 ft.
    let least = plan(&job);
    assert_eq!((least.bought, least.cost), (2, None));
}
