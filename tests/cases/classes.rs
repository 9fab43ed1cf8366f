//! What each face of new concrete is against, reckoned by hand.

use batterboard::concrete::Class;

use super::{fine, found, near, only};

const MIX: &str = "mix m { bag 80 lb, yields 0.60 ft3 }\n";
const IN2: f64 = 0.0254 * 0.0254;

/// Areas of the first pour in square inches, those above nothing.
fn areas(text: &str) -> Vec<(Class, f64)> {
    let job = fine(&format!("{text}\n{MIX}"));
    let solid = &job.works.solids.pours[0];
    batterboard::concrete::classes_in_order()
        .into_iter()
        .map(|class| (class, (solid.areas.of(class).square_metres() / IN2 * 1e4).round() / 1e4))
        .filter(|(_, area)| *area > 0.0)
        .collect()
}

#[test]
fn in_a_strip_broken_out_of_a_slab() {
    // 60 in of a 120 in wall, 8 in thick in a strip 10 in wide: 2 in stay open in front, the slab's edge is met nowhere.
    let text = "wall old { leg a 120\"; thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }
remove strip { in floor; along old.a 20\" to 90\"; out 10\" }
section s { along old.a 24\" to 84\"; thick 8\"; height -4\" to 12\" }
pour all { fill s; mix m }";
    let wanted = [
        (Class::Old, 60.0 * 16.0),
        (Class::Formed, 60.0 * 16.0),
        (Class::End, 2.0 * 8.0 * 16.0),
        (Class::Ground, 60.0 * 8.0),
        (Class::Top, 60.0 * 8.0),
    ];
    assert_eq!(areas(text), wanted);
    let job = fine(&format!("{text}\n{MIX}"));
    near(job.works.strips[0].area.square_metres() / IN2, 700.0, 1e-6);
    near(job.works.strips[0].volume.cubic_inches(), 2800.0, 1e-6);
}

#[test]
fn tight_in_the_strip_and_on_the_slab_beside_it() {
    // The strip is as wide and as long as the concrete: below 0 the slab's edge is met on three sides.
    let text = "wall old { leg a 120\"; thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }
remove strip { in floor; along old.a 24\" to 84\"; out 8\" }
section s { along old.a 24\" to 84\"; thick 8\"; height -4\" to 12\" }
section beside { along old.a 84\" to 120\"; thick 8\"; height 0 to 12\" }
pour all { fill s, beside; mix m }";
    let wanted = [
        (Class::Old, 60.0 * 16.0 + 36.0 * 12.0),
        (Class::SlabEdge, 60.0 * 4.0 + 2.0 * 8.0 * 4.0),
        (Class::Formed, 96.0 * 12.0),
        (Class::End, 2.0 * 8.0 * 12.0),
        (Class::Ground, 60.0 * 8.0),
        (Class::OnSlab, 36.0 * 8.0),
        (Class::Top, 96.0 * 8.0),
    ];
    assert_eq!(areas(text), wanted);
}

#[test]
fn on_a_footing_that_stands_out() {
    // The footing stands out 5 in under an 8 in casing: 5 in rest on it, 3 in on a form.
    let text = "wall old { leg a 100\"; thick 8\"; height 0 to 40\" }
footing foot { under old; thick 10\"; out 5\" }
section s { along old.a 10\" to 90\"; thick 8\"; height 0 to 20\"; base form }
pour all { fill s; mix m }";
    let wanted = [
        (Class::Old, 80.0 * 20.0),
        (Class::Formed, 80.0 * 20.0),
        (Class::End, 2.0 * 8.0 * 20.0),
        (Class::OnOld, 80.0 * 5.0),
        (Class::Soffit, 80.0 * 3.0),
        (Class::Top, 80.0 * 8.0),
    ];
    assert_eq!(areas(text), wanted);
}

#[test]
fn round_a_pier_the_footing_goes_round_its_corners() {
    // Legs too short for the pier's thickness, so each stands for itself; the footing in front is whole all the same.
    let text = "wall pier { leg l 20\", thick 30\"; corner outside; leg f 30\", thick 20\"; corner outside; leg r 20\", thick 30\"
    height 0 to 60\" }
footing foot { under pier; thick 10\"; out 10\" }
section s { along pier; thick 6\"; height 0 to 40\" }
pour all { fill s; mix m }";
    let found = areas(text);
    // By hand: 70 in of face at 6 in, and two corners of 6 by 6.
    assert!(found.contains(&(Class::OnOld, 70.0 * 6.0 + 2.0 * 36.0)), "{found:?}");
    assert!(found.iter().all(|(class, _)| *class != Class::Ground), "{found:?}");
}

#[test]
fn between_two_pours() {
    let text = "wall old { leg a 100\"; thick 8\"; height -12\" to 40\" }
section low { along old; thick 8\"; height 0 to 10\" }
section high { along old; thick 8\"; height 10\" to 30\" }
pour first { fill low; mix m }
pour second { fill high; mix m }";
    let wanted = [
        (Class::Old, 1000.0),
        (Class::Joint, 800.0),
        (Class::Formed, 1000.0),
        (Class::End, 160.0),
        (Class::Ground, 800.0),
    ];
    assert_eq!(areas(text), wanted);
    let job = fine(&format!("{text}\n{MIX}"));
    let [first, second] = &job.works.solids.pours[..] else { panic!("two pours") };
    near(second.areas.of(Class::Joint).square_metres() / IN2, 800.0, 1e-6);
    assert_eq!(first.rests.iter().map(|(_, class)| *class).collect::<Vec<_>>(), [Class::Ground]);
    assert_eq!(second.rests.iter().map(|(_, class)| *class).collect::<Vec<_>>(), [Class::Joint]);
}

#[test]
fn round_a_void_through_and_one_that_stops_short() {
    let text = |offset: &str| {
        format!(
            "wall old {{ leg a 100\"; thick 8\"; height -12\" to 40\" }}
section s {{ along old; thick 8\"; height 0 to 30\" }}
void vent {{ in s; on old.a 40\" to 52\"; height 10\" to 16\"{offset} }}
pour all {{ fill s; mix m }}"
        )
    };
    let through = areas(&text(""));
    assert!(through.contains(&(Class::Old, 3000.0 - 72.0)), "{through:?}");
    assert!(through.contains(&(Class::Formed, 3000.0 - 72.0)), "{through:?}");
    // Its four sides, 8 in deep.
    assert!(through.contains(&(Class::Void, 2.0 * (12.0 + 6.0) * 8.0)), "{through:?}");
    let pocket = areas(&text("; offset 3\" to 8\""));
    assert!(pocket.contains(&(Class::Old, 3000.0)), "{pocket:?}");
    // Four sides 5 in deep, and the back.
    assert!(pocket.contains(&(Class::Void, 2.0 * (12.0 + 6.0) * 5.0 + 72.0)), "{pocket:?}");
    let job = fine(&format!("{}\n{MIX}", text("; offset 3\" to 8\"")));
    near(only(&job).volume.cubic_inches(), 100.0 * 8.0 * 30.0 - 12.0 * 6.0 * 5.0, 1e-6);
}

#[test]
fn a_strip_where_its_slab_is_not_is_an_error() {
    let text = |against: &str, along: &str| {
        format!(
            "wall old {{ leg a 10'; corner outside; leg b 3'; thick 8\"; height -12\" to 26\" }}
slab floor {{ against {against}; thick 4\"; top 0 }}
remove strip {{ in floor; along {along}; out 10\" }}"
        )
    };
    assert_eq!(found(&text("old.a", "old.a, old.b")), ["strip-elsewhere"]);
    assert_eq!(found(&text("old.a 0 to 4'", "old.a 2' to 5'")), ["strip-elsewhere"]);
    assert_eq!(found(&text("old.a 0 to 4', old.a 3' to 6'", "old.a 2' to 5'")), [""; 0]);
    assert_eq!(found(&text("old", "old.a 2' to old.b 1'")), [""; 0]);
}

#[test]
fn what_stands_lower_beside_ground_that_carries_is_cast_against_it() {
    // A slab of 4 ft with a thickened edge of 1 ft at its far end, 10 in deep below it, 10 ft long. The inner face of the edge, and
    // nothing else, stands against the ground under the slab; not where a form carries the slab there.
    let text = |base: &str| {
        format!(
            "line run {{ leg a 10' }}
section pad {{ along run; thick 4'; height -6\" to 0; base {base} }}
section edge {{ along run; offset 3' to 4'; height -16\" to -6\" }}
pour all {{ fill pad, edge; mix m }}"
        )
    };
    let of = |text: &str, wanted: Class| {
        let all = areas(text);
        all.iter().find(|(class, _)| *class == wanted).map_or(0.0, |(_, area)| *area)
    };
    let (inner, long, ends) = (120.0 * 10.0, 120.0 * 6.0, 2.0 * (48.0 * 6.0 + 12.0 * 10.0));
    assert_eq!(of(&text("gravel"), Class::Earth), inner);
    assert_eq!(of(&text("gravel"), Class::Formed), inner + 2.0 * long);
    assert_eq!(of(&text("gravel"), Class::End), ends);
    assert_eq!(of(&text("form"), Class::Earth), 0.0);
    assert_eq!(of(&text("form"), Class::Formed), 2.0 * inner + 2.0 * long);
}
