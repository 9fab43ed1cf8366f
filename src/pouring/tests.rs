//! Pours gone through by hand, and what always holds.

use proptest::prelude::*;

use super::*;
use crate::units::{Duration, Length, Ratio};

fn litres(litres: i128) -> Volume {
    Volume::from_nm3(litres * 10_i128.pow(24))
}

fn spot(lift: usize, place: usize) -> Spot {
    Spot { lift, place }
}

fn place(volume: Volume, on: &[Spot]) -> Place {
    Place { volume, trip: 60, on: on.to_vec(), pushes_up: Vec::new() }
}

/// Two lifts of two places, 60 L each; batches of 40 L, mixed in 5 min; 20 L are carried in a minute, 40 L are rodded in 2.
fn plan(people: u32) -> Plan {
    let lift = |places| Lift { height: Length::METRE / 4, hold: 0, places };
    Plan {
        lifts: vec![
            lift(vec![place(litres(60), &[]), place(litres(60), &[spot(0, 0)])]),
            lift(vec![place(litres(60), &[spot(0, 0)]), place(litres(60), &[spot(0, 1), spot(1, 0)])]),
        ],
        batch: litres(40),
        mixing: 300,
        rodding: 120,
        waste: Ratio::from_fraction(0.0),
        crew: Crew { people, carry: litres(20) },
        breaks: Vec::new(),
    }
}

#[test]
fn alone_by_hand() {
    let pour = plan(1).pour().unwrap();
    // Each batch: 300 s of mixing, two loads of 60 s, 120 s of rodding: 540 s.
    let times: Vec<(u64, u64, u64)> =
        pour.batches.iter().map(|batch| (batch.begun, batch.placed_from, batch.placed_to)).collect();
    assert_eq!(
        times,
        [
            (0, 300, 540),
            (540, 840, 1080),
            (1080, 1380, 1620),
            (1620, 1920, 2160),
            (2160, 2460, 2700),
            (2700, 3000, 3240)
        ]
    );
    // The second batch is shared: 20 L end the first place, 20 L begin the second.
    let shared: Vec<_> =
        pour.batches[1].portions.iter().map(|portion| (portion.spot, portion.from, portion.to)).collect();
    assert_eq!(shared, [(spot(0, 0), 840, 960), (spot(0, 1), 960, 1080)]);
    assert_eq!(pour.laid[0][0], Laid { from: 300, to: 960, covered: Some(960), longest: Some(1620) });
    // First concrete at 300 is covered at 1920; the last, at 960, by what is placed until 2580.
    assert_eq!(pour.longest, Some(Wait { lying: spot(0, 0), comes: spot(1, 0), lasts: 1620 }));
    assert_eq!(pour.lies(spot(0, 0)), Some(1620));
    assert_eq!(pour.lies(spot(1, 1)), None);
    assert_eq!(pour.lies(spot(9, 9)), None);
    assert_eq!(pour.lasts, 3240);
    assert_eq!(pour.oldest_when_placed(), 540);
    assert_eq!(pour.batches.iter().map(|batch| batch.loads).sum::<u64>(), 12);
    // A quarter of a metre between 300 and 1620 s.
    let rise = pour.lifts[0].rise().unwrap();
    assert!((rise.m_s() - 0.25 / 1320.0).abs() < 1e-12);
    assert_eq!(pour.fastest_rise(), Some(rise));
}

#[test]
fn with_a_helper_mixing_goes_on_beside_carrying() {
    let pour = plan(2).pour().unwrap();
    let times: Vec<(u64, u64, u64)> =
        pour.batches.iter().map(|batch| (batch.begun, batch.placed_from, batch.placed_to)).collect();
    assert_eq!(
        times,
        [(0, 300, 540), (300, 600, 840), (600, 900, 1140), (900, 1200, 1440), (1200, 1500, 1740), (1500, 1800, 2040)]
    );
    assert!(pour.longest.unwrap().lasts < plan(1).pour().unwrap().longest.unwrap().lasts);
    // A slow way: the mixed batch waits in the mixer.
    let mut far = plan(2);
    for place in far.lifts.iter_mut().flat_map(|lift| &mut lift.places) {
        place.trip = 300;
    }
    let pour = far.pour().unwrap();
    assert_eq!((pour.batches[1].begun, pour.batches[1].mixed, pour.batches[1].placed_from), (300, 600, 1020));
    // A third hand carries beside the second.
    far.crew.people = 3;
    assert_eq!(far.pour().unwrap().batches[0].placed_to, 300 + 300 + 60);
}

#[test]
fn breaks_are_taken_between_batches() {
    let mut rested = plan(1);
    rested.breaks = vec![Break { due: 1000, lasts: 600 }, Break { due: 10, lasts: 60 }];
    let begun: Vec<u64> = rested.pour().unwrap().batches.iter().map(|batch| batch.begun).collect();
    assert_eq!(begun, [0, 600, 1740, 2280, 2820, 3360]);
    rested.crew.people = 2;
    let pour = rested.pour().unwrap();
    // What is mixed is placed first.
    assert_eq!((pour.batches[0].placed_to, pour.batches[1].begun), (540, 600));
}

#[test]
fn a_hold_parts_the_batches_of_two_lifts() {
    let mut held = plan(1);
    held.lifts[0].places[1].volume = litres(50);
    held.lifts[1].hold = 1800;
    held.lifts[1].places[1].pushes_up = vec![spot(0, 1)];
    let pour = held.pour().unwrap();
    let volumes: Vec<Volume> = pour.batches.iter().map(|batch| batch.volume).collect();
    assert_eq!(volumes, [40, 40, 30, 40, 40, 40].map(litres));
    let below = pour.lifts[0].to;
    assert_eq!(pour.lifts[1].from, below + 1800);
    // It is mixed while it is waited.
    assert_eq!(pour.batches[3].begun, below + 1500);
    let open = pour.shortest_above_open.unwrap();
    assert_eq!((open.lying, open.comes), (spot(0, 1), spot(1, 1)));
    assert_eq!(open.lasts, pour.laid[1][1].from - below);
    // The lowest lift has nothing to wait for.
    held.lifts[0].hold = 500;
    assert_eq!(held.pour().unwrap().batches[0].begun, 0);
}

#[test]
fn the_wall_of_24_bags() {
    // 10 ft by 8 in by 2 ft and 5% in bags of 0.60 ft3, carried by 0.30 ft3: 23.33, so 24 bags; 48 loads if all were full.
    let foot3 =
        |numerator: i128, denominator: i128| Volume::from_nm3(304_800_000_i128.pow(3) * numerator / denominator);
    let wall = Plan {
        lifts: vec![Lift { height: Length::FOOT * 2, hold: 0, places: vec![place(foot3(40, 3), &[])] }],
        batch: foot3(6, 10),
        waste: Ratio::from_percent(5.0),
        crew: Crew { people: 1, carry: foot3(3, 10) },
        ..plan(1)
    };
    let pour = wall.pour().unwrap();
    assert_eq!(pour.batches.len(), 24);
    assert!((pour.mixed().cubic_feet() - 14.0).abs() < 1e-9);
    let full = pour.batches.iter().filter(|batch| batch.volume == wall.batch).count();
    assert_eq!(full, 23);
    // The last batch is of 0.20 ft3 and one load.
    assert_eq!(pour.batches.iter().map(|batch| batch.loads).sum::<u64>(), 47);
}

#[test]
fn what_cannot_be_poured() {
    let refused = |change: fn(&mut Plan)| {
        let mut plan = plan(1);
        change(&mut plan);
        plan.pour().unwrap_err()
    };
    assert_eq!(refused(|plan| plan.crew.people = 0), Refusal::NoCrew);
    assert_eq!(refused(|plan| plan.crew.carry = Volume::ZERO), Refusal::NoCarry);
    assert_eq!(refused(|plan| plan.batch = litres(0)), Refusal::NoBatch);
    assert_eq!(refused(|plan| plan.lifts.clear()), Refusal::NothingToPour);
    assert_eq!(refused(|plan| plan.waste = Ratio::from_fraction(f64::NAN)), Refusal::Waste);
    assert_eq!(refused(|plan| plan.waste = Ratio::from_fraction(-0.1)), Refusal::Waste);
    assert_eq!(refused(|plan| plan.lifts[0].places[1].volume = litres(0)), Refusal::NoVolume(spot(0, 1)));
    assert_eq!(
        refused(|plan| plan.lifts[0].places[0].on = vec![spot(1, 0)]),
        Refusal::NotBefore(spot(0, 0), spot(1, 0))
    );
    assert_eq!(
        refused(|plan| plan.lifts[1].places[0].on = vec![spot(0, 7)]),
        Refusal::NotBefore(spot(1, 0), spot(0, 7))
    );
    assert_eq!(refused(|plan| plan.batch = Volume::from_nm3(1)), Refusal::TooManyBatches(100_000));
    assert_eq!(refused(|plan| plan.mixing = u64::MAX), Refusal::TooLarge);
    assert_eq!(refused(|plan| plan.batch = Volume::from_nm3(i128::MAX)), Refusal::TooLarge);
}

#[test]
fn trips_in_whole_seconds() {
    let way = |metres: i64, kph| round_trip(Length::METRE * metres, Speed::from_kph(kph), Duration::from_seconds(20.0));
    assert_eq!(way(10, 3.6), Some(40));
    assert_eq!(way(0, 3.6), Some(20));
    assert_eq!(way(10, 0.0), None);
    assert_eq!(whole_seconds(Duration::from_minutes(1.5)), 90);
    assert_eq!(whole_seconds(Duration::from_seconds(0.1)), 1);
    assert_eq!(whole_seconds(Duration::from_seconds(f64::NAN)), 0);
}

prop_compose! {
    fn any_plan()(
        volumes in prop::collection::vec(prop::collection::vec(1_i128..2_000_000_000, 1..5), 1..5),
        batch in 100_000_000_i128..3_000_000_000, carry in 50_000_000_i128..500_000_000,
        (mixing, rodding, trip) in (0_u64..900, 0_u64..900, 0_u64..300),
        waste in 0.0..0.3_f64, people in 1_u32..5,
        holds in prop::collection::vec(0_u64..2000, 5), breaks in prop::collection::vec((0_u64..20_000, 0_u64..3600), 0..4),
    ) -> Plan {
        // Odd numbers of cubic nanometres, so that nothing divides by chance.
        let odd = |volume: i128| Volume::from_nm3(volume * 100_000_000_000_000_007);
        let lifts = volumes.iter().zip(&holds).enumerate().map(|(lift, (places, hold))| Lift {
            height: Length::METRE / 4,
            hold: if hold % 2 == 0 { 0 } else { *hold },
            places: places.iter().enumerate().map(|(at, volume)| {
                let below = lift.checked_sub(1).map(|below| spot(below, at.min(volumes[below].len() - 1)));
                let beside = at.checked_sub(1).map(|beside| spot(lift, beside));
                Place {
                    volume: odd(*volume),
                    trip,
                    on: below.into_iter().chain(beside).collect(),
                    pushes_up: below.into_iter().collect(),
                }
            }).collect(),
        }).collect();
        Plan {
            lifts, batch: odd(batch), mixing, rodding, waste: Ratio::from_fraction(waste),
            crew: Crew { people, carry: odd(carry) },
            breaks: breaks.into_iter().map(|(due, lasts)| Break { due, lasts }).collect(),
        }
    }
}

proptest! {
    #[test]
    fn no_volume_is_lost(plan in any_plan()) {
        let pour = plan.pour().unwrap();
        let mixed: Volume = pour.batches.iter().map(|batch| batch.volume).sum();
        prop_assert_eq!(mixed, pour.solid + pour.waste);
        let solid: Volume = plan.lifts.iter().flat_map(|lift| &lift.places).map(|place| place.volume).sum();
        prop_assert_eq!(pour.solid, solid);
        for batch in &pour.batches {
            prop_assert_eq!(batch.portions.iter().map(|portion| portion.volume).sum::<Volume>(), batch.volume);
            prop_assert!(batch.volume <= plan.batch && batch.volume > Volume::ZERO);
        }
        let millionths = (plan.waste.fraction() * 1e6).round() as i128;
        let mut waste = 0;
        for (lift, layer) in plan.lifts.iter().enumerate() {
            for (at, place) in layer.places.iter().enumerate() {
                let portions = pour.batches.iter().flat_map(|batch| &batch.portions);
                let here: Volume = portions.filter(|portion| portion.spot == spot(lift, at)).map(|portion| portion.volume).sum();
                let stated = place.volume.nm3() * millionths / 1_000_000;
                prop_assert_eq!(here.nm3(), place.volume.nm3() + stated);
                waste += stated;
            }
        }
        prop_assert_eq!(pour.waste.nm3(), waste);
    }

    #[test]
    fn the_clock_only_runs_forward(plan in any_plan()) {
        let pour = plan.pour().unwrap();
        for pair in pour.batches.windows(2) {
            prop_assert!(pair[0].begun <= pair[1].begun && pair[0].placed_to <= pair[1].placed_from);
        }
        for batch in &pour.batches {
            prop_assert!(batch.begun <= batch.mixed && batch.mixed <= batch.placed_from && batch.placed_from <= batch.placed_to);
        }
        for pair in pour.lifts.windows(2) {
            prop_assert!(pair[0].to <= pair[1].from);
        }
        for (at, lift) in plan.lifts.iter().enumerate().skip(1).filter(|(_, lift)| lift.hold > 0) {
            prop_assert!(pour.lifts[at].from >= pour.lifts[at - 1].to + lift.hold);
        }
        let most = pour.laid.iter().flatten().filter_map(|laid| laid.longest).max();
        prop_assert_eq!(pour.longest.map(|wait| wait.lasts), most);
        prop_assert_eq!(plan.pour().unwrap(), pour);
    }

    #[test]
    fn a_helper_or_a_faster_mix_never_takes_longer(plan in any_plan(), less in 0_u64..300) {
        let plan = Plan { breaks: Vec::new(), ..plan };
        let here = plan.pour().unwrap().lasts;
        let mut helped = plan.clone();
        helped.crew.people += 1;
        prop_assert!(helped.pour().unwrap().lasts <= here);
        let faster = Plan { mixing: plan.mixing.saturating_sub(less), ..plan.clone() };
        prop_assert!(faster.pour().unwrap().lasts <= here);
        let mut nearer = plan;
        for place in nearer.lifts.iter_mut().flat_map(|lift| &mut lift.places) {
            place.trip = place.trip.saturating_sub(less);
        }
        prop_assert!(nearer.pour().unwrap().lasts <= here);
    }
}
