//! The revised simplex method on a dense inverse, in floats. What it finds is a guide only: every bound that comes of it is
//! checked again in integers (`measure`), every plan is made of whole pieces.

/// One column of the tableau: row and entry, by rising row.
pub(super) type Column = Vec<(usize, f64)>;

/// Pivots between two fresh inverses: rounding errors do not pile up further.
const FRESHEN: usize = 120;
/// What counts as zero in a pivot.
const TINY: f64 = 1e-9;

/// What stands in one row of the basis.
#[derive(Clone, Debug)]
struct Basic {
    id: usize,
    cost: f64,
    column: Column,
}

/// A basis, its inverse and its levels.
#[derive(Clone, Debug)]
pub(super) struct Simplex {
    rows: usize,
    basis: Vec<Basic>,
    /// Row by row.
    inverse: Vec<f64>,
    level: Vec<f64>,
    wanted: Vec<f64>,
    since: usize,
}

impl Simplex {
    /// Starts from one column a row, each with an entry in its own row only: id, cost and entry.
    pub fn new(start: &[(usize, f64, f64)], wanted: &[f64]) -> Self {
        let rows = start.len();
        let mut inverse = vec![0.0; rows * rows];
        let mut level = vec![0.0; rows];
        let mut basis = Vec::with_capacity(rows);
        for (row, (&(id, cost, entry), &want)) in start.iter().zip(wanted).enumerate() {
            inverse[row * rows + row] = 1.0 / entry;
            level[row] = want / entry;
            basis.push(Basic { id, cost, column: vec![(row, entry)] });
        }
        Self { rows, basis, inverse, level, wanted: wanted.to_vec(), since: 0 }
    }

    /// What one unit of each row is worth at this basis.
    pub fn prices(&self) -> Vec<f64> {
        let mut prices = vec![0.0; self.rows];
        for (basic, row) in self.basis.iter().zip(self.inverse.chunks_exact(self.rows.max(1))) {
            if basic.cost != 0.0 {
                for (price, entry) in prices.iter_mut().zip(row) {
                    *price += basic.cost * entry;
                }
            }
        }
        prices
    }

    /// What stands in the basis, and how much of it.
    pub fn levels(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.basis.iter().zip(&self.level).map(|(basic, &level)| (basic.id, level))
    }

    /// The cost at this basis.
    pub fn cost(&self) -> f64 {
        self.basis.iter().zip(&self.level).map(|(basic, level)| basic.cost * level).sum()
    }

    /// Brings a column into the basis. False when it cannot come in, which a column with a bound never does.
    pub fn enter(&mut self, id: usize, cost: f64, column: &Column) -> bool {
        let rows = self.rows;
        let mut change = vec![0.0; rows];
        for (entry, row) in change.iter_mut().zip(self.inverse.chunks_exact(rows.max(1))) {
            *entry = column.iter().map(|&(at, value)| row[at] * value).sum();
        }
        // The least ratio; among equal ones the largest pivot, which keeps the inverse sound.
        let mut leaving: Option<(usize, f64)> = None;
        for (row, &entry) in change.iter().enumerate() {
            if entry <= TINY {
                continue;
            }
            let ratio = self.level[row].max(0.0) / entry;
            let better = leaving
                .is_none_or(|(best, least)| ratio < least - TINY || (ratio <= least + TINY && entry > change[best]));
            if better {
                leaving = Some((row, ratio));
            }
        }
        let Some((out, ratio)) = leaving else { return false };
        let pivot = change[out];
        for entry in &mut self.inverse[out * rows..(out + 1) * rows] {
            *entry /= pivot;
        }
        let (before, rest) = self.inverse.split_at_mut(out * rows);
        let (pivots, after) = rest.split_at_mut(rows);
        for (at, row) in before.chunks_exact_mut(rows).chain(after.chunks_exact_mut(rows)).enumerate() {
            let factor = change[if at < out { at } else { at + 1 }];
            if factor != 0.0 {
                for (entry, pivot) in row.iter_mut().zip(pivots.iter()) {
                    *entry -= factor * pivot;
                }
            }
        }
        for (row, level) in self.level.iter_mut().enumerate() {
            *level = if row == out { ratio } else { *level - ratio * change[row] };
        }
        self.basis[out] = Basic { id, cost, column: column.clone() };
        self.since += 1;
        if self.since >= FRESHEN {
            self.since = 0;
            return self.freshen();
        }
        true
    }

    /// Works the inverse out again from the columns of the basis. False when they no longer make one.
    fn freshen(&mut self) -> bool {
        let rows = self.rows;
        let width = 2 * rows;
        let mut table = vec![0.0; rows * width];
        for (at, basic) in self.basis.iter().enumerate() {
            for &(row, value) in &basic.column {
                table[row * width + at] = value;
            }
            table[at * width + rows + at] = 1.0;
        }
        for at in 0..rows {
            let size = |row: usize| table[row * width + at].abs();
            let Some(best) = (at..rows).max_by(|&a, &b| size(a).total_cmp(&size(b))) else { return false };
            if size(best) < 1e-12 {
                return false;
            }
            for column in 0..width {
                table.swap(at * width + column, best * width + column);
            }
            let pivot = table[at * width + at];
            for entry in &mut table[at * width..(at + 1) * width] {
                *entry /= pivot;
            }
            let fixed = table[at * width..(at + 1) * width].to_vec();
            for (row, entries) in table.chunks_exact_mut(width).enumerate() {
                let factor = entries[at];
                if row != at && factor != 0.0 {
                    for (entry, pivot) in entries.iter_mut().zip(&fixed) {
                        *entry -= factor * pivot;
                    }
                }
            }
        }
        for (row, entries) in table.chunks_exact(width).enumerate() {
            self.inverse[row * rows..(row + 1) * rows].copy_from_slice(&entries[rows..]);
        }
        for (level, row) in self.level.iter_mut().zip(self.inverse.chunks_exact(rows)) {
            *level = row.iter().zip(&self.wanted).map(|(entry, want)| entry * want).sum::<f64>().max(0.0);
        }
        true
    }
}
