//! The broad phase: which boxes touch which, without asking all pairs.

use std::ops::{ControlFlow, Range};

/// A box along the axes, in nanometres (or whatever unit the caller keeps to).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The lowest corner.
    pub least: [f64; 3],
    /// The highest corner.
    pub most: [f64; 3],
}

impl Bounds {
    /// The box that holds nothing.
    pub const EMPTY: Bounds = Bounds { least: [f64::INFINITY; 3], most: [f64::NEG_INFINITY; 3] };

    /// The smallest box round these points.
    #[must_use]
    pub fn around<const COUNT: usize>(points: [[f64; 3]; COUNT]) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        for point in points {
            bounds.take_in(point);
        }
        bounds
    }

    /// Grows to hold a point.
    pub fn take_in(&mut self, point: [f64; 3]) {
        for (axis, at) in point.into_iter().enumerate() {
            // Plain comparisons: no coordinate is anything but a number.
            if at < self.least[axis] {
                self.least[axis] = at;
            }
            if at > self.most[axis] {
                self.most[axis] = at;
            }
        }
    }

    /// The smallest box that holds these of the boxes.
    #[must_use]
    pub fn holding(boxes: &[Bounds], range: &Range<u32>) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        let held = boxes.get(range.start as usize..range.end as usize).unwrap_or_default();
        held.iter().for_each(|each| bounds.join(each));
        bounds
    }

    /// Grown by a margin on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Bounds {
        Bounds { least: self.least.map(|at| at - by), most: self.most.map(|at| at + by) }
    }

    /// Whether the two have a point in common.
    #[must_use]
    pub fn touches(&self, other: &Bounds) -> bool {
        let [ax, ay, az] = self.least;
        let [bx, by, bz] = self.most;
        let [cx, cy, cz] = other.least;
        let [dx, dy, dz] = other.most;
        ax <= dx && cx <= bx && ay <= dy && cy <= by && az <= dz && cz <= bz
    }

    /// How far apart the two are; nothing where they touch. What lies in one is no nearer to what lies in the other.
    #[must_use]
    pub fn apart(&self, other: &Bounds) -> f64 {
        let gap = |axis: usize| (other.least[axis] - self.most[axis]).max(self.least[axis] - other.most[axis]).max(0.0);
        let [x, y, z] = [gap(0), gap(1), gap(2)];
        (x * x + y * y + z * z).sqrt()
    }

    /// Grows to hold another.
    pub fn join(&mut self, other: &Bounds) {
        self.take_in(other.least);
        self.take_in(other.most);
    }
}

/// Boxes under one node that are looked at one by one.
const LEAF: usize = 6;

#[derive(Debug, Clone, Copy)]
struct Node {
    bounds: Bounds,
    first: u32,
    count: u32,
    /// The second child of an inner node (the first one follows it at once); 0 in a leaf.
    right: u32,
}

/// A tree over boxes, in the order of a curve that keeps what is near in space near in the order (Morton's), halved again and
/// again.
#[derive(Debug, Clone, Default)]
pub struct BoxTree {
    nodes: Vec<Node>,
    items: Vec<(u32, Bounds)>,
}

impl BoxTree {
    /// The tree over these boxes; each is known by its place in the slice.
    #[must_use]
    pub fn new(boxes: &[Bounds]) -> BoxTree {
        let mut spread = Bounds::EMPTY;
        boxes.iter().for_each(|one| spread.take_in(middle(one)));
        // One scale for all axes: a wall is long, and thin across.
        let widest = spread.most.iter().zip(&spread.least).map(|(most, least)| most - least).fold(0.0, f64::max);
        let scale = if widest > 0.0 { f64::from(STEPS) / widest } else { 0.0 };
        let mut order: Vec<(u64, u32)> = (0..)
            .zip(boxes)
            .map(|(item, one)| {
                let [x, y, z] = middle(one);
                let [ax, ay, az] = spread.least;
                (morton([(x - ax) * scale, (y - ay) * scale, (z - az) * scale]), item)
            })
            .collect();
        order.sort_unstable();
        let items: Vec<(u32, Bounds)> =
            order.into_iter().filter_map(|(_, item)| Some((item, *boxes.get(item as usize)?))).collect();
        let mut nodes: Vec<Node> = Vec::with_capacity(items.len() / 2 + 1);
        // (first, count, the node whose right child this is)
        let mut waiting: Vec<(usize, usize, Option<usize>)> = Vec::new();
        if !items.is_empty() {
            waiting.push((0, items.len(), None));
        }
        while let Some((first, count, parent)) = waiting.pop() {
            let here = nodes.len();
            if let Some(node) = parent.and_then(|parent| nodes.get_mut(parent)) {
                node.right = here as u32;
            }
            nodes.push(Node { bounds: Bounds::EMPTY, first: first as u32, count: count as u32, right: 0 });
            if count > LEAF {
                let half = count / 2;
                waiting.push((first + half, count - half, Some(here)));
                waiting.push((first, half, None));
            }
        }
        // A node's children stand behind it: from the end each is the sum of what is known already.
        for at in (0..nodes.len()).rev() {
            let Some(Node { first, count, right, .. }) = nodes.get(at).copied() else { continue };
            let mut bounds = Bounds::EMPTY;
            if right == 0 {
                let under = items.get(first as usize..(first + count) as usize).unwrap_or_default();
                under.iter().for_each(|(_, item)| bounds.join(item));
            } else {
                let children = [nodes.get(at + 1), nodes.get(right as usize)];
                children.into_iter().flatten().for_each(|child| bounds.join(&child.bounds));
            }
            if let Some(node) = nodes.get_mut(at) {
                node.bounds = bounds;
            }
        }
        BoxTree { nodes, items }
    }

    /// Calls back with each two boxes that are no farther apart than the margin along every axis, once each, in no
    /// order that means anything, until told to stop.
    pub fn near_each_other(&self, margin: f64, mut found: impl FnMut(u32, u32) -> ControlFlow<()>) {
        let mut waiting: Vec<(u32, u32)> = Vec::with_capacity(64);
        if !self.nodes.is_empty() {
            waiting.push((0, 0));
        }
        while let Some((one, two)) = waiting.pop() {
            let (Some(a), Some(b)) = (self.nodes.get(one as usize), self.nodes.get(two as usize)) else { continue };
            if one == two {
                if a.right == 0 {
                    let items = self.under(a);
                    for (index, (item, own)) in items.iter().enumerate() {
                        let own = own.grown(margin);
                        for (other, bounds) in items.get(index + 1..).unwrap_or_default() {
                            if own.touches(bounds) && found(*item, *other).is_break() {
                                return;
                            }
                        }
                    }
                } else {
                    for pair in [(one + 1, one + 1), (one + 1, a.right), (a.right, a.right)] {
                        waiting.push(pair);
                    }
                }
                continue;
            }
            let grown = a.bounds.grown(margin);
            if !grown.touches(&b.bounds) {
                continue;
            }
            let next = match (a.right, b.right) {
                (0, 0) => {
                    for (item, own) in self.under(a) {
                        let own = own.grown(margin);
                        if !own.touches(&b.bounds) {
                            continue;
                        }
                        for (other, bounds) in self.under(b) {
                            if own.touches(bounds) && found(*item, *other).is_break() {
                                return;
                            }
                        }
                    }
                    continue;
                }
                (right, _) if right != 0 && a.count >= b.count => [(one + 1, two), (right, two)],
                (_, 0) => [(one + 1, two), (a.right, two)],
                (_, right) => [(one, two + 1), (one, right)],
            };
            for pair in next {
                waiting.push(pair);
            }
        }
    }

    fn under(&self, node: &Node) -> &[(u32, Bounds)] {
        let first = node.first as usize;
        self.items.get(first..first + node.count as usize).unwrap_or_default()
    }

    /// The boxes that touch this one, in ascending order, put into `found` (emptied first).
    pub fn touching(&self, bounds: &Bounds, found: &mut Vec<u32>) {
        found.clear();
        // Halving 2^32 boxes goes 32 deep, and each level leaves at most one node waiting.
        let mut waiting = [0_u32; 40];
        let mut depth = 1;
        if self.nodes.is_empty() {
            return;
        }
        while depth > 0 {
            depth -= 1;
            let index = waiting.get(depth).copied().unwrap_or(0) as usize;
            let Some(node) = self.nodes.get(index) else { continue };
            if !node.bounds.touches(bounds) {
                continue;
            }
            if node.right == 0 {
                for (item, own) in self.under(node) {
                    if own.touches(bounds) {
                        found.push(*item);
                    }
                }
                continue;
            }
            for child in [node.right, index as u32 + 1] {
                if let Some(slot) = waiting.get_mut(depth) {
                    *slot = child;
                    depth += 1;
                }
            }
        }
        found.sort_unstable();
    }
}

/// Into so many steps the longest axis is divided: as many as 21 bits count.
const STEPS: u32 = (1 << 21) - 1;

/// The place along Morton's curve of a point whose coordinates run from 0 to [`STEPS`]: their bits in turn.
fn morton(at: [f64; 3]) -> u64 {
    // What is no number comes to 0, and nothing is larger than it may be.
    let [x, y, z] = at.map(|along| spaced(along.clamp(0.0, f64::from(STEPS)) as u64));
    x | y << 1 | z << 2
}

/// The lowest 21 bits, each with two empty ones behind it.
fn spaced(bits: u64) -> u64 {
    let bits = (bits | bits << 32) & 0x001f_0000_0000_ffff;
    let bits = (bits | bits << 16) & 0x001f_0000_ff00_00ff;
    let bits = (bits | bits << 8) & 0x100f_00f0_0f00_f00f;
    let bits = (bits | bits << 4) & 0x10c3_0c30_c30c_30c3;
    (bits | bits << 2) & 0x1249_2492_4924_9249
}

fn middle(bounds: &Bounds) -> [f64; 3] {
    let [ax, ay, az] = bounds.least;
    let [bx, by, bz] = bounds.most;
    [ax + bx, ay + by, az + bz]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn finds_what_asking_all_pairs_finds(
            corners in prop::collection::vec((0.0..100.0, 0.0..100.0, 0.0..9.0, 0.0..20.0), 0..200),
        ) {
            let boxes: Vec<Bounds> = corners
                .iter()
                .map(|&(x, y, z, size)| Bounds { least: [x, y, z], most: [x + size, y + size / 2.0, z + 1.0] })
                .collect();
            let tree = BoxTree::new(&boxes);
            let mut pairs = Vec::new();
            tree.near_each_other(3.0, |a, b| {
                pairs.push((a.min(b), a.max(b)));
                ControlFlow::Continue(())
            });
            let mut asked = 0;
            tree.near_each_other(3.0, |_, _| {
                asked += 1;
                if asked < 3 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
            });
            prop_assert_eq!(asked, pairs.len().min(3));
            pairs.sort_unstable();
            let mut all_pairs = Vec::new();
            for a in 0..boxes.len() {
                for b in a + 1..boxes.len() {
                    if boxes[a].grown(3.0).touches(&boxes[b]) {
                        all_pairs.push((a as u32, b as u32));
                    }
                }
            }
            prop_assert_eq!(pairs, all_pairs);
            let mut found = Vec::new();
            for asked in &boxes {
                tree.touching(asked, &mut found);
                let all: Vec<u32> =
                    (0..boxes.len() as u32).filter(|&other| boxes[other as usize].touches(asked)).collect();
                prop_assert_eq!(&found, &all);
            }
        }
    }
}
