//! Order and circles in a graph of plain numbers. Nothing here calls itself: a chain of any length costs only time.

use std::{
    cmp::Reverse,
    collections::{BinaryHeap, VecDeque},
};

/// How many arcs the search for ever shorter circles follows, in all, before it is content with what it has.
const PATIENCE: usize = 10_000_000;

const NONE: u32 = u32::MAX;

/// An arc: what comes before, what comes after.
pub(super) type Arc = (u32, u32);

/// The arcs at each node: pairs of the node at the other end and the number of the arc.
#[derive(Debug)]
struct Fan {
    starts: Vec<u32>,
    arcs: Vec<(u32, u32)>,
}

impl Fan {
    /// Sorts arcs by the node that `end` picks; arcs of one node stay in their order.
    fn new(count: usize, arcs: &[Arc], end: impl Fn(Arc) -> Arc) -> Fan {
        let mut starts = vec![0_u32; count + 1];
        for arc in arcs {
            starts[end(*arc).0 as usize + 1] += 1;
        }
        for at in 0..count {
            starts[at + 1] += starts[at];
        }
        let mut next = starts.clone();
        let mut sorted = vec![(0, 0); arcs.len()];
        for (number, arc) in (0_u32..).zip(arcs) {
            let (here, there) = end(*arc);
            sorted[next[here as usize] as usize] = (there, number);
            next[here as usize] += 1;
        }
        Fan { starts, arcs: sorted }
    }

    fn at(&self, node: u32) -> &[(u32, u32)] {
        let node = node as usize;
        &self.arcs[self.starts[node] as usize..self.starts[node + 1] as usize]
    }
}

/// Nodes 0 to `count`, and arcs between them.
#[derive(Debug)]
pub(super) struct Graph<'a> {
    count: usize,
    arcs: &'a [Arc],
    out: Fan,
    into: Fan,
}

/// Arcs that lead round to where they began.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ring {
    /// The numbers of the arcs, one after the other; the first leaves the lowest node.
    pub arcs: Vec<u32>,
    /// No shorter ring goes through these nodes: proven, not only likely.
    pub least: bool,
}

impl<'a> Graph<'a> {
    /// No arc may name a node past `count`.
    pub fn new(count: usize, arcs: &'a [Arc]) -> Graph<'a> {
        let out = Fan::new(count, arcs, |arc| arc);
        let into = Fan::new(count, arcs, |(before, after)| (after, before));
        Graph { count, arcs, out, into }
    }

    /// The numbers of all arcs from one node to another, in their order.
    pub fn between(&self, before: u32, after: u32) -> impl Iterator<Item = u32> {
        self.out.at(before).iter().filter(move |(to, _)| *to == after).map(|(_, arc)| *arc)
    }

    /// All nodes that can be put in order, always the lowest that is free; then, apart, those that cannot.
    ///
    /// "Topological sorting of large networks", Communications of the ACM 5 (1962), with a heap for the ties.
    pub fn order(&self) -> (Vec<u32>, Vec<u32>) {
        let mut waits: Vec<usize> = (0..).take(self.count).map(|node| self.into.at(node).len()).collect();
        let mut free: BinaryHeap<Reverse<u32>> =
            (0..).zip(&waits).filter(|(_, waits)| **waits == 0).map(|(node, _)| Reverse(node)).collect();
        let mut order = Vec::with_capacity(self.count);
        while let Some(Reverse(node)) = free.pop() {
            order.push(node);
            for (after, _) in self.out.at(node) {
                waits[*after as usize] -= 1;
                if waits[*after as usize] == 0 {
                    free.push(Reverse(*after));
                }
            }
        }
        let stuck = (0..).zip(&waits).filter(|(_, waits)| **waits > 0).map(|(node, _)| node).collect();
        (order, stuck)
    }

    /// The arcs of a shortest way from one node to another; none where no way leads there.
    pub fn way(&self, from: u32, to: u32) -> Vec<u32> {
        let mut by = vec![NONE; self.count];
        let mut next = VecDeque::from([from]);
        while let Some(node) = next.pop_front() {
            if node == to {
                break;
            }
            for (after, arc) in self.out.at(node) {
                if *after != from && by[*after as usize] == NONE {
                    by[*after as usize] = *arc;
                    next.push_back(*after);
                }
            }
        }
        let mut way = Vec::new();
        let mut node = to;
        while node != from && by[node as usize] != NONE {
            let arc = by[node as usize];
            way.push(arc);
            node = self.arcs[arc as usize].0;
        }
        way.reverse();
        way
    }

    /// One shortest ring for each knot among these nodes, by their lowest nodes.
    pub fn rings(&self, stuck: &[u32]) -> Vec<Ring> {
        if stuck.is_empty() {
            return Vec::new();
        }
        let knots = self.knots(stuck);
        let mut search = Search::new(self, &knots);
        let mut patience = PATIENCE;
        knots.iter().filter_map(|knot| search.shortest(knot, &mut patience)).collect()
    }

    /// The sets of nodes that can all be reached from each other, each sorted, those of one node only if it has an arc
    /// to itself.
    ///
    /// "Depth-first search and linear graph algorithms", SIAM Journal on Computing 1 (1972), with its own stack.
    fn knots(&self, stuck: &[u32]) -> Vec<Vec<u32>> {
        let mut number = vec![NONE; self.count];
        let mut low = vec![NONE; self.count];
        let mut open = vec![false; self.count];
        let (mut held, mut path) = (Vec::new(), Vec::new());
        let mut next = 0;
        let mut knots = Vec::new();
        for start in stuck {
            if number[*start as usize] != NONE {
                continue;
            }
            path.push((*start, 0));
            while let Some((node, done)) = path.last_mut() {
                let (here, at) = (*node, *node as usize);
                if *done == 0 {
                    (number[at], low[at], open[at]) = (next, next, true);
                    next += 1;
                    held.push(here);
                }
                // What can be ordered was never reached from what is stuck, so every arc stays among the stuck.
                if let Some((after, _)) = self.out.at(here).get(*done) {
                    *done += 1;
                    let to = *after as usize;
                    if number[to] == NONE {
                        path.push((*after, 0));
                    } else if open[to] {
                        low[at] = low[at].min(number[to]);
                    }
                    continue;
                }
                path.pop();
                if let Some((parent, _)) = path.last() {
                    low[*parent as usize] = low[*parent as usize].min(low[at]);
                }
                if low[at] == number[at] {
                    let from = held.iter().rposition(|node| *node == here).unwrap_or(0);
                    let mut knot = held.split_off(from);
                    for node in &knot {
                        open[*node as usize] = false;
                    }
                    if knot.len() > 1 || self.between(here, here).next().is_some() {
                        knot.sort_unstable();
                        knots.push(knot);
                    }
                }
            }
        }
        knots.sort_unstable();
        knots
    }
}

/// The search for the shortest ring of each knot.
struct Search<'g> {
    graph: &'g Graph<'g>,
    /// The knot each node still belongs to.
    knot: Vec<u32>,
    /// How many arcs from and to its own knot each node still has.
    ins: Vec<u32>,
    outs: Vec<u32>,
    /// When a node was last reached, and by which arc.
    reached: Vec<(u32, u32)>,
    round: u32,
}

impl<'g> Search<'g> {
    fn new(graph: &'g Graph<'g>, knots: &[Vec<u32>]) -> Search<'g> {
        let mut knot = vec![NONE; graph.count];
        for (number, nodes) in (0..).zip(knots) {
            for node in nodes {
                knot[*node as usize] = number;
            }
        }
        let (mut ins, mut outs) = (vec![0; graph.count], vec![0; graph.count]);
        for from in knots.iter().flatten() {
            for (to, _) in graph.out.at(*from) {
                if knot[*from as usize] == knot[*to as usize] {
                    outs[*from as usize] += 1;
                    ins[*to as usize] += 1;
                }
            }
        }
        Search { graph, knot, ins, outs, reached: vec![(0, NONE); graph.count], round: 0 }
    }

    fn shortest(&mut self, nodes: &[u32], patience: &mut usize) -> Option<Ring> {
        let short = nodes
            .iter()
            .find_map(|node| self.graph.between(*node, *node).next())
            .map(|arc| vec![arc])
            .or_else(|| nodes.iter().find_map(|node| self.pair(*node)));
        if let Some(arcs) = short {
            return Some(Ring { arcs, least: true });
        }
        // The shortest ring through the lowest node, then without that node the shortest through the next, and so on.
        let mut best: Option<Vec<u32>> = None;
        for node in nodes {
            if self.knot[*node as usize] == NONE {
                continue;
            }
            if *patience == 0
                && let Some(arcs) = best
            {
                return Some(Ring { arcs, least: false });
            }
            let bound = best.as_ref().map_or(usize::MAX, Vec::len);
            if let Some(shorter) = self.through(*node, bound, patience) {
                best = Some(shorter);
            }
            // Pairs and loops are out already.
            if best.as_ref().is_some_and(|best| best.len() == 3) {
                break;
            }
            self.take_out(*node);
        }
        best.map(|arcs| Ring { arcs, least: true })
    }

    /// Two arcs, there and back, from a node.
    fn pair(&mut self, node: u32) -> Option<Vec<u32>> {
        self.round += 1;
        for (to, arc) in self.graph.out.at(node) {
            let reached = &mut self.reached[*to as usize];
            if reached.0 != self.round {
                *reached = (self.round, *arc);
            }
        }
        let back = self.graph.into.at(node).iter().find(|(from, _)| self.reached[*from as usize].0 == self.round);
        back.map(|(from, arc)| vec![self.reached[*from as usize].1, *arc])
    }

    /// The shortest ring through a node that has fewer than `bound` arcs.
    fn through(&mut self, start: u32, bound: usize, patience: &mut usize) -> Option<Vec<u32>> {
        self.round += 1;
        let knot = self.knot[start as usize];
        let mut queue = VecDeque::from([(start, 1)]);
        while let Some((node, length)) = queue.pop_front() {
            if length >= bound {
                return None;
            }
            for (to, arc) in self.graph.out.at(node) {
                *patience = patience.saturating_sub(1);
                if *to == start {
                    return Some(self.way(start, node, *arc));
                }
                let at = *to as usize;
                if self.knot[at] == knot && self.reached[at].0 != self.round {
                    self.reached[at] = (self.round, *arc);
                    queue.push_back((*to, length + 1));
                }
            }
        }
        None
    }

    /// The arcs by which a node was reached, with the last one back to the start.
    fn way(&self, start: u32, end: u32, last: u32) -> Vec<u32> {
        let mut way = vec![last];
        let mut node = end;
        while node != start {
            let arc = self.reached[node as usize].1;
            way.push(arc);
            node = self.graph.arcs[arc as usize].0;
        }
        way.reverse();
        way
    }

    /// Takes a node out of its knot, and with it what no ring goes through any more.
    fn take_out(&mut self, node: u32) {
        let mut out = vec![node];
        while let Some(node) = out.pop() {
            let knot = self.knot[node as usize];
            if knot == NONE {
                continue;
            }
            self.knot[node as usize] = NONE;
            for (to, _) in self.graph.out.at(node) {
                if self.knot[*to as usize] == knot {
                    self.ins[*to as usize] -= 1;
                    if self.ins[*to as usize] == 0 {
                        out.push(*to);
                    }
                }
            }
            for (from, _) in self.graph.into.at(node) {
                if self.knot[*from as usize] == knot {
                    self.outs[*from as usize] -= 1;
                    if self.outs[*from as usize] == 0 {
                        out.push(*from);
                    }
                }
            }
        }
    }
}
