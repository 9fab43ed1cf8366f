//! How much steel runs through each section, which way, and how far apart it lies; what a rule asks there, where the
//! section says that one does.
//!
//! Each section is cut square to the bars of one direction, where the cut goes through the least steel: of long bars across
//! each leg of the section, of upright ones level, of bars that run out from the face along it. Within one thickness of the
//! section's ends, and of its corners, bars end and turn: no cut is made there; where nothing else is left, it is made
//! half-way. Where legs differ in thickness, upright bars and those that run out are also reckoned leg by leg. The steel is compared with the gross section, voids not deducted. Pieces lapped with each other count once, and
//! bars of several layers count together, for the area and for the distance from one to the next alike.

use std::collections::BTreeMap;

use super::{
    bars::{BarsMade, Group, Place},
    lap_rule::yields_at,
    lines::lines,
    shape::Steel,
    sweep::{Apart, Part, Swept, Through, sweep},
};
use crate::{
    concrete::{Interval, LegAt, Placed, Sections, Standing, depth, on_legs},
    geometry::{Point, distance::Segment},
    holes::Set,
    job::{Job, Thing},
    ledger::Figure,
    schema::{BlockId, Section, Wanted},
    standards::{
        self, Worked,
        minimum_steel::{SHRINKAGE, WallSteel, wall_ratios, widest_spacing},
        spacing::{Spread, greatest},
    },
    units::{Area, Length, Ratio, Stress},
};

/// How far a drawn arc may leave the true one: a tenth of a millimetre.
const ARC: f64 = 100_000.0;

/// Parts of bars within 45 degrees of a direction run that way.
const WAY: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Which way bars run in a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Along the old face.
    Lengthwise,
    /// Up and down: in a section that is no wider than it is high, and in one that is to have the steel of a wall.
    Upright,
    /// Out from the old face: in a section that is wider than high.
    Across,
}

impl Axis {
    /// Its word, in the names of numbers too: `low.steel.upright`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Axis::Lengthwise => "lengthwise",
            Axis::Upright => "upright",
            Axis::Across => "across",
        }
    }
}

/// What a cut goes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gross {
    /// Width and height, where it is made across a leg.
    Across(Length, Length),
    /// The plan, where it is level.
    Level(Area),
    /// The plan and height, and the width it is divided by, where it is made along the face.
    Along(Area, Length, Length),
}

impl Gross {
    /// Its area.
    #[must_use]
    pub fn area(self) -> Area {
        match self {
            Gross::Across(width, height) => width * height,
            Gross::Level(plan) => plan,
            Gross::Along(plan, height, width) => {
                let share = height.metres() / width.metres();
                Area::from_nm2((plan.nm2() as f64 * share).round() as i128)
            }
        }
    }
}

/// Where a cut is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutAt {
    /// Across a leg, at this station.
    Station(LegAt, Length),
    /// At this level, over the part of the section that begins on this leg.
    Level(LegAt, Length),
    /// So far out of the face, likewise.
    Offset(LegAt, Length),
}

/// The cut that goes through the least steel.
#[derive(Debug, Clone, PartialEq)]
pub struct Least {
    /// Where.
    pub at: CutAt,
    /// How many bars of each block it goes through, in the order of the blocks.
    pub bars: Vec<(BlockId, Steel, u64)>,
    /// What it goes through, steel and all.
    pub gross: Gross,
    /// The thickness there, which spacings are measured by: that of a wall, the height of a flat section.
    pub thick: Length,
    /// From one edge to the other, the way bars follow each other.
    pub spread: Length,
    /// The leg it is reckoned on alone, where legs differ in thickness.
    pub leg: Option<LegAt>,
}

impl Least {
    /// How many bars.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.bars.iter().map(|(_, _, count)| count).sum()
    }

    /// Their area, of the tabulated areas.
    #[must_use]
    pub fn steel(&self) -> Area {
        self.bars.iter().map(|(_, steel, count)| times(steel.area, *count)).sum()
    }

    /// The steel as a part of the gross section.
    #[must_use]
    pub fn ratio(&self) -> Ratio {
        let gross = self.gross.area();
        if gross <= Area::ZERO {
            return Ratio::from_fraction(0.0);
        }
        Ratio::from_fraction(self.steel().nm2() as f64 / gross.nm2() as f64)
    }
}

/// So many bars of an area.
#[must_use]
pub(super) fn times(area: Area, count: u64) -> Area {
    Area::from_nm2(area.nm2().saturating_mul(i128::from(count)))
}

/// A bar in a cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InCut {
    /// Its block.
    pub bars: BlockId,
    /// The leg it stands on.
    pub on: LegAt,
    /// Its level, its distance out of the face, or its station.
    pub at: Length,
}

/// Two neighbours in a cut, or the edge of the concrete and the bar nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Where the cut is.
    pub cut: CutAt,
    /// From centre to centre, or from the edge to the centre.
    pub far: Length,
    /// The lower or left one; none for the edge.
    pub from: Option<InCut>,
    /// The higher or right one; none for the edge.
    pub to: Option<InCut>,
}

/// What a rule asks of bars that run one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The least steel, as a part of the gross section.
    pub ratio: Worked<Ratio>,
    /// The greatest distance from centre to centre.
    pub apart: Worked<Length>,
}

/// The steel of a section that runs one way.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelIn {
    /// The section.
    pub section: BlockId,
    /// Which way.
    pub axis: Axis,
    /// The section is wider than high, and not to have the steel of a wall.
    pub flat: bool,
    /// Where there is least of it.
    pub least: Least,
    /// The neighbours that are farthest apart, of all cuts; none where no cut goes through two.
    pub widest: Option<Gap>,
    /// The edge that is farthest from any bar, of all cuts; none where no cut goes through any, and all the way round.
    pub bare: Option<Gap>,
    /// The size that more bars would be of: that of most bars that run this way, else of any bars in the section.
    pub size: Option<Steel>,
    /// What a rule asks, where the section says that one does.
    pub asked: Option<Asked>,
}

/// Works out the steel of all sections that have bars in them, or that are to have some by a rule; of the latter alone where
/// nobody reads the figures of the others.
#[must_use]
pub fn steel_in(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    sets: &BTreeMap<BlockId, Set>,
    all: &[BarsMade],
    asked_alone: bool,
) -> Vec<SteelIn> {
    let mut field = Field::new(job, standing, sections, asked_alone);
    if field.bundles.is_empty() {
        return Vec::new();
    }
    for (of, made) in (0..).zip(all) {
        let set = job.bars_of(made.id).and_then(|bars| sets.get(&bars.say.holes?.value.0));
        let mut rows: BTreeMap<(u16, Length), u32> = BTreeMap::new();
        for group in &made.groups {
            match (&group.place, group.from) {
                (Place::Long { row, level, from, to }, Some((offset, _))) => {
                    let key = *rows.entry((*row, *level)).or_insert_with(|| field.key());
                    let bar = Long { key, of, area: made.steel.area, level: *level, offset };
                    field.long(standing, bar, *from, *to);
                }
                _ => field.others(standing, of, made, group, set),
            }
        }
    }
    field.judge(job, all)
}

/// How many bars would be enough, and how near each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WouldDo {
    /// Their size.
    pub steel: Steel,
    /// How many bars.
    pub count: u64,
    /// No farther from centre to centre, to be divided by whoever sets them out.
    pub apart: Length,
}

impl SteelIn {
    /// The ratio is less than what is asked; equal ones differ by noise.
    #[must_use]
    pub fn is_little(&self) -> bool {
        self.asked
            .as_ref()
            .is_some_and(|asked| self.least.ratio().fraction() < asked.ratio.value.fraction() * (1.0 - 1e-9))
    }

    /// How many bars of the size there is would do where there is least steel.
    #[must_use]
    pub fn would_do(&self) -> Option<WouldDo> {
        let (asked, steel) = (self.asked.as_ref()?, self.size?);
        let wanted = asked.ratio.value.fraction() * self.least.gross.area().nm2() as f64;
        let enough = (wanted / steel.area.nm2() as f64 - 1e-9).ceil();
        let by_area = widest_spacing(steel.area, asked.ratio.value, self.least.thick).ok()?.value;
        let apart = by_area.min(asked.apart.value);
        // Spread from edge to edge, each bar serves half the distance on either side of it.
        let spread = (self.least.spread.nm() as f64 / asked.apart.value.nm().max(1) as f64 - 1e-9).ceil();
        Some(WouldDo { steel, count: enough.max(spread).max(1.0) as u64, apart })
    }
}

/// A part of a section on one leg.
struct Plot {
    start: Length,
    end: Length,
    inner: Length,
    outer: Length,
    bottom: Length,
    top: Length,
    flat: bool,
    /// What bars that run lengthwise here are gathered in.
    lengthwise: usize,
    /// The same of bars that run up or out.
    crosswise: usize,
    /// Those on this leg alone, where legs differ in thickness.
    here: Option<usize>,
}

/// Plots of one leg, by their beginnings, and how far those up to each reach.
#[derive(Default)]
struct Plots {
    all: Vec<Plot>,
    reach: Vec<Length>,
}

/// The parts of bars that run one way through one part of a section.
struct Bundle {
    section: BlockId,
    axis: Axis,
    on: LegAt,
    through: Through,
    gross: Gross,
    thick: Length,
    flat: bool,
    /// It is a leg's part of another bundle: how much steel there is counts, and not what lies at its ends.
    leg: Option<LegAt>,
    parts: Vec<Part>,
}

/// A long bar.
#[derive(Clone, Copy)]
struct Long {
    key: u32,
    of: u32,
    area: Area,
    level: Length,
    offset: Length,
}

struct Field {
    plots: BTreeMap<LegAt, Plots>,
    bundles: Vec<Bundle>,
    /// How many bars have been told apart.
    keys: u32,
}

impl Field {
    fn new(job: &Job, standing: &Standing, sections: &Sections, asked_alone: bool) -> Field {
        let mut field = Field { plots: BTreeMap::new(), bundles: Vec::new(), keys: 0 };
        for placed in &sections.placed {
            let Some(section) = job.section(placed.id) else { continue };
            if asked_alone && section.say.steel.is_none() {
                continue;
            }
            let (deep, wall) = (|on| depth(section, standing, on), section.say.steel == Some(Wanted::Wall));
            field.add(standing, (section, placed), &deep, wall);
        }
        for plots in field.plots.values_mut() {
            plots.all.sort_by_key(|plot| plot.start);
            let mut far = Length::ZERO;
            for plot in &plots.all {
                far = far.max(plot.end);
                plots.reach.push(far);
            }
        }
        field
    }

    fn key(&mut self) -> u32 {
        self.keys = self.keys.saturating_add(1);
        self.keys
    }

    fn add(
        &mut self,
        standing: &Standing,
        (section, placed): (&Thing<Section>, &Placed),
        deep: &dyn Fn(LegAt) -> (Length, Length),
        wall: bool,
    ) {
        let height = placed.top - placed.bottom;
        let wide = |on| {
            let (inner, outer) = deep(on);
            outer - inner
        };
        let widths = || placed.intervals.iter().map(|interval| wide(interval.on));
        let (Some(least), Some(most)) = (widths().min(), widths().max()) else { return };
        let flat = !wall && least > height;
        let zone = if flat { height } else { most };
        for (run, outline) in placed.runs.iter().zip(&placed.outlines) {
            let ((first, start), (last, end)) = *run;
            let Some(chain) = standing.chain(first) else { continue };
            let begins = chain.run.distance(usize::from(first.leg), start);
            let mut ends = chain.run.distance(usize::from(last.leg), end);
            if ends <= begins {
                ends += chain.run.total();
            }
            let whole = (begins, ends);
            let ring = chain.run.closed() && ends - begins == chain.run.total();
            let (inner, outer) = deep(first);
            let (axis, span, gross) = if flat {
                let gross = Gross::Along(outline.area(), height, least);
                (Axis::Across, inset(inner, outer, zone), gross)
            } else {
                (Axis::Upright, inset(placed.bottom, placed.top, zone), Gross::Level(outline.area()))
            };
            let crosswise = self.bundles.len();
            self.bundles.push(Bundle {
                section: placed.id,
                axis,
                on: first,
                through: Through { span, edges: whole, ring },
                gross,
                thick: if flat { height } else { least },
                flat,
                leg: None,
                parts: Vec::new(),
            });
            let alone = if least < most { on_legs(section, standing, run) } else { Vec::new() };
            for Interval { on, start, end } in standing.intervals(std::slice::from_ref(run)) {
                let (inner, outer) = deep(on);
                let lengthwise = self.bundles.len();
                let edges = if flat { (inner, outer) } else { (placed.bottom, placed.top) };
                self.bundles.push(Bundle {
                    section: placed.id,
                    axis: Axis::Lengthwise,
                    on,
                    through: Through { span: inset(start, end, zone), edges, ring: false },
                    gross: Gross::Across(outer - inner, height),
                    thick: if flat { height } else { outer - inner },
                    flat,
                    leg: None,
                    parts: Vec::new(),
                });
                let own = alone.iter().find(|own| own.interval.on == on && own.interval.start == start);
                let here = own.map(|own| {
                    let begins = chain.run.distance(usize::from(on.leg), start);
                    let begins = if begins < whole.0 { begins + chain.run.total() } else { begins };
                    self.bundles.push(Bundle {
                        section: placed.id,
                        axis,
                        on,
                        through: Through { span, edges: (begins, begins + (end - start)), ring: false },
                        gross: if flat { Gross::Along(own.plan, height, own.thick) } else { Gross::Level(own.plan) },
                        thick: if flat { height } else { own.thick },
                        flat,
                        leg: Some(on),
                        parts: Vec::new(),
                    });
                    lengthwise + 1
                });
                let (bottom, top) = (placed.bottom, placed.top);
                let plot = Plot { start, end, inner, outer, bottom, top, flat, lengthwise, crosswise, here };
                self.plots.entry(on).or_default().all.push(plot);
            }
        }
    }

    /// The plots that lie between two stations of a leg.
    fn plots(plots: &BTreeMap<LegAt, Plots>, on: LegAt, from: Length, to: Length) -> impl Iterator<Item = &Plot> {
        plots.get(&on).into_iter().flat_map(move |plots| {
            let first = plots.reach.partition_point(|reach| *reach < from);
            let here = plots.all.get(first..).unwrap_or(&[]).iter();
            here.take_while(move |plot| plot.start <= to).filter(move |plot| plot.end >= from)
        })
    }

    /// A long bar, leg by leg.
    fn long(&mut self, standing: &Standing, bar: Long, from: (LegAt, Length), to: (LegAt, Length)) {
        for Interval { on, start, end } in standing.intervals(&[(from, to)]) {
            for plot in Self::plots(&self.plots, on, start, end) {
                let inside = plot.inner < bar.offset
                    && bar.offset < plot.outer
                    && plot.bottom < bar.level
                    && bar.level < plot.top;
                let Some(bundle) = self.bundles.get_mut(plot.lengthwise).filter(|_| inside) else { continue };
                // Across a wall's cut it lies at its level, across that of a flat section at its offset.
                let at = if plot.flat { bar.offset } else { bar.level };
                let Long { key, of, area, .. } = bar;
                bundle.parts.push(Part {
                    key,
                    of,
                    from: start,
                    to: end,
                    at,
                    place: at,
                    on,
                    plan: Point::default(),
                    area,
                });
            }
        }
    }

    /// Dowels, and bars side by side.
    fn others(&mut self, standing: &Standing, of: u32, made: &BarsMade, group: &Group, set: Option<&Set>) {
        for line in lines(made, group, set, standing) {
            let Some(chain) = standing.chain(line.on) else { continue };
            let Some(frame) = chain.run.frame(usize::from(line.on.leg)) else { continue };
            let local = |[x, y, height]: [f64; 3]| {
                let (station, offset) = frame.local(Point::new(x, y));
                [station, offset, height]
            };
            let segments: Vec<([f64; 3], [f64; 3])> =
                line.walk.segments(ARC).iter().map(|Segment { from, to }| (local(*from), local(*to))).collect();
            // A foot that is turned along the wall is no lengthwise bar.
            let mut sums = [0.0; 3];
            for (from, to) in &segments {
                for ((sum, from), to) in sums.iter_mut().zip(from).zip(to) {
                    *sum += (to - from).abs();
                }
            }
            let [along, out, up] = sums;
            let lengthwise = along > out && along > up;
            for (from, to) in segments {
                let Some(axis) = way(from, to).filter(|axis| *axis != Axis::Lengthwise || lengthwise) else { continue };
                let key = self.key();
                let bar = Part {
                    key,
                    of,
                    from: Length::ZERO,
                    to: Length::ZERO,
                    at: Length::ZERO,
                    place: Length::ZERO,
                    on: line.on,
                    plan: Point::default(),
                    area: made.steel.area,
                };
                self.piece(chain, axis, bar, (from, to));
            }
        }
    }

    /// A straight part of a bar, its ends along, out and up.
    fn piece(
        &mut self,
        chain: &crate::concrete::Chain,
        axis: Axis,
        bar: Part,
        ([s, o, h], [t, p, i]): ([f64; 3], [f64; 3]),
    ) {
        let ends = |one: f64, other: f64| (Length::round_nm(one.min(other)), Length::round_nm(one.max(other)));
        let (along, out, up) = (ends(s, t), ends(o, p), ends(h, i));
        let middle = |one: f64, other: f64| Length::round_nm((one + other) / 2.0);
        let (station, offset, level) = (middle(s, t), middle(o, p), middle(h, i));
        for plot in Self::plots(&self.plots, bar.on, along.0, along.1) {
            let within = |at: Length, low: Length, high: Length| low < at && at < high;
            let inside = match axis {
                Axis::Lengthwise => within(offset, plot.inner, plot.outer) && within(level, plot.bottom, plot.top),
                Axis::Upright => within(station, plot.start, plot.end) && within(offset, plot.inner, plot.outer),
                Axis::Across => within(station, plot.start, plot.end) && within(level, plot.bottom, plot.top),
            };
            let numbers = if axis == Axis::Lengthwise {
                [Some(plot.lengthwise), None]
            } else {
                [Some(plot.crosswise), plot.here]
            };
            for number in numbers.into_iter().flatten() {
                let Some(bundle) = self.bundles.get_mut(number).filter(|bundle| inside && bundle.axis == axis) else {
                    continue;
                };
                let far_along = || {
                    let far = chain.run.distance(usize::from(bar.on.leg), station);
                    if far < bundle.through.edges.0 { far + chain.run.total() } else { far }
                };
                let ((from, to), at, place) = match axis {
                    Axis::Lengthwise if plot.flat => (along, offset, offset),
                    Axis::Lengthwise => (along, level, level),
                    Axis::Upright => (up, far_along(), station),
                    Axis::Across => (out, far_along(), station),
                };
                let frame = chain.run.frame(usize::from(bar.on.leg));
                let plan = frame.map_or(Point::default(), |frame| frame.at(station.nm() as f64, offset.nm() as f64));
                bundle.parts.push(Part { from, to, at, place, plan, ..bar });
            }
        }
    }

    fn judge(self, job: &Job, all: &[BarsMade]) -> Vec<SteelIn> {
        let mut by_section: BTreeMap<(BlockId, Axis), Vec<Bundle>> = BTreeMap::new();
        let mut held: BTreeMap<BlockId, Vec<u32>> = BTreeMap::new();
        for bundle in self.bundles {
            held.entry(bundle.section).or_default().extend(bundle.parts.iter().map(|part| part.of));
            by_section.entry((bundle.section, bundle.axis)).or_default().push(bundle);
        }
        let mut out = Vec::new();
        for ((id, axis), bundles) in by_section {
            let Some(section) = job.section(id) else { continue };
            let in_section = held.get(&id).map_or(&[][..], Vec::as_slice);
            if in_section.is_empty() && section.say.steel.is_none() {
                continue;
            }
            let mut own: Vec<u32> = bundles.iter().flat_map(|bundle| &bundle.parts).map(|part| part.of).collect();
            let sizes = if own.is_empty() { in_section.to_vec() } else { std::mem::take(&mut own) };
            let made = sizes_of(sizes, all);
            let thick = bundles.iter().map(|bundle| bundle.thick).min().unwrap_or_default();
            let asked = section.say.steel.and_then(|wanted| asked(job, wanted, axis, &made, thick));
            let size = made.first().map(|made| made.steel);
            let flat = bundles.iter().any(|bundle| bundle.flat);
            let Some((least, widest, bare)) = worst(bundles, all) else { continue };
            out.push(SteelIn { section: id, axis, flat, least, widest, bare, size, asked });
        }
        out
    }
}

/// What is left of a length when its ends are left out; its middle, where nothing is.
fn inset(from: Length, to: Length, zone: Length) -> (Length, Length) {
    let (first, last) = (from + zone, to - zone);
    if first < last { (first, last) } else { (from + (to - from) / 2, from + (to - from) / 2) }
}

/// Which way a straight part of a bar runs: along, out, up; none if it has no length.
fn way([s, o, h]: [f64; 3], [t, p, i]: [f64; 3]) -> Option<Axis> {
    let (along, out, up) = ((t - s).abs(), (p - o).abs(), (i - h).abs());
    let length = along.hypot(out).hypot(up);
    let runs = |part: f64| length > 0.0 && part >= length * WAY;
    [(up, Axis::Upright), (out, Axis::Across), (along, Axis::Lengthwise)]
        .into_iter()
        .find(|(part, _)| runs(*part))
        .map(|(_, axis)| axis)
}

/// Blocks of bars by their places in the list, the one with most parts first, each once.
fn sizes_of(mut parts: Vec<u32>, all: &[BarsMade]) -> Vec<&BarsMade> {
    parts.sort_unstable();
    let mut counted: Vec<(usize, u32)> =
        parts.chunk_by(|one, other| one == other).filter_map(|same| Some((same.len(), *same.first()?))).collect();
    counted.sort_by_key(|(count, of)| (std::cmp::Reverse(*count), *of));
    counted.into_iter().filter_map(|(_, of)| all.get(usize::try_from(of).ok()?)).collect()
}

/// The worst of several bundles: the least steel, the widest gap, the barest edge.
fn worst(bundles: Vec<Bundle>, all: &[BarsMade]) -> Option<(Least, Option<Gap>, Option<Gap>)> {
    let mut out: Option<(Least, Option<Gap>, Option<Gap>)> = None;
    for bundle in bundles {
        let swept = sweep(&bundle.parts, bundle.through);
        let least = least(&bundle, &swept, all);
        let ends = [swept.widest, swept.bare].map(|found| found.filter(|_| bundle.leg.is_none()));
        let [widest, bare] = ends.map(|found| found.map(|apart| gap(&bundle, apart, all)));
        match &mut out {
            None => out = Some((least, widest, bare)),
            Some((known, wide, edge)) => {
                if least.ratio() < known.ratio() {
                    *known = least;
                }
                let wider = |new: Option<Gap>, old: Option<Gap>| match (new, old) {
                    (Some(new), Some(old)) if new.far <= old.far => Some(old),
                    (new, old) => new.or(old),
                };
                *wide = wider(widest, *wide);
                *edge = wider(bare, *edge);
            }
        }
    }
    out
}

fn cut_at(bundle: &Bundle, at: Length) -> CutAt {
    match bundle.axis {
        Axis::Lengthwise => CutAt::Station(bundle.on, at),
        Axis::Upright => CutAt::Level(bundle.on, at),
        Axis::Across => CutAt::Offset(bundle.on, at),
    }
}

fn least(bundle: &Bundle, swept: &Swept, all: &[BarsMade]) -> Least {
    let mut counts: BTreeMap<u32, u64> = BTreeMap::new();
    for part in &swept.least.parts {
        *counts.entry(part.of).or_insert(0) += 1;
    }
    let bars = counts.into_iter().filter_map(|(of, count)| {
        let made = all.get(usize::try_from(of).ok()?)?;
        Some((made.id, made.steel, count))
    });
    Least {
        at: cut_at(bundle, swept.least.at),
        bars: bars.collect(),
        gross: bundle.gross,
        thick: bundle.thick,
        spread: bundle.through.edges.1 - bundle.through.edges.0,
        leg: bundle.leg,
    }
}

fn gap(bundle: &Bundle, apart: Apart, all: &[BarsMade]) -> Gap {
    let bar = |part: Part| {
        let bars = all.get(usize::try_from(part.of).ok()?)?.id;
        Some(InCut { bars, on: part.on, at: part.place })
    };
    Gap { cut: cut_at(bundle, apart.at), far: apart.far, from: apart.from.and_then(bar), to: apart.to.and_then(bar) }
}

/// What the rule asks that a section names, of bars of these blocks; of #4 bars of Grade 60 where there are none.
fn asked(job: &Job, wanted: Wanted, axis: Axis, all: &[&BarsMade], thick: Length) -> Option<Asked> {
    let system = job.system();
    match wanted {
        Wanted::Shrinkage => Some(Asked {
            ratio: Worked {
                value: SHRINKAGE,
                formula: "rho",
                source: "ACI 318-19 24.4.3.2, seen in a digest",
                parts: vec![standards::Part {
                    symbol: "rho",
                    value: Figure::Ratio(SHRINKAGE),
                    why: "against shrinkage and temperature, whatever the grade",
                }],
            },
            apart: greatest(Spread::Shrinkage, thick, system).ok()?,
        }),
        Wanted::Wall => {
            let diameter = all.iter().map(|made| made.steel.diameter).max();
            let yields = all.iter().filter_map(|made| Some(yields_at(&job.bars_of(made.id)?.say, made.steel.hooks)));
            let yields = yields.reduce(|one, other| if other < one { other } else { one });
            let (diameter, yields) =
                (diameter.unwrap_or(Length::INCH / 2), yields.unwrap_or(Stress::from_psi(60_000.0)));
            let worked = wall_ratios(WallSteel::Bars(diameter, yields)).ok()?;
            let value = if axis == Axis::Upright { worked.value.upright } else { worked.value.level };
            Some(Asked {
                ratio: Worked { value, formula: worked.formula, source: worked.source, parts: worked.parts },
                apart: greatest(Spread::Wall, thick, system).ok()?,
            })
        }
    }
}
