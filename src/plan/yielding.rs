//! Waits that give way to what is written, and the way round that is written instead.

use super::{Edge, Nodes, Reason, graph::Graph, waits::Waits};
use crate::source::Span;

/// So many of these waits are tried one by one where all of them together would go round in a circle.
const TRIED: usize = 256;

/// A wait that gives way: its nodes, and why.
pub(super) type Soft = (u32, u32, Reason, Span);

/// What should come in turn and is written otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Early {
    /// The wait that gave way: its first ought to come before the other, and does not.
    pub wait: Edge,
    /// Why it does not: the waits that lead from the other to the first, each going on where the one before it ends.
    pub way: Vec<Edge>,
}

/// Adds those waits that leave no more steps in or behind circles than the `circling` there are, and gives the others.
pub(super) fn give_way(nodes: &Nodes, waits: &mut Waits, circling: usize, soft: Vec<Soft>) -> Vec<Early> {
    let Some(soft) = soft.get(..soft.len().min(waits.left)).filter(|soft| !soft.is_empty()) else { return Vec::new() };
    waits.left -= soft.len();
    let count = nodes.written.len();
    let before = (waits.arcs.len(), waits.edges.len());
    soft.iter().for_each(|(from, to, reason, at)| waits.push(nodes, *from, *to, *reason, *at));
    if stuck(count, waits) == circling {
        return Vec::new();
    }
    waits.arcs.truncate(before.0);
    waits.edges.truncate(before.1);
    let mut early = Vec::new();
    for (from, to, reason, at) in soft.iter().take(TRIED) {
        waits.push(nodes, *from, *to, *reason, *at);
        if stuck(count, waits) > circling {
            waits.arcs.pop();
            let way = way(count, waits, *to, *from);
            early.extend(waits.edges.pop().map(|wait| Early { wait, way }));
        }
    }
    early
}

/// How many steps stand in or behind circles.
pub(super) fn stuck(count: usize, waits: &Waits) -> usize {
    Graph::new(count, &waits.arcs).order().1.len()
}

/// A shortest way from one node to another, of what is written where there is a choice between two nodes.
fn way(count: usize, waits: &Waits, from: u32, to: u32) -> Vec<Edge> {
    let graph = Graph::new(count, &waits.arcs);
    let plainest = |arc: u32| {
        let (before, after) = waits.arcs[arc as usize];
        let alike = || graph.between(before, after).map(|arc| waits.edges[arc as usize]);
        alike().find(|edge| edge.reason.is_written()).unwrap_or(waits.edges[arc as usize])
    };
    graph.way(from, to).into_iter().map(plainest).collect()
}
