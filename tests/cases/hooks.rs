//! Hooks of the standards on bars bent by the walk, against the published hook tables; and the room in the usual holes.

use batterboard::{
    geometry::{hook_addition, out_to_out_deduction},
    holes::annulus,
    standards::{
        anchors::usual_hole,
        bends::{Hook, Role, Turn, aci_finished_diameter, aci_inside_diameter, aci_tail, bs_scheduled},
    },
    units::{Length, System},
};

use super::near;

const FEET: System = System::Feet;

/// Nominal diameters of #3 to #11, ASTM A615, in thousandths of an inch.
const BARS: [i64; 9] = [375, 500, 625, 750, 875, 1000, 1128, 1270, 1410];

fn bar(at: usize) -> Length {
    Length::INCH * BARS[at] / 1000
}

fn inches(value: f64) -> Length {
    Length::round_nm(value * 25.4e6)
}

fn mm(value: i64) -> Length {
    Length::MILLIMETRE * value
}

/// What a hook adds to its leg, in inches.
fn adds(hook: Hook, turn: Turn) -> f64 {
    hook_addition(turn.degrees(), hook.tail, hook.inside_radius(), hook.diameter).unwrap().inches()
}

fn deducts(degrees: f64, inside: Length, diameter: Length) -> f64 {
    out_to_out_deduction(degrees, inside / 2, diameter).unwrap().inches()
}

#[test]
fn main_bars_with_the_least_bends_of_aci_318_table_25_3_1() {
    // D, R, deductions of 45 and 90 degrees, what hooks of 90 and 180 degrees add; computed from r + d/2 and the tails.
    let table = [
        [2.250, 1.3125, 0.212, 0.938, 5.062, 5.123],
        [3.000, 1.7500, 0.282, 1.251, 6.749, 5.998],
        [3.750, 2.1875, 0.353, 1.564, 8.436, 6.872],
        [4.500, 2.6250, 0.424, 1.877, 10.123, 8.247],
        [5.250, 3.0625, 0.494, 2.189, 11.811, 9.621],
        [6.000, 3.5000, 0.565, 2.502, 13.498, 10.996],
        [9.024, 5.0760, 0.686, 3.307, 15.869, 14.819],
        [10.160, 5.7150, 0.772, 3.723, 17.867, 16.684],
        [11.280, 6.3450, 0.857, 4.133, 19.837, 18.523],
    ];
    for (at, [inside, centre, half, square, add_square, add_back]) in table.into_iter().enumerate() {
        let hook = |turn| Hook::aci(Role::Main, turn, bar(at), FEET).unwrap();
        let (d, bent) = (bar(at), hook(Turn::Square).inside);
        near(bent.inches(), inside, 5e-4);
        near((bent / 2 + d / 2).inches(), centre, 5e-5);
        near(deducts(45.0, bent, d), half, 5.1e-4);
        near(deducts(90.0, bent, d), square, 5.1e-4);
        near(adds(hook(Turn::Square), Turn::Square), add_square, 5.1e-4);
        near(adds(hook(Turn::Back), Turn::Back), add_back, 5.1e-4);
        // Leg out to out less the deduction is what the hook adds.
        near(hook(Turn::Square).square_leg().inches() - square, add_square, 1.1e-3);
    }
}

#[test]
fn ties_with_the_least_bends_of_aci_318_table_25_3_2() {
    let table = [
        [1.500, 0.777, 3.348, 4.084, 4.320],
        [2.000, 1.037, 3.463, 4.445, 4.927],
        [2.500, 1.296, 4.329, 5.557, 5.534],
        [4.500, 1.877, 10.123, 7.685, 8.247],
        [5.250, 2.189, 11.811, 8.966, 9.621],
        [6.000, 2.502, 13.498, 10.247, 10.996],
    ];
    for (at, [inside, square, add_square, add_past, add_back]) in table.into_iter().enumerate() {
        let hook = |turn| Hook::aci(Role::Tie, turn, bar(at), FEET).unwrap();
        near(hook(Turn::Past).inside.inches(), inside, 1e-9);
        near(deducts(90.0, hook(Turn::Past).inside, bar(at)), square, 5.1e-4);
        for (turn, expected) in [(Turn::Square, add_square), (Turn::Past, add_past), (Turn::Back, add_back)] {
            near(adds(hook(turn), turn), expected, 5.1e-4);
        }
    }
}

#[test]
fn stirrup_and_tie_hooks_of_aci_315_99_table_1() {
    // Exact and printed: 90 degrees (r + d + extension), 135 degrees with 6 d, 135 degrees with 6 d or 3 in.
    let table = [
        [3.375, 4.0, 3.334, 4.0, 4.084, 4.25],
        [4.500, 4.5, 4.445, 4.5, 4.445, 4.5],
        [5.625, 6.0, 5.557, 5.5, 5.557, 5.5],
        [12.000, 12.0, 7.685, 8.0, 7.685, 8.0],
        [14.000, 14.0, 8.966, 9.0, 8.966, 9.0],
        [16.000, 16.0, 10.247, 10.5, 10.247, 10.5],
    ];
    for (at, [square, square_printed, past, past_printed, floored, floored_printed]) in table.into_iter().enumerate() {
        let d = bar(at);
        let inside = aci_finished_diameter(Role::Tie, d).unwrap();
        assert_eq!(inside, aci_inside_diameter(Role::Tie, d).unwrap().value);
        let times = if at < 3 { 6 } else { 12 };
        let leg = Hook { diameter: d, inside, tail: d * times }.square_leg().inches();
        near(leg, square, 1e-9);
        near(leg, square_printed, if at == 0 { 0.63 } else { 0.38 });
        let six = adds(Hook { diameter: d, inside, tail: d * 6 }, Turn::Past);
        near(six, past, 5.1e-4);
        near(six, past_printed, if at == 0 { 0.67 } else { 0.32 });
        let tail = aci_tail(Role::Tie, Turn::Past, d, FEET).unwrap().value;
        let least = adds(Hook { diameter: d, inside, tail }, Turn::Past);
        near(least, floored, 5.1e-4);
        near(least, floored_printed, 0.32);
    }
}

#[test]
fn end_hooks_of_aci_315_99_table_1_round_to_whole_inches() {
    // Table from memory: finished D, 180 degrees exact and printed, 90 degrees exact and printed.
    let table = [
        (2.25, 5.123, 5.0, 6.000, 6.0),
        (3.0, 5.998, 6.0, 8.000, 8.0),
        (3.75, 6.872, 7.0, 10.000, 10.0),
        (4.5, 8.247, 8.0, 12.000, 12.0),
        (5.25, 9.621, 10.0, 14.000, 14.0),
        (6.0, 10.996, 11.0, 16.000, 16.0),
        (9.5, 15.328, 15.0, 19.414, 19.0),
        (10.75, 17.316, 17.0, 21.885, 22.0),
        (12.0, 19.294, 19.0, 24.330, 24.0),
    ];
    for (at, (finished, back, back_printed, square, square_printed)) in table.into_iter().enumerate() {
        let d = bar(at);
        let inside = aci_finished_diameter(Role::Main, d).unwrap();
        near(inside.inches(), finished, 1e-9);
        let tail = |turn| aci_tail(Role::Main, turn, d, FEET).unwrap().value;
        let added = adds(Hook { diameter: d, inside, tail: tail(Turn::Back) }, Turn::Back);
        near(added, back, 5.1e-4);
        near(added.round(), back_printed, 1e-9);
        let leg = Hook { diameter: d, inside, tail: tail(Turn::Square) }.square_leg().inches();
        near(leg, square, 5.1e-4);
        near(leg.round(), square_printed, 1e-9);
    }
}

#[test]
fn bs_8666_rounds_the_deduction_to_half_the_radius_and_the_diameter() {
    // d, r, exact deductions of 45 and 90 degrees, exact less 0.5 r + d, least overall width of a semicircle.
    for (d, r, half, square, more, width) in [
        (6, 12, 3.13, 12.44, 0.44, 36),
        (8, 16, 4.17, 16.58, 0.58, 48),
        (10, 20, 5.22, 20.73, 0.73, 60),
        (12, 24, 6.26, 24.88, 0.88, 72),
        (14, 28, 7.31, 29.02, 1.02, 84),
        (16, 32, 8.35, 33.17, 1.17, 96),
        (20, 70, 11.73, 54.34, -0.66, 180),
        (25, 87, 14.64, 67.71, -0.79, 224),
        (32, 112, 18.76, 86.94, -1.06, 288),
    ] {
        let (diameter, inside) = (mm(d), mm(2 * r));
        if d != 14 {
            assert_eq!(bs_scheduled(diameter).unwrap().radius, mm(r));
        }
        let exact = |degrees| deducts(degrees, inside, diameter) * 25.4;
        near(exact(45.0), half, 5.1e-3);
        near(exact(90.0), square, 5.1e-3);
        near(exact(90.0) - (0.5 * r as f64 + d as f64), more, 5.1e-3);
        assert_eq!(Hook { diameter, inside, tail: Length::ZERO }.width_of_return(), mm(width));
    }
}

#[test]
fn deductions_as_multiples_of_the_bar() {
    // r = 3 d, 2 d, 4 d, 3.5 d.
    let d = Length::METRE;
    let times = |inside: i64, degrees| deducts(degrees, d * inside / 2, d) * 0.0254;
    for (inside, degrees, expected) in [
        (12, 45.0, 0.5648),
        (12, 90.0, 2.5022),
        (8, 45.0, 0.5218),
        (8, 90.0, 2.0730),
        (16, 90.0, 2.9314),
        (14, 90.0, 2.7168),
    ] {
        near(times(inside, degrees), expected, 5.1e-5);
    }
}

/// Millilitres in a cubic inch, exactly.
const ML: f64 = 16.387064;

#[test]
fn the_room_between_bars_and_their_usual_holes() {
    // Computed from pi / 4 (dh^2 - db^2) with the nominal diameter: square inches, mL an inch deep, and at 6 in cubic
    // inches, mL and US fluid ounces.
    let table = [
        [0.0859, 1.408, 0.515, 8.45, 0.286],
        [0.1104, 1.810, 0.663, 10.86, 0.367],
        [0.1350, 2.212, 0.810, 13.27, 0.449],
        [0.1595, 2.614, 0.957, 15.69, 0.530],
        [0.1841, 3.016, 1.104, 18.10, 0.612],
        [0.2086, 3.419, 1.252, 20.51, 0.694],
        [0.4856, 7.957, 2.913, 47.74, 1.614],
        [0.5004, 8.200, 3.002, 49.20, 1.664],
        [0.8438, 13.828, 5.063, 82.97, 2.805],
    ];
    for (at, [area, per_inch, cubic, millilitres, ounces]) in table.into_iter().enumerate() {
        let hole = usual_hole(bar(at)).unwrap().value;
        let each = annulus(hole, bar(at), inches(1.0)).cubic_inches();
        near(each, area, 5.1e-5);
        near(each * ML, per_inch, 5.1e-4);
        let deep = annulus(hole, bar(at), inches(6.0)).cubic_inches();
        near(deep, cubic, 5.1e-4);
        near(deep * ML, millilitres, 5.1e-3);
        near(deep / 1.804_687_5, ounces, 5.1e-4);
    }
    // Hundredths of a millilitre in 100 mm.
    for (d, hundredths) in [(8, 628), (10, 754), (12, 880), (16, 1131), (20, 1767), (25, 3134), (32, 4524)] {
        let each = annulus(usual_hole(mm(d)).unwrap().value, mm(d), mm(100));
        near(each.cubic_metres() * 1e8, f64::from(hundredths), 0.51);
    }
}

#[test]
fn a_worn_bit_needs_more_than_any_waste_covers() {
    let at = |hole: f64| annulus(inches(hole), bar(1), inches(6.0)).cubic_inches();
    near(at(0.625 + 1.0 / 32.0) / at(0.625), 1.28, 1e-2);
    near(at(0.625 + 1.0 / 16.0) / at(0.625), 1.58, 1e-2);
}
