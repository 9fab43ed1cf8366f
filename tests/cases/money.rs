//! Buying and money: totals worked by hand, and what holds of every bill.

use batterboard::{
    buying::{Bill, Line, Of, Sundry},
    compile::Compiled,
    language::Limits,
    reports,
    schema::Pack,
    source::Shelf,
    units::{Exact, Money, show},
};
use proptest::prelude::*;

use super::{compiled, fine, found};

/// A wall of 10 ft by 8 in by 12 in: 6.667 ft3, 7.0 ft3 with the usual 5%, 12 bags of 0.60 ft3.
const WALL: &str = "wall old { leg back 10'; thick 8\"; height -12\" to 26\" }
section new { along old.back; thick 8\"; base soil; height 0 to 12\" }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour all { fill new; mix bagged }
step cast \"Mix, place and rod\" { work pour all; takes 8 h }
";

fn job(more: &str) -> Compiled {
    fine(&format!("{WALL}{more}"))
}

fn shown(money: Option<Money>) -> String {
    money.map_or_else(|| "none".to_owned(), |money| show::money(money).to_string())
}

fn total(job: &Compiled) -> String {
    shown(job.works.bill.total)
}

/// The cost of the line of the bill whose number has this name.
fn cost(job: &Compiled, name: &str) -> String {
    use batterboard::ledger::Figure;
    match job.works.ledger.find(name).map(|entry| entry.value) {
        Some(Figure::Money(money)) => show::money(money).to_string(),
        other => format!("{other:?}"),
    }
}

#[test]
fn a_whole_bill_by_hand() {
    // 12 bags at 6.80: 81.60. A mixer for two days at 55: 110.00. A permit of 120.00, untaxed. Together 311.60.
    // Tax 6.5% of 191.60: 12.454, 12.45. Put by 10% of 324.05: 32.405, half away from zero 32.41. In all 356.46.
    let job = job("stock bags { for bagged; unit 1 bag; price 6.80 USD }
hire drum { for cast; price 55 USD per day; kept 2 days }
ask paper \"Is a permit needed?\" { before cast }
fee permit { price 120 USD; for paper; untaxed }
budget { contingency 10%; tax 6.5% }
");
    let bill = &job.works.bill;
    assert_eq!(cost(&job, "buy.bagged.bags.cost"), "81.60 USD");
    assert_eq!(cost(&job, "drum.cost"), "110.00 USD");
    assert_eq!(cost(&job, "permit.cost"), "120.00 USD");
    assert_eq!(cost(&job, "cast.cost"), "191.60 USD");
    assert_eq!(cost(&job, "paper.cost"), "120.00 USD");
    assert_eq!(shown(bill.sum), "311.60 USD");
    assert_eq!(shown(bill.tax.map(|(_, tax)| tax)), "12.45 USD");
    assert_eq!(shown(bill.contingency), "32.41 USD");
    assert_eq!(total(&job), "356.46 USD");
    assert_eq!(cost(&job, "buy.total"), "356.46 USD");
    assert_eq!(cost(&job, "buy.bagged.cost"), "81.60 USD");
}

#[test]
fn a_line_is_rounded_once_half_away_from_zero() {
    // 12 bags at 0.125: 1.50, not 12 times 0.13. 3 of 0.335: 1.005, which is 1.01.
    let job = job("stock bags { for bagged; price 0.125 USD }
goods clasps { want 3; for cast }
stock clasp { for clasps; price 0.335 USD }
");
    assert_eq!(cost(&job, "buy.bagged.bags.cost"), "1.50 USD");
    assert_eq!(cost(&job, "buy.clasps.clasp.cost"), "1.01 USD");
    assert_eq!(total(&job), "2.51 USD");
    // A currency without coins: 12 bags at 850.50 are 10206 yen.
    assert_eq!(total(&fine(&format!("{WALL}stock bags {{ for bagged; price 850.50 JPY }}\n"))), "10206 JPY");
}

#[test]
fn packs_are_whole_and_the_cheapest_that_hold_what_is_wanted() {
    // 130 wanted: a hundred at 8.00 and two of 25 at 3.00, 14.00; two hundreds would be 16.00. 20 are left.
    let with = |more: &str| job(&format!("goods clips {{ want 130; for cast }}\n{more}"));
    let both =
        with("stock small { for clips; unit 25; price 3 USD }\nstock large { for clips; unit 100; price 8 USD }\n");
    assert_eq!(total(&both), "14.00 USD");
    assert_eq!(cost(&both, "buy.clips.small.cost"), "6.00 USD");
    assert_eq!(cost(&both, "buy.clips.large.cost"), "8.00 USD");
    // With a hundred at hand 30 are wanted: two small ones.
    let hand = with("stock small { for clips; unit 25; price 3 USD }\nstock shed { for clips; unit 100; on-hand 1 }\n");
    assert_eq!(total(&hand), "6.00 USD");
    // By weight: 130 lb of sand in bags of 50 lb are three.
    let sand = job("goods sand { want 130 lb }\nstock bag { for sand; unit 50 lb; price 4.20 USD }\n");
    assert_eq!(total(&sand), "12.60 USD");
    // By length: 100 ft of rope are 30.48 m: four rolls of 10 m.
    let rope = job("goods rope { want 100 ft }\nstock roll { for rope; unit 10 m; price 7 USD }\n");
    assert_eq!(total(&rope), "28.00 USD");
    // A pallet of 56 bags holds 12.
    let pallet = job("stock pallet { for bagged; unit 56 bags; price 350 USD }\n");
    assert_eq!(total(&pallet), "350.00 USD");
}

#[test]
fn what_is_hired_is_paid_for_the_days_of_its_steps() {
    // From Monday on, 8 to 16: build on Monday, cast on Tuesday, strip on Thursday, 8 h each: forms stay for a day.
    let head = "job \"Case\" { show feet; start 2027-05-03 }\n";
    let steps = "forms boxing { against new; sheath ply-3/4; studs 2x4, space at most 12\"; brace 2x4, space at most 30\", angle 30 deg, on stakes; kick 2x4, on stakes }
step build \"Build\" { work form boxing; takes 8 h; before cast }
step strip \"Strip\" { work strip boxing; takes 8 h }
";
    let with = |hire: &str| compiled(&format!("{head}{WALL}{steps}hire it {{ for build, strip; {hire} }}\n"));
    let bill = |job: &Compiled| {
        let hired = &job.works.bill.hires[0];
        (hired.days, hired.seconds / 3600, shown(hired.cost))
    };
    // Monday and Thursday: four days through, two that are used, 16 hours.
    assert_eq!(bill(&with("price 55 USD per day")), (Some(4), 16, "220.00 USD".to_owned()));
    assert_eq!(bill(&with("price 55 USD per day; days used")), (Some(2), 16, "110.00 USD".to_owned()));
    // What goes back in between is brought twice; what stays, or is kept as long as is said, once.
    let brought = |hire: &str| cost(&with(&format!("price 55 USD per day; delivery 20 USD{hire}")), "it.delivery");
    assert_eq!(["", "; days used", "; days used; kept 2 days"].map(brought), ["20.00 USD", "40.00 USD", "20.00 USD"]);
    // From one day to the next it stays overnight.
    let next = "hire it { for build, cast; price 55 USD per day; days used; delivery 20 USD }\n";
    assert_eq!(cost(&compiled(&format!("{head}{WALL}{steps}{next}")), "it.delivery"), "20.00 USD");
    assert_eq!(bill(&with("price 9 USD per h")), (Some(4), 16, "144.00 USD".to_owned()));
    // Of several prices those that come to the least.
    assert_eq!(bill(&with("price 55 USD per day; price 9 USD per h")).2, "144.00 USD");
    assert_eq!(bill(&with("price 35 USD per day; price 9 USD per h")).2, "140.00 USD");
    assert_eq!(bill(&with("price 70 USD; count 2")).2, "140.00 USD");
    // Nine days: a week and two days; six: one week is less than six days.
    let rates = "price 55 USD per day; price 180 USD per week";
    assert_eq!(bill(&with(&format!("{rates}; kept 9 days"))).2, "290.00 USD");
    assert_eq!(bill(&with(&format!("{rates}; kept 6 days"))).2, "180.00 USD");
    // A deposit comes back, a delivery does not.
    let job = with("price 55 USD per day; deposit 200 USD; delivery 30 USD");
    assert_eq!(total(&job), "250.00 USD");
    // What is recorded is paid for as long as it took; where that is not said, as long as was planned.
    let hourly = |record: &str| with(&format!("price 9 USD per h }}\nrecord 2027-05-03 {{ {record}; note \"x\""));
    assert_eq!(bill(&hourly("done build, took 150 min")).1, 8 + 2);
    assert_eq!(bill(&hourly("done build, took 150 min")).2, "99.00 USD");
    assert_eq!(bill(&hourly("done build")).2, "144.00 USD");
    // Without days there is no number of days, and no guess.
    let text = format!("{WALL}{steps}hire it {{ for build, strip; price 55 USD per day }}\n");
    let undated = compiled(&text);
    assert_eq!((undated.works.bill.hires[0].days, undated.works.bill.hires[0].cost), (None, None));
}

#[test]
fn fees_are_paid_once_by_the_trip_by_weight_or_by_room() {
    // 10 ft by 12 in by 4 in: 3.333 ft3, 500 lb at 150 lb/ft3, 5 ft3 broken.
    let slab = "slab floor { against old.back; thick 4\"; top 0 }
remove strip { in floor; along old.back; out 12\" }
ask lines \"Lines?\" { about lines; before break }
step break \"Break it out\" { work remove strip; before cast }
truck van { carries 300 lb; holds 1 yd3 }
";
    let with = |fee: &str| total(&compiled(&format!("{WALL}{slab}fee dump {{ {fee}; for break }}\n")));
    // Two trips by weight.
    assert_eq!(with("price 32 USD per trip"), "64.00 USD");
    // A quarter of a short ton at 45.50: 11.375.
    assert_eq!(with("price 45.50 USD per ton"), "11.38 USD");
    // 5/27 of a cubic yard at 40: 7.407.
    assert_eq!(with("price 40 USD per yd3"), "7.41 USD");
    assert_eq!(with("price 120 USD"), "120.00 USD");
    // Of no strip that is named nothing is carted off.
    let bare =
        total(&compiled(&format!("{WALL}{}fee dump {{ price 32 USD per trip }}\n", slab.replace("truck", "// truck"))));
    assert_eq!(bare, "0.00 USD", "without a truck nobody knows how many trips: not priced, and nothing else is");
}

/// Two shops: sand dearer here, clips dearer there; deliveries decide.
fn shops(deliveries: [u32; 2], cheapest: bool) -> Compiled {
    let cheapest = if cheapest { "budget { cheapest }\n" } else { "" };
    job(&format!(
        "supplier near {{ delivery {} USD }}\nsupplier far {{ delivery {} USD }}
goods sand {{ want 10 }}\ngoods clips {{ want 10 }}
stock sand-near {{ for sand; price 9 USD; from near }}\nstock sand-far {{ for sand; price 5 USD; from far }}
stock clips-near {{ for clips; price 2 USD; from near }}\nstock clips-far {{ for clips; price 4 USD; from far }}\n{cheapest}",
        deliveries[0], deliveries[1]
    ))
}

#[test]
fn the_cheapest_split_weighs_deliveries() {
    // Near alone: 90 + 20 = 110 and its delivery; far alone: 50 + 40 = 90; both: 50 + 20 = 70 and both deliveries.
    assert_eq!(total(&shops([5, 10], true)), "85.00 USD", "both: 70 and 15");
    assert_eq!(total(&shops([30, 10], true)), "100.00 USD", "far alone: 90 and 10");
    assert_eq!(total(&shops([5, 60], true)), "115.00 USD", "near alone: 110 and 5");
    // Without it what is written first is bought.
    assert_eq!(total(&shops([5, 10], false)), "115.00 USD");
    let split = shops([5, 10], true).works.bill.split.unwrap();
    assert_eq!((split.tried, split.proven, split.weighed.len()), (4, true, 2));
    assert_eq!(split.alone.iter().map(|(_, cost)| *cost).collect::<Vec<_>>(), [Exact::whole(115), Exact::whole(100)]);
}

#[test]
fn bars_are_cut_from_the_stock_of_who_is_bought_from() {
    // Two pieces of 9 ft: one bar of 20 ft at 12, or two of 10 ft at 5; the shop with 10 ft is cheaper, its delivery is not.
    let with = |delivery: u32| {
        compiled(&format!(
            "wall old {{ leg back 10'; thick 8\"; height -12\" to 26\" }}
section new {{ along old.back; thick 8\"; base soil; height 0 to 12\" }}
bars rails {{ size #4; along new; rows height 4\", 8\"; offset 4\"; ends 6\" }}
step cage \"Place\" {{ work place rails }}
supplier long {{ delivery 5 USD }}\nsupplier short {{ delivery {delivery} USD }}
stock rods {{ for #4; length 20'; price 12 USD; from long }}
stock rods-short {{ for #4; length 10'; price 5 USD; from short }}
budget {{ cheapest }}\n"
        ))
    };
    let (cheap, dear) = (with(2), with(9));
    assert_eq!((total(&cheap), total(&dear)), ("12.00 USD".to_owned(), "17.00 USD".to_owned()));
    assert!(cheap.works.cuts[0].bought().all(|(source, _)| source.length.inches() == 120.0));
    assert!(dear.works.cuts[0].bought().all(|(source, _)| source.length.inches() == 240.0));
}

#[test]
fn what_is_not_priced_is_counted_and_never_summed() {
    let without = job("stock bags { for bagged; price 6.80 USD }\n");
    let with = job("stock bags { for bagged; price 6.80 USD }
goods rope { want 1; for cast }\nstock coil { for rope }\nhire drum { for cast; price 55 USD per day }
fee dump { price 30 USD per trip }\n");
    assert_eq!((total(&without), total(&with)), ("81.60 USD".to_owned(), "81.60 USD".to_owned()));
    assert_eq!(with.works.bill.unpriced, without.works.bill.unpriced + 3);
    // Without any price there is no total at all.
    assert_eq!((total(&job("")), job("").works.bill.currency), ("none".to_owned(), None));
}

#[test]
fn trips_are_counted_by_whole_packs() {
    // 12 bags of 80 lb on a truck for 300 lb: three at once, four trips; what is delivered is not fetched.
    let with =
        |more: &str| job(&format!("truck van {{ carries 300 lb }}\nstock bags {{ for bagged; from yard }}\n{more}"));
    let fetched = with("supplier yard { }\n");
    assert_eq!(fetched.works.bill.loads.fetched.iter().map(|one| one.trips).collect::<Vec<_>>(), [4]);
    assert!(with("supplier yard { delivery 0 USD }\n").works.bill.loads.fetched.is_empty());
}

/// How many of goods of the library are bought; none if they are not on the list.
fn goods(job: &Compiled, sort: Sundry) -> Option<Pack> {
    job.works.buying.iter().find_map(|line| match line {
        Line::Goods { sort: other, amount, .. } if *other == sort => *amount,
        _ => None,
    })
}

#[test]
fn goods_are_reckoned_from_what_wears_them() {
    let job = compiled(&format!("{WALL}slab floor {{ against old.back; thick 4\"; top 0 }}
cut edge {{ in floor; along old.back; out 12\"; deep 4\"; blade 14\", lasts 15' }}
holes pins {{ into old; along new; rows height 6\"; inset 6\"; space at 6\", 30\", 60\"; bore 5/8\" by 6\"; bit lasts 1'; fill glue }}
bars pegs {{ size #4; in pins; out 6\" }}
resin glue {{ cartridge 10 fl-oz, nozzles 1 }}
support posts-old {{ carries \"the beam\"; posts 3 }}
cure keep {{ of all; wrap for 7 days }}
step saw \"Saw\" {{ work cut edge; people 2 }}
step drill \"Drill\" {{ work drill pins }}
step peg \"Set\" {{ work set pegs; before cast }}
"));
    // 10 ft, 4 in deep, is 40 ft at 1 in: 2.67 blades that last 15 ft.
    assert_eq!(goods(&job, Sundry::Blades), Some(Pack::Count(3)));
    // Three holes of 6 in are 18 in: two bits that last 12 in.
    assert_eq!(goods(&job, Sundry::Bits), Some(Pack::Count(2)));
    assert_eq!(goods(&job, Sundry::Props), Some(Pack::Count(3)));
    assert_eq!(goods(&job, Sundry::BarCaps), Some(Pack::Count(3)));
    // One nozzle is used, and one comes with the cartridge.
    assert_eq!(goods(&job, Sundry::Nozzles), None);
    // Two saw, one does the rest.
    assert_eq!(goods(&job, Sundry::Goggles), Some(Pack::Count(2)));
    assert_eq!(goods(&job, Sundry::RubberGloves), Some(Pack::Count(1)));
    // Front 10 ft by 1 ft, ends 8 in by 1 ft each, top 10 ft by 8 in: 18 ft2.
    let Some(Pack::Area(area)) = goods(&job, Sundry::Wrap) else { panic!() };
    assert_eq!(area.square_feet(), 18.0);
    // Whoever writes how many they want gets as many.
    let wanted = super::compiled(&format!("{WALL}goods goggles {{ want 5 }}\n"));
    assert_eq!(goods(&wanted, Sundry::Goggles), Some(Pack::Count(5)));
}

#[test]
fn what_covers_fresh_concrete_is_paid_with_its_pour() {
    // 10 ft by 8 in of top and 10 ft by 1 ft of front and the ends: less than a pack of each.
    let job = job(
        "cure kept { of all; wrap for 3 days; warm at 55 degF, for 3 days; strip after 3 days; backfill after 9 days }
stock sheet { for wrap-sheet; unit 100 ft2; price 11 USD }
stock covers { for blankets; unit 100 ft2; price 28 USD }
stock bags { for bagged; unit 1 bag; price 1 USD }
step fill \"Backfill\" { work backfill kept }
",
    );
    // The wall's 12 bags beside them.
    assert_eq!(cost(&job, "cast.cost"), "51.00 USD");
    assert_eq!(cost(&job, "fill.cost"), "None");
}

#[test]
fn the_day_plan_names_as_many_bits_as_are_bought() {
    // 10 holes of 5 in wear 50 in of bit.
    let job = |lasts: &str| {
        let days = format!(
            "job \"Case\" {{ show feet; start 2027-05-03 }}\n{WALL}holes pins {{ into old; along new; rows height 6\"; inset 6\"; space at most 12\"; bore 5/8\" by 5\"{lasts} }}
step drill \"Drill\" {{ work drill pins; before cast }}\n"
        );
        let job = compiled(&days);
        let mut out = Vec::new();
        reports::print::markdown(&reports::day_plan(&job), &mut out).unwrap();
        (goods(&job, Sundry::Bits), String::from_utf8(out).unwrap())
    };
    let (bought, said) = job("; bit lasts 20\"");
    assert_eq!(bought, Some(Pack::Count(3)));
    assert!(said.contains("3 bits of 5/8\" for 10 holes"), "{said}");
    let (bought, said) = job("");
    assert_eq!(bought, Some(Pack::Count(1)));
    assert!(said.contains("a bit of 5/8\" for 10 holes"), "{said}");
}

#[test]
fn money_that_cannot_be_is_told() {
    let with = |more: &str| found(&format!("{WALL}{more}"));
    assert_eq!(with("stock bags { for bagged; price 0 USD }\n"), ["sign-wrong"]);
    assert_eq!(with("stock bags { for bagged; price -3 USD }\n"), ["sign-wrong"]);
    assert_eq!(with("hire drum { for cats; price 5 USD per day }\n"), ["name-unknown"]);
    assert_eq!(with("stock bags { for bagged; price 5 USD }\nfee dump { price 5 EUR }\n"), ["two-currencies"]);
    assert_eq!(with("fee dump { price 5 USD per day }\n"), ["value-misfit"]);
    assert_eq!(with("hire drum { for cast; price 5 USD per ton }\n"), ["dimension-wrong"]);
    assert_eq!(with("stock bags { for bagged; unit 0; price 5 USD }\n"), ["sign-wrong"]);
    assert_eq!(with("budget { tax 8 }\n"), ["unit-missing"]);
    // The length of a stock may be asked for, where it has one.
    assert_eq!(with("let long = bags.length\nstock bags { for bagged; price 5 USD }\n"), ["clause-missing"]);
    assert!(with("let long = rods.length\nstock rods { for #4; length 20'; price 5 USD }\n").is_empty());
}

/// Stages and suppliers come to the sum; with tax and contingency to the total.
fn adds_up(bill: &Bill) {
    let Some(sum) = bill.sum else { return };
    let zero = Money { amount: Exact::ZERO, ..sum };
    for shares in [&bill.stages, &bill.suppliers] {
        let all = shares.iter().try_fold(zero, |all, share| all.plus(share.cost)).unwrap();
        assert_eq!(all, sum);
        assert_eq!(shares.iter().map(|share| share.unpriced).sum::<usize>(), bill.unpriced);
    }
    let lines = bill.posts.iter().filter_map(|post| post.cost).try_fold(zero, |all, cost| all.plus(cost)).unwrap();
    assert_eq!(lines, sum);
    let more = bill.tax.map(|(_, tax)| tax).into_iter().chain(bill.contingency);
    assert_eq!(Some(more.fold(sum, |all, one| all.plus(one).unwrap())), bill.total);
    let coin = Exact::whole(10_i128.pow(sum.currency.decimals()));
    assert!(bill.posts.iter().filter_map(|post| post.cost).all(|cost| cost.amount.times(coin).unwrap().is_whole()));
}

#[test]
fn the_bills_of_the_examples_add_up() {
    let mut priced = 0;
    for name in ["boathouse", "cellar", "gate", "icehouse", "pad", "pier", "sluice"] {
        let files = std::fs::read_dir(format!("examples/{name}")).unwrap().map(|entry| entry.unwrap().path());
        let read =
            files.map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), std::fs::read(&path).unwrap()));
        let job = batterboard::compile::compile(&Shelf::new(read), &format!("{name}.job"), &Limits::default()).unwrap();
        adds_up(&job.works.bill);
        priced += usize::from(job.works.bill.total.is_some());
        // Stages: a fee and a hire are there too.
        let of = |wanted: fn(&Of) -> bool| job.works.bill.posts.iter().any(|post| wanted(&post.of));
        if name == "boathouse" {
            assert!(of(|of| matches!(of, Of::Hire(_))) && of(|of| matches!(of, Of::Fee(_))));
        }
    }
    assert_eq!(priced, 2, "the boathouse in dollars, the pier in euros; the others are not priced");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// The cheapest split is what trying every set of shops finds, and never above any shop alone.
    #[test]
    fn no_split_is_cheaper(
        prices in prop::collection::vec(prop::collection::vec(prop::option::weighted(0.8, 1_u32..900), 3), 3),
        deliveries in prop::collection::vec(0_u32..3000, 3),
        wants in prop::collection::vec(1_u32..20, 3),
    ) {
        let mut text = String::new();
        for (shop, delivery) in deliveries.iter().enumerate() {
            text += &format!("supplier shop-{shop} {{ delivery {}.{:02} USD }}\n", delivery / 100, delivery % 100);
        }
        for (item, want) in wants.iter().enumerate() {
            text += &format!("goods thing-{item} {{ want {want} }}\n");
            for (shop, price) in prices[item].iter().enumerate() {
                if let Some(price) = price {
                    text += &format!("stock s-{item}-{shop} {{ for thing-{item}; price {}.{:02} USD; from shop-{shop} }}\n", price / 100, price % 100);
                }
            }
        }
        let sold: Vec<usize> = (0..3).filter(|item| prices[*item].iter().any(Option::is_some)).collect();
        prop_assume!(!sold.is_empty());
        // In cents, every set of shops.
        let of_set = |set: usize| -> Option<u32> {
            let mut all = 0;
            for item in &sold {
                let in_set = prices[*item].iter().enumerate().filter(|(shop, _)| set & (1 << shop) != 0);
                all += in_set.filter_map(|(_, price)| *price).min()? * wants[*item];
            }
            Some(all + (0..3).filter(|shop| set & (1 << shop) != 0).map(|shop| deliveries[shop]).sum::<u32>())
        };
        let best = (0..8).filter_map(of_set).min().unwrap();
        let job = job(&format!("{text}budget {{ cheapest }}\n"));
        let bill = &job.works.bill;
        prop_assert_eq!(bill.sum.unwrap().amount, Exact::new(i128::from(best), 100).unwrap());
        for (_, alone) in &bill.split.as_ref().unwrap().alone {
            prop_assert!(bill.sum.unwrap().amount <= *alone);
        }
        adds_up(bill);
    }

    #[test]
    fn more_waste_never_costs_less(waste in 0_u32..100, more in 0_u32..40, large in 1_u32..40) {
        let with = |waste: u32| {
            let wall = WALL.replace("fill new; mix bagged", &format!("fill new; mix bagged; waste {waste}%"));
            let job = fine(&format!("{wall}stock one {{ for bagged; price 7 USD }}\nstock many {{ for bagged; unit {large}; price {}.50 USD }}\n", 5 * large));
            adds_up(&job.works.bill);
            job.works.bill.total.unwrap().amount
        };
        prop_assert!(with(waste + more) >= with(waste));
    }

    #[test]
    fn rates_come_to_a_whole_number_of_coins(cents in 1_u32..20_000, tax in 0_u32..300, put_by in 0_u32..300) {
        let job = job(&format!(
            "stock bags {{ for bagged; price {}.{:02} USD }}\nbudget {{ tax {}.{}%; contingency {}.{}% }}\n",
            cents / 100, cents % 100, tax / 10, tax % 10, put_by / 10, put_by % 10
        ));
        adds_up(&job.works.bill);
        // Again in whole cents: the tax of 12 bags, half away from zero.
        let sum = i128::from(cents) * 12;
        let taxed = sum + (sum * i128::from(tax) + 500) / 1000;
        let all = taxed + (taxed * i128::from(put_by) + 500) / 1000;
        prop_assert_eq!(job.works.bill.total.unwrap().amount, Exact::new(all, 100).unwrap());
    }
}

#[test]
fn what_cannot_be_read_brings_nothing_too_long() {
    let text = |stock: &str| {
        format!(
            "{WALL}bars rails {{ size #4; along new; rows height 5\"; offset 4\"; pieces at most 8' }}
truck van {{ carries 1400 lb; longest 12' }}
{stock}"
        )
    };
    let good = text(
        "supplier yard \"Yard\" { delivery 40 USD }\nstock rods { for #4; length 20'; price 9.50 USD; from yard }",
    );
    assert!(!found(&good).contains(&"too-long-for-truck"));
    for (right, wrong) in [("length 20'", "length 20 q"), ("for #4", "for #44"), ("delivery 40 USD", "delivery 40 Q")] {
        let broken = good.replace(right, wrong);
        assert!(!found(&broken).contains(&"too-long-for-truck"), "{wrong}: {:?}", found(&broken));
        assert!(!compiled(&broken).problems.is_empty(), "{wrong}");
    }
    assert!(found(&text("stock rods { for #4; length 20'; price 9.50 USD }")).contains(&"too-long-for-truck"));
}
