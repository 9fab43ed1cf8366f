//! Published networks with every time and float, a calendar by hand, and what must always hold.

use proptest::prelude::*;

use super::*;

fn links(of: &[(u32, u32)]) -> Vec<Link> {
    of.iter().map(|(before, after)| Link { before: *before, after: *after, lag: 0 }).collect()
}

/// Early start, early finish, late start, late finish, total and free float.
type Row = (i64, i64, i64, i64, i64, i64);

fn rows(network: &Network) -> Vec<Row> {
    let row = |times: &Times| {
        (times.early_start, times.early_finish, times.late_start, times.late_finish, times.total, times.free)
    };
    network.times.iter().map(row).collect()
}

#[test]
fn a_published_network_on_nodes() {
    // C. Hendrickson and T. Au, Project Management for Construction, table 10-1: data, length and the critical times as
    // printed; floats by hand.
    let lasts = [4, 3, 8, 7, 9, 12, 2, 5, 6];
    let of = [(0, 2), (0, 3), (1, 4), (2, 4), (1, 5), (2, 5), (3, 6), (4, 6), (3, 7), (4, 7), (5, 8), (6, 8)];
    let network = critical_path(&lasts, &links(&of)).unwrap();
    assert_eq!(network.ends, 30);
    assert_eq!(
        rows(&network),
        [
            (0, 4, 0, 4, 0, 0),
            (0, 3, 9, 12, 9, 9),
            (4, 12, 4, 12, 0, 0),
            (4, 11, 15, 22, 11, 10),
            (12, 21, 13, 22, 1, 0),
            (12, 24, 12, 24, 0, 0),
            (21, 23, 22, 24, 1, 1),
            (21, 26, 25, 30, 4, 4),
            (24, 30, 24, 30, 0, 0),
        ]
    );
}

/// Activities as arrows between events: a network on nodes where each comes after those that end where it begins.
fn arrows(of: &[(u32, u32, i64)]) -> Network {
    let lasts: Vec<i64> = of.iter().map(|(.., lasts)| *lasts).collect();
    let mut links = Vec::new();
    for (before, (_, ends, _)) in (0_u32..).zip(of) {
        for (after, (begins, ..)) in (0_u32..).zip(of) {
            if ends == begins {
                links.push(Link { before, after, lag: 0 });
            }
        }
    }
    critical_path(&lasts, &links).unwrap()
}

fn early_and_late(network: &Network) -> Vec<(i64, i64, i64, i64, i64)> {
    rows(network).into_iter().map(|(es, ef, ls, lf, total, _)| (es, ef, ls, lf, total)).collect()
}

#[test]
fn a_published_network_on_arrows() {
    // B. Taylor, Introduction to Management Science, chapter 8, a problem of seven activities: all values as its solutions
    // print them.
    let network = arrows(&[(1, 2, 7), (1, 3, 10), (2, 4, 6), (3, 4, 5), (3, 5, 4), (4, 5, 3), (5, 6, 2)]);
    assert_eq!(network.ends, 20);
    assert_eq!(
        early_and_late(&network),
        [
            (0, 7, 2, 9, 2),
            (0, 10, 0, 10, 0),
            (7, 13, 9, 15, 2),
            (10, 15, 10, 15, 0),
            (10, 14, 14, 18, 4),
            (15, 18, 15, 18, 0),
            (18, 20, 18, 20, 0),
        ]
    );
}

#[test]
fn a_published_network_with_a_dummy() {
    // The same chapter: thirteen activities, one of no length.
    let network = arrows(&[
        (1, 2, 8),
        (1, 3, 10),
        (1, 4, 9),
        (2, 5, 6),
        (2, 6, 4),
        (3, 5, 5),
        (4, 5, 0),
        (4, 7, 7),
        (5, 7, 12),
        (5, 8, 15),
        (6, 9, 18),
        (7, 8, 4),
        (8, 9, 7),
    ]);
    assert_eq!(network.ends, 38);
    assert_eq!(
        early_and_late(&network),
        [
            (0, 8, 1, 9, 1),
            (0, 10, 0, 10, 0),
            (0, 9, 6, 15, 6),
            (8, 14, 9, 15, 1),
            (8, 12, 16, 20, 8),
            (10, 15, 10, 15, 0),
            (9, 9, 15, 15, 6),
            (9, 16, 20, 27, 11),
            (15, 27, 15, 27, 0),
            (15, 30, 16, 31, 1),
            (12, 30, 20, 38, 8),
            (27, 31, 27, 31, 0),
            (31, 38, 31, 38, 0),
        ]
    );
}

const HOUR: i64 = 3600;

/// Dig, drill, set, form, pour, strip, patch, backfill: hours, and what waits how long for what (by hand).
fn walls() -> (Vec<i64>, Vec<Link>) {
    let lasts = [8, 6, 2, 8, 6, 2, 1, 4].map(|hours| hours * HOUR).to_vec();
    let of = [(0, 1, 0), (1, 2, 0), (2, 3, 24), (3, 4, 0), (4, 5, 24), (5, 6, 0), (4, 7, 168), (6, 7, 0)];
    (lasts, of.iter().map(|(before, after, lag)| Link { before: *before, after: *after, lag: lag * HOUR }).collect())
}

#[test]
fn waits_between_tasks() {
    let (lasts, links) = walls();
    let network = critical_path(&lasts, &links).unwrap();
    let starts: Vec<i64> = network.times.iter().map(|times| times.early_start / HOUR).collect();
    assert_eq!(starts, [0, 8, 14, 40, 48, 78, 80, 222]);
    assert_eq!(network.ends, 226 * HOUR);
    assert_eq!((network.times[5].total, network.times[6].total), (141 * HOUR, 141 * HOUR));
    // A wait belongs to the float: stripping may not be late for patching, patching may for filling in.
    let free: Vec<i64> = network.times.iter().map(|times| times.free / HOUR).collect();
    assert_eq!(free, [0, 0, 0, 0, 0, 0, 141, 0]);
}

/// Monday to Friday, 8 to 12 and 13 to 17; day 0 is a Monday.
fn weekdays() -> Calendar {
    let day = vec![Shift { from: 8 * HOUR, to: 12 * HOUR }, Shift { from: 13 * HOUR, to: 17 * HOUR }];
    let week = std::array::from_fn(|at| if at < 5 { day.clone() } else { Vec::new() });
    Calendar::new(0, week)
}

fn at(day: i64, hour: i64) -> i64 {
    day * DAY + hour * HOUR
}

#[test]
fn what_takes_no_time_is_done_in_working_hours() {
    // By hand: when it may be done first, when it then is done, when last if it is done by then.
    let calendar = weekdays();
    for (time, first, last) in [
        (at(0, 0), at(0, 8), None),
        (at(0, 8), at(0, 8), Some(at(0, 8))),
        (at(0, 10), at(0, 10), Some(at(0, 10))),
        (at(0, 12), at(0, 12), Some(at(0, 12))),
        (at(0, 17), at(0, 17), Some(at(0, 17))),
        (at(0, 20), at(1, 8), Some(at(0, 17))),
        (at(5, 9), at(7, 8), Some(at(4, 17))),
    ] {
        assert_eq!(calendar.earliest(time, 0, false), Some((first, first)), "from {time}");
        if let Some(last) = last {
            assert_eq!(calendar.latest(time, 0, false), Some((last, last)), "until {time}");
        }
    }
}

#[test]
fn the_same_on_a_calendar() {
    // By hand: what is worked stops at night and on Saturday, what waits does not.
    let (lasts, links) = walls();
    let task = |lasts: &i64| Task { lasts: *lasts, calendar: Some(0), people: 1, ..Task::default() };
    let tasks: Vec<Task> = lasts.iter().map(task).collect();
    let network = on_calendars(&tasks, &links, &[weekdays()]).unwrap();
    let spans: Vec<(i64, i64)> = network.times.iter().map(|times| (times.early_start, times.early_finish)).collect();
    let wanted = [
        (at(0, 8), at(0, 17)),
        (at(1, 8), at(1, 15)),
        (at(1, 15), at(1, 17)),
        (at(3, 8), at(3, 17)),
        (at(4, 8), at(4, 15)),
        (at(7, 8), at(7, 10)),
        (at(7, 10), at(7, 11)),
        (at(11, 15), at(14, 10)),
    ];
    assert_eq!(spans, wanted);
    // Backwards by the same hours: patched from Monday 11:00 on, it is wanted on Friday at 15:00. 5, 24 and 6 hours of
    // work lie between, whatever the clock says.
    let late: Vec<(i64, i64)> = network.times.iter().map(|times| (times.late_finish, times.total / HOUR)).collect();
    assert_eq!(late[6], (at(11, 15), 35));
    assert_eq!(late[5], (at(11, 14), 35));
    assert!([0, 1, 2, 3, 4, 7].iter().all(|task| network.times[*task].is_critical()));
    let alone = level(&tasks, &links, &[weekdays()], &network, 1).unwrap();
    let placed: Vec<(i64, i64)> = alone.iter().map(|task| (task.start, task.finish)).collect();
    assert_eq!(placed, wanted, "one after the other anyway");
    let backfill: Vec<(i64, i64)> = vec![(at(11, 15), at(11, 17)), (at(14, 8), at(14, 10))];
    assert_eq!(alone[7].pieces, backfill);
}

#[test]
fn who_goes_first_is_never_left_to_chance() {
    // All end as late: the least float first, of those the longest, of those the first written.
    let (lasts, links) = ([2, 3, 2, 3].map(|hours| hours * HOUR), [] as [Link; 0]);
    let task = |lasts: &i64| Task { lasts: *lasts, calendar: Some(0), people: 1, ..Task::default() };
    let tasks: Vec<Task> = lasts.iter().map(task).collect();
    let calendars = [Calendar::always()];
    let network = on_calendars(&tasks, &links, &calendars).unwrap();
    let starts = |crew: u32| -> Vec<i64> {
        level(&tasks, &links, &calendars, &network, crew).unwrap().iter().map(|task| task.start / HOUR).collect()
    };
    // One person takes as long as all the work: no schedule is shorter.
    assert_eq!(starts(1), [6, 0, 8, 3]);
    assert_eq!(starts(2), [3, 0, 3, 0]);
    assert_eq!(starts(4), [0, 0, 0, 0]);
}

#[test]
fn what_is_not_cut_waits_for_a_shift_that_is_long_enough() {
    let calendar = weekdays();
    assert_eq!(calendar.earliest(at(0, 10), 3 * HOUR, false), Some((at(0, 10), at(0, 14))));
    assert_eq!(calendar.earliest(at(0, 10), 3 * HOUR, true), Some((at(0, 13), at(0, 16))));
    assert_eq!(calendar.earliest(at(4, 14), 4 * HOUR, true), Some((at(7, 8), at(7, 12))));
    assert_eq!(calendar.earliest(at(0, 0), 5 * HOUR, true), None, "no shift is so long");
    assert_eq!(calendar.latest(at(7, 9), 3 * HOUR, false), Some((at(4, 15), at(7, 9))));
    assert_eq!(calendar.latest(at(7, 9), 3 * HOUR, true), Some((at(4, 14), at(4, 17))));
    assert_eq!(Calendar::default().earliest(0, 1, false), None, "nobody works");
}

#[test]
fn a_day_off_is_no_day() {
    let mut calendar = weekdays();
    calendar.set_day(1, Vec::new());
    calendar.set_day(5, vec![Shift { from: 9 * HOUR, to: 11 * HOUR }]);
    assert_eq!(calendar.earliest(at(0, 16), 2 * HOUR, false), Some((at(0, 16), at(2, 9))));
    assert_eq!(calendar.earliest(at(4, 17), HOUR, false), Some((at(5, 9), at(5, 10))));
    assert_eq!(calendar.worked(at(0, 0), at(7, 0)), (4 * 8 + 2) * HOUR);
    assert_eq!(calendar.worked(at(7, 0), at(0, 0)), -(4 * 8 + 2) * HOUR);
    // Round the clock is one piece, across midnight too.
    assert_eq!(Calendar::always().earliest(at(0, 20), 10 * HOUR, true), Some((at(0, 20), at(1, 6))));
}

#[test]
fn who_waits_for_each_other_has_no_times() {
    assert!(critical_path(&[1, 1], &links(&[(0, 1), (1, 0)])).is_none());
    assert!(critical_path(&[1], &links(&[(0, 3)])).is_none());
    assert_eq!(critical_path(&[], &[]), Some(Network::default()));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Links hold, nobody does two things at once, no task lies outside the hours, nothing is earlier than its earliest, and
    /// the whole is no shorter than its critical path or its work.
    #[test]
    fn a_schedule_can_be_followed(
        tasks in prop::collection::vec((0_i64..30, any::<bool>(), any::<bool>(), 0_u32..3), 1..24),
        raw in prop::collection::vec((0_usize..24, 0_usize..24, 0_i64..40), 0..40),
        crew in 2_u32..4,
    ) {
        let tasks: Vec<Task> = tasks.iter().map(|(hours, wait, whole, people)| Task {
            lasts: if *whole { hours % 4 } else { *hours } * HOUR,
            calendar: (!*wait).then_some(0),
            whole: *whole,
            people: if *wait { 0 } else { *people },
            not_before: 0,
            least: if *people == 1 { HOUR / 2 } else { 0 },
        }).collect();
        let links: Vec<Link> = raw.iter().filter(|(a, b, _)| a < b && *b < tasks.len())
            .map(|(a, b, lag)| Link { before: *a as u32, after: *b as u32, lag: lag * HOUR }).collect();
        let calendars = [weekdays()];
        let network = on_calendars(&tasks, &links, &calendars).unwrap();
        let placed = level(&tasks, &links, &calendars, &network, crew).unwrap();
        for link in &links {
            let (before, after) = (&placed[link.before as usize], &placed[link.after as usize]);
            prop_assert!(after.start >= before.finish + link.lag);
        }
        let mut worked = 0;
        for ((task, here), times) in tasks.iter().zip(&placed).zip(&network.times) {
            prop_assert!(here.start >= times.early_start && here.finish >= times.early_finish);
            prop_assert!(times.late_start >= times.early_start && times.total >= 0 && times.free >= 0);
            if task.calendar.is_some() {
                let sum: i64 = here.pieces.iter().map(|(from, to)| to - from).sum();
                prop_assert_eq!(sum, task.lasts);
                prop_assert!(here.pieces.iter().all(|(from, to)| calendars[0].worked(*from, *to) == to - from));
                prop_assert!(!task.whole || here.pieces.len() <= 1);
                worked += task.lasts * i64::from(task.people);
            }
        }
        let ends = placed.iter().map(|task| task.finish).max().unwrap_or(0);
        prop_assert!(ends >= network.ends);
        prop_assert!(calendars[0].worked(0, ends) * i64::from(crew) >= worked);
        let mut starts: Vec<i64> = placed.iter().flat_map(|task| &task.pieces).map(|piece| piece.0).collect();
        starts.sort_unstable();
        for time in starts {
            let used: u32 = tasks.iter().zip(&placed)
                .filter(|(_, here)| here.pieces.iter().any(|(from, to)| *from <= time && time < *to))
                .map(|(task, _)| task.people).sum();
            prop_assert!(used <= crew);
        }
    }

    /// A longer task never ends anything sooner.
    #[test]
    fn longer_is_never_sooner(
        lasts in prop::collection::vec(0_i64..30, 2..16),
        raw in prop::collection::vec((0_usize..16, 0_usize..16, 0_i64..40), 0..30),
        which in 0_usize..16,
    ) {
        let links: Vec<Link> = raw.iter().filter(|(a, b, _)| a < b && *b < lasts.len())
            .map(|(a, b, lag)| Link { before: *a as u32, after: *b as u32, lag: lag * HOUR }).collect();
        let task = |lasts: &i64| Task { lasts: lasts * HOUR, calendar: Some(0), people: 1, ..Task::default() };
        let tasks: Vec<Task> = lasts.iter().map(task).collect();
        let mut longer = tasks.clone();
        let at = which % longer.len();
        longer[at].lasts += HOUR;
        let one = on_calendars(&tasks, &links, &[weekdays()]).unwrap();
        let other = on_calendars(&longer, &links, &[weekdays()]).unwrap();
        for (one, other) in one.times.iter().zip(&other.times) {
            prop_assert!(other.early_finish >= one.early_finish);
        }
        prop_assert!(one.times.iter().any(Times::is_critical) || tasks.is_empty());
    }
}
