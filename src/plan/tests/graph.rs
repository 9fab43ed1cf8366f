//! Order and circles against plain, slow answers.

use proptest::prelude::*;

use crate::plan::graph::{Arc, Graph};

/// The order by its definition: again and again the lowest node all of whose arcs come from nodes already taken.
fn plain_order(count: u32, arcs: &[Arc]) -> Vec<u32> {
    let mut order: Vec<u32> = Vec::new();
    let free = |order: &[u32], node: u32| {
        !order.contains(&node) && arcs.iter().all(|arc| arc.1 != node || order.contains(&arc.0))
    };
    while let Some(next) = (0..count).find(|node| free(&order, *node)) {
        order.push(next);
    }
    order
}

/// The least number of arcs between all nodes, by Floyd and Warshall; a node reaches itself only by a circle.
fn distances(count: usize, arcs: &[Arc]) -> Vec<Vec<usize>> {
    let far = usize::MAX / 4;
    let mut least = vec![vec![far; count]; count];
    for (before, after) in arcs {
        least[*before as usize][*after as usize] = 1;
    }
    for over in 0..count {
        for from in 0..count {
            for to in 0..count {
                let way = least[from][over] + least[over][to];
                least[from][to] = least[from][to].min(way);
            }
        }
    }
    least
}

fn any_graph() -> impl Strategy<Value = (usize, Vec<Arc>)> {
    (1_usize..12).prop_flat_map(|count| {
        let node = 0..u32::try_from(count).unwrap();
        (Just(count), prop::collection::vec((node.clone(), node), 0..24))
    })
}

/// Arcs that agree with a hidden order of the nodes.
fn acyclic() -> impl Strategy<Value = (usize, Vec<Arc>)> {
    (1_usize..14).prop_flat_map(|count| {
        let hidden = Just((0..u32::try_from(count).unwrap()).collect::<Vec<_>>()).prop_shuffle();
        (hidden, prop::collection::vec((0..count, 0..count), 0..40)).prop_map(move |(hidden, pairs)| {
            let arcs = pairs.into_iter().filter(|(a, b)| a != b);
            (count, arcs.map(|(a, b)| (hidden[a.min(b)], hidden[a.max(b)])).collect())
        })
    })
}

proptest! {
    #[test]
    fn the_order_respects_every_arc_and_is_the_earliest((count, arcs) in acyclic()) {
        let (order, stuck) = Graph::new(count, &arcs).order();
        prop_assert!(stuck.is_empty());
        let place = |node: u32| order.iter().position(|other| *other == node).unwrap();
        for (before, after) in &arcs {
            prop_assert!(place(*before) < place(*after));
        }
        prop_assert_eq!(order, plain_order(u32::try_from(count).unwrap(), &arcs));
    }

    #[test]
    fn another_arc_loses_no_node((count, mut arcs) in any_graph(), from in 0_u32..12, to in 0_u32..12) {
        let most = u32::try_from(count).unwrap() - 1;
        arcs.push((from.min(most), to.min(most)));
        let (mut order, stuck) = Graph::new(count, &arcs).order();
        prop_assert_eq!(&order, &plain_order(most + 1, &arcs));
        order.extend(stuck);
        order.sort_unstable();
        prop_assert_eq!(order, (0..=most).collect::<Vec<_>>());
    }

    #[test]
    fn rings_are_rings_and_the_shortest_of_their_knots((count, arcs) in any_graph()) {
        let graph = Graph::new(count, &arcs);
        let (_, stuck) = graph.order();
        let rings = graph.rings(&stuck);
        let least = distances(count, &arcs);
        let tied = |a: usize, b: usize| least[a][b] < count + 1 && least[b][a] < count + 1;
        let mut knots: Vec<Vec<usize>> = Vec::new();
        for node in (0..count).filter(|node| tied(*node, *node)) {
            match knots.iter_mut().find(|knot| tied(knot[0], node)) {
                Some(knot) => knot.push(node),
                None => knots.push(vec![node]),
            }
        }
        prop_assert_eq!(rings.len(), knots.len());
        for (ring, knot) in rings.iter().zip(&knots) {
            prop_assert!(ring.least);
            for (at, arc) in ring.arcs.iter().enumerate() {
                let next = ring.arcs[(at + 1) % ring.arcs.len()];
                prop_assert_eq!(arcs[*arc as usize].1, arcs[next as usize].0);
                prop_assert!(knot.contains(&(arcs[*arc as usize].0 as usize)));
                prop_assert!(arcs[ring.arcs[0] as usize].0 <= arcs[*arc as usize].0);
            }
            let shortest = knot.iter().map(|node| least[*node][*node]).min().unwrap();
            prop_assert_eq!(ring.arcs.len(), shortest);
        }
    }
}

#[test]
fn a_long_chain_and_a_long_ring_are_only_long() {
    let count = 100_000;
    let mut arcs: Vec<Arc> = (1..count).rev().map(|node| (node - 1, node)).collect();
    let graph = Graph::new(count as usize, &arcs);
    assert_eq!(graph.order(), ((0..count).collect(), vec![]));
    arcs.push((count - 1, 0));
    let graph = Graph::new(count as usize, &arcs);
    let (order, stuck) = graph.order();
    assert!(order.is_empty());
    let rings = graph.rings(&stuck);
    assert_eq!(rings.len(), 1);
    assert_eq!(rings[0].arcs.len(), 100_000);
    assert!(rings[0].least);
}

#[test]
fn a_million_arcs_from_a_thousand_to_a_thousand() {
    let mut arcs: Vec<Arc> = (0..1000).flat_map(|from| (1000..2000).map(move |to| (from, to))).collect();
    let graph = Graph::new(2000, &arcs);
    assert_eq!(graph.order(), ((0..2000).collect(), vec![]));
    arcs.push((1999, 1000));
    arcs.push((1000, 0));
    let graph = Graph::new(2000, &arcs);
    let (order, stuck) = graph.order();
    assert_eq!(order.len(), 999);
    let rings = graph.rings(&stuck);
    assert_eq!(rings.len(), 1);
    assert_eq!(rings[0].arcs, [0, 1_000_001]);
}

#[test]
fn a_large_tangle_of_long_circles_ends_in_time() {
    // Each node of a layer before each of the next, round in a circle of 300 layers of 50 nodes.
    let (layers, wide) = (300, 50);
    let mut arcs: Vec<Arc> = Vec::new();
    for layer in 0..layers {
        for from in 0..wide {
            for to in 0..wide {
                arcs.push((layer * wide + from, (layer + 1) % layers * wide + to));
            }
        }
    }
    let graph = Graph::new(15_000, &arcs);
    let rings = graph.rings(&graph.order().1);
    assert_eq!(rings.len(), 1);
    assert_eq!(rings[0].arcs.len(), 300);
    assert!(!rings[0].least, "fifty starts of 750,000 arcs each are more than the patience");
}

#[test]
fn a_node_waiting_for_itself_and_two_circles_apart() {
    let arcs = [(3, 3), (0, 1), (1, 0), (3, 4), (1, 2)];
    let graph = Graph::new(5, &arcs);
    let (order, stuck) = graph.order();
    assert!(order.is_empty());
    assert_eq!(stuck, [0, 1, 2, 3, 4]);
    let rings: Vec<Vec<u32>> = graph.rings(&stuck).into_iter().map(|ring| ring.arcs).collect();
    assert_eq!(rings, [vec![1, 2], vec![0]]);
}

#[test]
fn a_shorter_circle_behind_a_longer_one_is_found() {
    let arcs = [(0, 1), (1, 2), (2, 3), (3, 0), (3, 4), (4, 5), (5, 3)];
    let graph = Graph::new(6, &arcs);
    let rings: Vec<_> = graph.rings(&graph.order().1).into_iter().map(|ring| (ring.arcs, ring.least)).collect();
    assert_eq!(rings, [(vec![4, 5, 6], true)]);
}
